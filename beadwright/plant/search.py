"""Search: whatever somebody types, scans or reads off a label, and what it leads to.

Read :func:`search`. It answers as it is typed, so every question it asks is bounded; each hit says
why it matches.
"""

from __future__ import annotations

import calendar
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

from beadwright.ledger import matching, people
from beadwright.ledger.account import OUTSIDE
from beadwright.ledger.matching import Done, Named
from beadwright.plant.listed import limits_called
from beadwright.plant.nc_file import KINDS as OF_FILES
from beadwright.plant.opening import Plant
from beadwright.plant.plan import start_of
from beadwright.plant.said_words import step_words
from beadwright.plant.upstream import local
from beadwright.plant.words import KIND_WORDS, place_of
from beadwright.quality import readings

__all__ = ["EACH", "Hit", "What", "search"]

What = Literal["lot", "label", "decision", "limit", "entry", "person", "receiver", "product", "day"]

_ORDER: tuple[What, ...] = (
    "lot", "label", "decision", "limit", "entry", "person", "receiver", "product", "day",
)  # fmt: skip
EACH = 20
"""Hits of one kind that stand for the rest where a name, not a lot, was found."""

_LEAST = 3
"""Signs from which limits are looked through."""

_DAY = re.compile(r"(\d{4})-(\d{2})(?:-(\d{2}))?")
_OF_A_DAY = 400
_STEPS_FIRST = ("mould", "ship", "receipt", "expand", "bundle")
"""Of what happened on a day, what is named first."""

