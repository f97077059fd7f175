"""Rows whose figures each can be, and together cannot: asked about, as every other doubt is.

Read :func:`contradictions`. A block weighed before it was moulded, more rejected than made, blocks
that no number of shots gives, a bag heavier than any: each is asked by its value, and says which
cells to look at.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Collection, Iterator, Mapping, Sequence
from fractions import Fraction

from beadwright.interop.sheets.cells import Row
from beadwright.interop.sheets.doubts import Question, Questioned
from beadwright.interop.sheets.known import Made
from beadwright.interop.sheets.made_by import made_by
from beadwright.interop.sheets.register import Register
from beadwright.plant.block_age import AFTER_A_DAY, COMMON_H, WEIGHING, age_h
from beadwright.units import parse_number, to_mg

__all__ = ["contradictions"]

_BAG_MG = 2_000_000_000
"""The heaviest bulk bag in use holds less; common practice, no source."""

_EARLY_H = -1.0
"""Two clocks differ; more than this before its moulding no block was weighed."""

_ENOUGH = 5  # fewer rows of a mould do not say how many blocks a shot gives
_MOST_TIES_SHORT = 0.95
"""A tie may be missing in a block, not one in twenty."""

_SIZED = ("mass", "length", "width", "height")


def contradictions(
    rows: Sequence[Row], register: Register, restated: Collection[str] = ()
) -> Iterator[Questioned]:
    """Give every question about rows as corrected; ``restated``: keys of those corrected here."""
    good = [row for row in rows if not row.bad]
    looked_at = [row for row in good if row.kind == "inspections"]
    made = made_by(good, looked_at, register, restated)
    for row in looked_at:
        runs = list(made.get(row.text("lot"), {}).values())
        yield from _ages(row, runs, register)
        yield from _counts(row, runs)
    moulded = [row for row in good if row.kind == "mould_runs"]
    yield from _shots(moulded)
    for row in moulded:
        yield from _ties(row, register)
    for row in good:
        if row.kind == "bead_receipts":
            yield from _bag(row, register)


def _asked(row: Row, field: str, code: str, why: str, perhaps: str = "") -> Questioned:
    question = Question(code, row.address(field), row.shown(field), why, perhaps)
    return Questioned(row, field, question)


def _see(row: Row, *names: str) -> str:
    """Name the cells to look at, by the sheet's own headings."""
    *first, last = (row.headers.get(name, name) for name in names)
    return f"See {', '.join(first)} and {last}."


def _ages(row: Row, runs: Sequence[Made], register: Register) -> Iterator[Questioned]:
    """Ask about a block not yet as old as its state says, not yet moulded, or no more wet."""
    state, at = row.text("state"), row.number_of("at")
    if not state or not any(name in row.cells for name in _SIZED):
        return
    stated = row.measure("age")
    hours = None if stated is None else float(stated.si) / 3600
    age = age_h(at, hours, [(one.started, one.ended) for one in runs])
    least = _least_h(register, at) if state in AFTER_A_DAY else _EARLY_H
    if age is None:
        return
    first, last = min(one.started for one in runs), max(one.ended for one in runs)
    if age >= least:
        if state == "press":
            yield from _no_more_wet(row, last, register)
        return
    moulded = f"{row.text('lot')} was moulded from {row.clock(first)} to {row.clock(last)}"
    if age < 0:
        why = f"{moulded}; this is {row.shown('at')}, {-age:.1f} h before."
        why = f"{why} {_see(row, 'at', 'lot', 'state')}"
        yield _asked(row, "state", "impossible_age", why)
    else:
        why = (
            f"{moulded}; at {row.shown('at')} a block of it is {age:.1f} h old, and a day old from"
            f" {least:g} h. {_see(row, 'at', 'age', 'state')}"
        )
        yield _asked(row, "state", "impossible_age", why, "press")


def _no_more_wet(row: Row, last: int, register: Register) -> Iterator[Questioned]:
    """Ask about a block said to be wet from the press when all of its lot are a day old."""
    at, least = row.number_of("at"), _least_h(register, row.number_of("at"))
    age = (at - last) / 3_600_000
    if age >= least:
        why = (
            f"{row.text('lot')} was moulded until {row.clock(last)}; at {row.shown('at')} its"
            f" youngest block is {age:.1f} h old, and a day old from {least:g} h: read as wet from"
            f" the press it decides nothing. {_see(row, 'at', 'age', 'state')}"
        )
        yield _asked(row, "state", "no_more_wet", why, "24h")


