"""Values that are numbers, fit their layout, and still cannot be: asked about, never changed.

Two ways to see one: weighed and measured pieces against each other (:func:`measured_doubts`), and
figures that are much the same in every row, where a slipped decimal point shows
(:func:`slipped_doubts`).
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import NamedTuple

from beadwright.interop.sheets.cells import Measure, Row
from beadwright.interop.sheets.kinds import KINDS
from beadwright.interop.sheets.kinds.kind import Usual
from beadwright.interop.sheets.lacking import lacks_ties
from beadwright.interop.sheets.register import Register
from beadwright.lab.plausible import Keyed, Specimen, doubts

__all__ = ["Question", "Questioned", "measured_doubts", "slipped_doubts"]

_ENOUGH = 5  # fewer rows have no middle that one slip could not move
_TIGHT = 2.0  # upper over lower quartile: beyond this a figure is not "much the same"
_FAR = 8.0  # ten, less what rows differ anyway
_FAR_FROM_NOMINAL = 4.0  # a target is nearer to the truth than other rows are: half way to ten
_SIZES = ("length", "width", "height", "diameter")


@dataclass(frozen=True, slots=True)
class Question:
    """Asks by value whether it stands; answered as FILE:ROW:FIELD."""

    code: str
    where: str
    """FILE:ROW:FIELD, the answer that it stands as keyed."""
    value: str
    why: str
    perhaps: str = ""

    def __str__(self) -> str:
        """Return one message."""
        meant = f" Perhaps {self.perhaps}?" if self.perhaps else ""
        return f"{self.code}: {self.where}: {self.value}. {self.why}{meant}"


class Questioned(NamedTuple):
    """A question, and the row and field it is about."""

    row: Row
    field: str
    question: Question


class _Figure(NamedTuple):
    row: Row
    usual: Usual


def slipped_doubts(rows: Iterable[Row], register: Register) -> Iterator[Questioned]:
    """Ask about figures that are many times off what is usual in their group."""
    groups: dict[tuple[str, ...], list[_Figure]] = defaultdict(list)
    for row in rows:
        if not row.bad:
            for usual in KINDS[row.kind].usual(row, register):
                groups[row.kind, usual.field, *usual.group].append(_Figure(row, usual))
    found: dict[int, dict[str, tuple[Usual, Questioned]]] = defaultdict(dict)
    for figures in groups.values():
        middle = _middle([figure.usual.value for figure in figures])
        for figure in figures:
            for asked in _slipped(figure, middle):
                found[id(figure.row)][asked.field] = (figure.usual, asked)
    for about in found.values():
        yield from (asked for usual, asked in about.values() if usual.share_of not in about)


def measured_doubts(rows: Iterable[Row], register: Register) -> Iterator[Questioned]:
    """Ask about weighed and measured pieces whose mass and sizes cannot all be right."""
    groups: dict[tuple[str, ...], list[Row]] = defaultdict(list)
    for row in rows:
        if not row.bad and row.kind in {"specimens", "inspections"}:
            groups[_alike(row, register)].append(row)
    for members in groups.values():
        by_name = {row.where(): row for row in members}
        for doubt in doubts([_specimen(row) for row in members]):
            row = by_name[doubt.specimen]
            if lacks_ties(row, members, register):
                continue  # asked about with the lot: are ties missing?
            about = doubt.field
            question = Question(
                "implausible_specimen", row.address(about), doubt.value, doubt.why, doubt.perhaps
            )
            yield Questioned(row, "mass" if about == "density" else about, question)


def _middle(values: list[float]) -> float:
    """Median of figures that are much the same; 0 where they are not, or too few."""
    ordered = sorted(values)
    count = len(ordered)
    if count < _ENOUGH:
        return 0.0
    lower, upper = ordered[count // 4], ordered[(3 * count) // 4]
    if lower <= 0 or upper / lower > _TIGHT:
        return 0.0
    return ordered[count // 2]


def _slipped(figure: _Figure, middle: float) -> Iterator[Questioned]:
    row, usual = figure
    expected = usual.nominal or middle
    if expected <= 0 or usual.value <= 0:
        return
    far = _FAR_FROM_NOMINAL if usual.nominal else _FAR
    ratio = usual.value / expected
    if not (ratio >= far or (ratio <= 1 / far and not usual.may_be_small)):
        return
    measure = row.measure(usual.field)
    if measure is None:
        return
    likely = Decimal(measure.text) / Decimal(repr(ratio))
    times = f"{ratio:.3g} times" if ratio > 1 else f"{1 / ratio:.3g} times less than"
    source = "the target" if usual.nominal else "what is usual in its column"
    why = f"This is {times} {source}, which would be about {_figures(likely)} {measure.unit} here."
    question = Question(
        "slipped_value", row.address(usual.field), measure.keyed, why, _shifted(measure, ratio)
    )
    yield Questioned(row, usual.field, question)


def _shifted(measure: Measure, ratio: float) -> str:
    """Value with its decimal point moved, where that makes it usual."""
    places = round(math.log10(ratio))
    if not places or not 0.5 <= ratio / 10**places <= 2:  # noqa: PLR2004 - within a factor of two
        return ""
    return f"{Decimal(measure.text).scaleb(-places):f} {measure.unit}"


def _figures(number: Decimal) -> str:
    digits = max(0, 2 - number.adjusted())
    return f"{round(number, digits):f}"


def _alike(row: Row, register: Register) -> tuple[str, ...]:
    """Pieces that should be alike: one product in one state, or one laboratory's sheet."""
    lot = register.lot(row.text("lot")) if row.text("lot") else None
    product = lot.product if lot is not None else ""
    if row.kind == "inspections":
        return (row.kind, product, row.text("state"))
    return (row.kind, product, "" if product else row.file)


def _specimen(row: Row) -> Specimen:
    found = {name: row.measure(name) for name in ("mass", *_SIZES)}
    held = {name: measure for name, measure in found.items() if measure is not None}
    keyed = {name: Keyed(Decimal(measure.text), measure.unit) for name, measure in held.items()}
    mass = held.get("mass")
    dims = {name: float(held[name].si) for name in _SIZES if name in held}
    return Specimen(row.where(), float(mass.si) if mass else None, dims, keyed)