_DECISIONS = {
    "hold": "hold", "lift": "lift of a hold", "release": "release", "concession": "concession",
    "certificate": "certificate", "report": "test report", "report_withdrawn": "report withdrawn",
    "calibration": "calibration", "frame_layout": "layout of a load frame's files",
    "recall": "recall", "gauge_study": "gauge study", "signature": "signature under a limit",
    **dict.fromkeys(OF_FILES, "nonconformity file"),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Hit:
    """One thing that was found: a lot, or an entry of the record."""

    what: What
    """By what it was found."""
    title: str
    said: str
    """What it is, in a few words."""
    why: str
    """Why it matches."""
    lot: str = ""
    """The lot it leads to; else it leads to an entry, or to a limit."""
    entry: int | None = None
    rank: tuple[int, ...] = ()
    """What it is ordered by: exact, beginning, within; then by what."""
    limit: str = ""
    """The limit it leads to, as the page of limits names it."""


def search(plant: Plant, text: str, limit: int = 30) -> tuple[Hit, ...]:
    """Find lots and entries by what somebody types, the likeliest first.

    A lot by its code or a part of it, by a label or a supplier's lot or a part of those, by the
    receiver, the product, or the day (2025-09-16) or month (2025-09) it happened on; an entry by
    its number, its client key or who did it (initials, id, part of a name); a hold, a certificate,
    a report, a nonconformity file by its number; a limit by its id or its standard.
    """
    asked = " ".join(text.split())
    if not asked:
        return ()
    found: dict[tuple[str, int | None, str], Hit] = {}
    for hit in sorted(_all(plant, asked, limit), key=lambda one: one.rank):
        found.setdefault((hit.lot, hit.entry, hit.limit), hit)
    return tuple(found.values())[:limit]


def _all(plant: Plant, asked: str, limit: int) -> Iterator[Hit]:
    yield from _of_codes(plant, asked, limit)
    yield from _of_labels(plant, asked, limit)
    yield from _of_decisions(plant, asked, limit)
    yield from _of_limits(plant, asked)
    yield from _of_entries(plant, asked)
    yield from _of_people(plant, asked)
    yield from _of_names(plant, asked)
    yield from _of_day(plant, asked)


def _rank(asked: str, text: str, what: What, at: int = 0) -> tuple[int, ...]:
    one, other = asked.upper(), text.upper()
    tier = 0 if one == other else 1 if other.startswith(one) else 2
    return tier, _ORDER.index(what), at


def _lot(one: Named) -> str:
    """Say what a lot is, and where."""
    what = KIND_WORDS.get(one.what or one.kind, one.what or one.kind)
    product = f" of {one.product}" if one.product else ""
    at = f", at {place_of(one.place)}" if one.place else ""
    return f"{what}{product}{at}"


def _of_codes(plant: Plant, asked: str, limit: int) -> Iterator[Hit]:
    upper = asked.upper()
    for at, one in enumerate(matching.codes(plant.no, upper, limit)):
        how = "is" if one.code == upper else "begins with" if one.code.startswith(upper) else "has"
        why = f"its code {how} {upper}"
        yield Hit(
            "lot", one.code, _lot(one), why, one.code, None, _rank(asked, one.code, "lot", at)
        )


def _of_labels(plant: Plant, asked: str, limit: int) -> Iterator[Hit]:
    for at, one in enumerate(matching.labels(plant.no, asked, limit)):
        text = one.text if asked.upper() in one.text.upper() else one.issuer
        why = f"label of {one.issuer}: {one.text}" if one.issuer else f"label {one.text}"
        rank = _rank(asked, text, "label", at)
        yield Hit("label", one.lot.code, _lot(one.lot), why, one.lot.code, None, rank)


def _of_decisions(plant: Plant, asked: str, limit: int) -> Iterator[Hit]:
    for at, one in enumerate(matching.decisions(plant.no, asked, limit)):
        what = _DECISIONS.get(one.kind, one.kind.replace("_", " "))
        said, why = _entry(plant, one), f"{what} {one.about}"
        rank = _rank(asked, one.about, "decision", at)
        yield Hit("decision", f"{what} {one.about}", said, why, "", one.seq, rank)


def _of_limits(plant: Plant, asked: str) -> Iterator[Hit]:
    """Give limits in force by their id, or by the standard they are printed in."""
    if len(asked) < _LEAST:
        return
    for at, (name, said, why) in enumerate(limits_called(plant, asked)[:EACH]):
        yield Hit(
            "limit", f"limit {name}", said, why, limit=name, rank=_rank(asked, name, "limit", at)
        )


def _entry(plant: Plant, one: Done) -> str:
    return f"entry {one.seq}, {local(one.at_ms, plant.zone)}"


def _of_entries(plant: Plant, asked: str) -> Iterator[Hit]:
    rank = _rank(asked, asked, "entry")
    if asked.isascii() and asked.isdecimal() and 0 < int(asked) <= plant.head[0]:
        yield Hit("entry", f"entry {int(asked)}", "", "the record's number", "", int(asked), rank)
    seq = matching.keys(plant.no, asked)
    if seq is not None:
        yield Hit("entry", f"entry {seq}", "", f"its client key is {asked}", "", seq, rank)


def _of_people(plant: Plant, asked: str) -> Iterator[Hit]:
    """Give what somebody did of late, who is called so."""
    upper = asked.upper()
    known = people.names(plant.code).values()
    found = {
        one.person: one
        for one in known
        if upper in {one.initials.upper(), one.person.upper()} or upper in one.name.upper()
    }
    for one in found.values():
        exact = upper in {one.initials.upper(), one.person.upper(), one.name.upper()}
        why = f"by {one.name} ({one.initials}, {one.person})"
        at = (0 if exact else 2, _ORDER.index("person"))
        for done in matching.done_by(plant.no, one.person, EACH):
            title = _DECISIONS.get(done.kind, step_words(done.kind))
            about = f" {done.about}" if done.kind in _DECISIONS and done.about else ""
            place = f"at {done.about}, " if done.about and not about else ""
            said = f"{place}{_entry(plant, done)}"
            rank = (*at, -done.at_ms)
            yield Hit("person", f"{title}{about}", said, why, "", done.seq, rank)
        for seq, characteristic, at_ms in readings.newest_by(plant.no, one.person, EACH):
            title = f"read {characteristic.replace('_', ' ')}"
            said = f"entry {seq}, {local(at_ms, plant.zone)}"
            yield Hit("person", title, said, why, "", seq, (*at, -at_ms))


def _of_names(plant: Plant, asked: str) -> Iterator[Hit]:
    """Give the newest lots of a receiver, or of a product, that is called so."""
    names = matching.names(plant.no)
    for name in _called(names.receivers, asked):
        lots = matching.at_place(plant.no, f"{OUTSIDE}{name}", EACH)
        yield from _newest(asked, "receiver", name, lots, f"shipped to {name}")
    for name in _called(names.products, asked):
        lots = matching.of_product(plant.no, name, EACH)
        yield from _newest(asked, "product", name, lots, f"product {name}")


def _called(names: Iterable[str], asked: str) -> list[str]:
    upper = asked.upper()
    return [name for name in names if upper in name.upper()][:EACH]


def _newest(asked: str, what: What, name: str, lots: Iterable[Named], why: str) -> Iterator[Hit]:
    for at, one in enumerate(lots):
        rank = _rank(asked, name, what, at)
        yield Hit(what, one.code, _lot(one), why, one.code, None, rank)


def _of_day(plant: Plant, asked: str) -> Iterator[Hit]:
    """Give the lots that something came into on a day, or in a month, mould runs first."""
    span = _span(asked)
    if span is None:
        return
    from_ms, to_ms = (start_of(day, plant.zone) for day in span)
    seen: dict[str, int] = {}
    for one in matching.touched(plant.no, from_ms, to_ms, _OF_A_DAY):
        first = _STEPS_FIRST.index(one.kind) if one.kind in _STEPS_FIRST else len(_STEPS_FIRST)
        if first >= seen.get(one.lot.code, first + 1):
            continue
        seen[one.lot.code] = first
        why = f"{step_words(one.kind)} {local(one.at_ms, plant.zone)}"
        rank = (0, _ORDER.index("day"), first, one.at_ms)
        yield Hit("day", one.lot.code, _lot(one.lot), why, one.lot.code, None, rank)


def _span(asked: str) -> tuple[date, date] | None:
    """Give the day, or the month, that a text says in ISO 8601, and the day after it."""
    said = _DAY.fullmatch(asked)
    if said is None:
        return None
    year, month, day = int(said[1]), int(said[2]), said[3]
    try:
        first = date(year, month, int(day or 1))
        days = 1 if day else calendar.monthrange(year, month)[1]
        return first, first + timedelta(days=days)
    except (ValueError, OverflowError):
        return None