def _least_h(register: Register, at: int) -> float:
    found = register.setting("age_gate", WEIGHING, at)
    return COMMON_H if found is None else float(str(found.body.get("min_h", COMMON_H)))


def _counts(row: Row, runs: Sequence[Made]) -> Iterator[Questioned]:
    """Ask about more rejected than looked at, and more of either than were made."""
    made = sum(one.good for one in runs)
    rejected, checked = row.number_of("rejected"), row.number_of("checked")
    if "checked" in row.cells and rejected > checked:
        why = f"{rejected} are rejected of {checked} looked at. {_see(row, 'checked', 'rejected')}"
        yield _asked(row, "rejected", "counts_differ", why)
    elif runs and rejected > made:
        why = f"{rejected} are rejected of {made} good ones made of {row.text('lot')}."
        yield _asked(row, "rejected", "counts_differ", why)
    if runs and checked > made:
        why = f"{checked} are looked at of {made} good ones made of {row.text('lot')}."
        yield _asked(row, "checked", "counts_differ", why)


def _shots(rows: Sequence[Row]) -> Iterator[Questioned]:
    """Ask where good and scrapped blocks are not the shots times what a shot gives."""
    groups: Mapping[tuple[str, str], list[tuple[Row, int]]] = defaultdict(list)
    told = [row for row in rows if not row.number_of("shots")]
    for row in rows:
        if row.number_of("shots"):
            apart = sum(one.number_of("scrap") for one in told if _within(one, row))
            groups[row.text("mould"), row.text("product")].append((row, apart))
    for members in groups.values():
        usual, count = Counter(_a_shot(*one) for one in members).most_common(1)[0]
        known = usual.denominator == 1 and count >= _ENOUGH and 2 * count > len(members)
        for row, apart in members:
            here = _a_shot(row, apart)
            if here.denominator > 1 or (known and here != usual):
                yield _off(row, apart, usual if known else None)


def _within(scrap: Row, count: Row) -> bool:
    """Whether scrap that was told by itself is of the shots that a count is of.

    Both begin where the last count ended, be it within the same minute.
    """
    same = scrap.text("run") == count.text("run")
    began = scrap.number_of("started")
    if began == count.number_of("started"):
        return same
    return same and count.number_of("started") < began < count.number_of("ended")


def _a_shot(row: Row, apart: int) -> Fraction:
    blocks = row.number_of("good") + row.number_of("scrap") + apart
    return Fraction(blocks, row.number_of("shots"))


def _off(row: Row, apart: int, usual: Fraction | None) -> Questioned:
    good, scrap, shots = (row.number_of(name) for name in ("good", "scrap", "shots"))
    scrap += apart
    blocks = "block" if scrap == 1 else "blocks"
    of = "1 shot" if shots == 1 else f"{shots} shots"
    what = f"{good} good and {scrap} scrapped {blocks} are {good + scrap} of {of}"
    each = "a whole number a shot" if usual is None else f"{usual} a shot, as its mould gives"
    why = f"{what}, not {each}. {_see(row, 'shots', 'good', 'scrap')}"
    return _asked(row, "shots", "shots_differ", why)


def _ties(row: Row, register: Register) -> Iterator[Questioned]:
    """Ask where fewer ties were used than the good blocks hold."""
    product = register.product(row.text("product"), row.number_of("started"))
    if product is None or "ties" not in row.cells or "ties_used" not in row.cells:
        return
    used, good = row.number_of("ties_used"), row.number_of("good")
    if used < _MOST_TIES_SHORT * good * product.ties:
        why = (
            f"{good} good blocks of {product.ties} ties hold {good * product.ties}."
            f" {_see(row, 'ties_used', 'good', 'product')}"
        )
        yield _asked(row, "ties_used", "ties_short", why)


def _bag(row: Row, register: Register) -> Iterator[Questioned]:
    """Ask about a bag that is heavier than any."""
    found = register.setting("tolerance", "receipt", row.number_of("received"))
    stated = "" if found is None else str(found.body.get("bag", ""))
    number, _, unit = stated.partition(" ")
    most = to_mg(parse_number(number, decimal="."), unit) if stated else _BAG_MG
    if row.mg("mass") > most:
        why = f"No bag holds more than {stated or '2000 kg'}."
        yield _asked(row, "mass", "bag_too_heavy", why)
