"""A study's sheet, opened: its rows, what each heading stands for, its numbers and its unit.

Read :func:`opened`, then :meth:`Opened.numbers`. Delimiter and encoding are found by exclusion, as
of the sheets that are imported; a unit must be written.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from pathlib import Path
from typing import Literal, get_args

from beadwright.errors import BeadwrightError, Fault, Refusal, UnitError, position
from beadwright.interop.sheets.cells import Field, Sort
from beadwright.interop.sheets.exclusion import NUMBERS, read_number, sift
from beadwright.interop.sheets.files import find
from beadwright.interop.sheets.headings import cut_of
from beadwright.interop.sheets.layout import heading
from beadwright.interop.sheets.typed import Number
from beadwright.interop.sheets.workbook import BookLine
from beadwright.units import Kind, from_si, parse_number, split_header, to_si

__all__ = ["HEADINGS", "Opened", "Placed", "Way", "kind_of_unit", "opened", "way_of"]

HEADINGS: Mapping[str, tuple[str, ...]] = {
    "part": ("part", "piece", "block", "specimen", "sample"),
    "person": ("person", "by", "operator", "appraiser", "who"),
    "trial": ("trial", "repeat", "replicate", "repetition"),
    "value": ("value", "reading", "measured"),
    "unit": ("unit",),
    "result": ("result", "judged", "pass/fail", "go/no-go"),
    "reference": ("reference", "truth", "true"),
    "size": ("size",),
    "laboratory": ("laboratory", "lab"),
    "level": ("level", "material"),
}
"""What the columns of a study may be headed, whatever the case of the letters."""

_ASIDE = frozenset({"", "order", "no", "note", "remark", "date", "time", "instrument"})
"""Headings of columns that a study does not read."""

Way = tuple[str, str]
"""Decimal and thousands sign."""

_POINT: Way = (".", "")


@dataclass(frozen=True, slots=True)
class Placed:
    """A cell: its text, and where it stands."""

    text: str
    where: str
    unit: str = ""
    """Of its heading; empty where that names none."""


@dataclass(slots=True)
class Opened:
    """A sheet."""

    name: str
    head: Sequence[str]
    lines: Sequence[BookLine]
    columns: dict[str, int]
    """By what it stands for, where a column is."""
    others: dict[int, str]
    """Columns that stand for nothing known, by place: their names."""
    faults: list[Fault] = field(default_factory=list)

    def require(self, *names: str) -> None:
        """Refuse a sheet that lacks a column."""
        for name in names:
            if name not in self.columns:
                what = f"no column is headed {' or '.join(HEADINGS[name])}"
                there = ", ".join(text for text in self.head if text.strip()) or "nothing"
                remedy = f"Head it so; there are: {there}."
                self.faults.append(Fault("header_missing", what, "", self.name, remedy))
        self.refuse()

    def adopt_value(self) -> None:
        """Take the one other column that bears a unit for the readings: "height [mm]"."""
        bearing = [index for index in self.others if split_header(self.head[index])[1]]
        if "value" not in self.columns and len(bearing) == 1:
            self.columns["value"] = bearing[0]
            del self.others[bearing[0]]

    def refuse_others(self) -> None:
        """Refuse columns that nobody knows: a reading in one would go unread."""
        for name in self.others.values():
            what = f'nothing is known of the column "{name}"'
            known = ", ".join(texts[0] for texts in HEADINGS.values())
            remedy = f"Take it out of the sheet, or head it note. Known are: {known}."
            self.faults.append(Fault("header_unknown", what, name, self.name, remedy))

    def cell(self, line: BookLine, column: int) -> Placed:
        """Give a cell."""
        header = self.head[column]
        text = line.texts[column] if column < len(line.texts) else ""
        where = position(self.name, line.number, header.strip())
        return Placed(text if isinstance(text, Number) else text.strip(), where,
                      split_header(header)[1] or "")  # fmt: skip

    def text(self, line: BookLine, name: str) -> str:
        """Give a text that must be there; a fault where it is not."""
        placed = self.cell(line, self.columns[name])
        if not placed.text:
            what = f'"{self.head[self.columns[name]].strip()}" is empty'
            remedy = "Fill the cell, or leave the row out."
            self.faults.append(Fault("field_missing", what, "", placed.where, remedy))
        return str(placed.text)

    def numbers(
        self, cells: Sequence[Placed], units: Sequence[str], decimal: str
    ) -> tuple[list[Decimal], str]:
        """Give numbers in the unit that the first is in, and that unit.

        Raises
        ------
        Refusal
            With every cell that is no number, or whose unit is none or of another kind.
        """
        way = way_of([one.text for one in cells if not isinstance(one.text, Number)], decimal)
        if isinstance(way, Fault):
            self.faults.append(way)
            self.refuse()
            return [], ""
        lacking = [one.where for one, unit in zip(cells, units, strict=True) if not unit]
        if lacking:
            self.faults.append(_unit_missing(lacking[0]))
            self.refuse()
        shown = units[0]
        found = []
        for one, unit in zip(cells, units, strict=True):
            try:
                found.append(_in_unit(_number(one.text, way), unit, shown))
            except UnitError as error:
                fault = Fault(error.code, error.what, str(one.text), one.where, error.remedy)
                self.faults.append(fault)
        self.refuse()
        return found, shown

    def refuse(self) -> None:
        """Raise what was found wrong, all at once; nothing where nothing was."""
        if self.faults:
            raise Refusal(self.faults)


def opened(path: Path) -> Opened:
    """Open a sheet: a text file or a workbook with one visible sheet.

    Raises
    ------
    Refusal
        If it cannot be read, holds no rows, or two columns are headed alike.
    """
    found = find([path])
    if found.faults:
        raise Refusal(found.faults)
    if len(found.sheets) != 1:
        names = ", ".join(one.tab for one in found.sheets) or "none"
        what = f"one sheet is wanted; the file holds {len(found.sheets)}: {names}"
        raise Refusal([Fault("file_not_table", what, "", path.name, "Keep the study's alone.")])
    source = found.sheets[0]
    fields = {name: Field(name, Sort.TEXT) for texts in HEADINGS.values() for name in texts}
    cut = cut_of(source, {}, {"study": fields})
    if isinstance(cut, Fault):
        raise Refusal([cut])
    if len(cut.lines) < 2:  # noqa: PLR2004 - headings and one row
        what = "the sheet has no row beneath its headings"
        raise Refusal([Fault("file_empty", what, "", source.name, "Fill it in.")])
    head = cut.lines[0].texts
    columns, others, faults = _matched(head, source.name)
    if faults:
        raise Refusal(faults)
    return Opened(source.name, head, cut.lines[1:], columns, others)


def way_of(texts: Sequence[str], decimal: str) -> Way | Fault:
    """Find which decimal sign the numbers are written with, by exclusion.

    A point is the decimal sign unless a number says otherwise; of a comma that may part thousands
    too, a person is asked.
    """
    if decimal:
        return (decimal, "")
    left = sift(texts, NUMBERS, read_number).ways
    if _POINT in left or not left:
        return _POINT
    if len(left) == 1:
        return left[0]
    example = next((text for text in texts if "," in text), texts[0])
    what = f'"{example}" may be a decimal number or one with thousands parted'
    return Fault("layout_open", what, example, "", "State the decimal sign: a comma, or a point.")


def kind_of_unit(*units: str) -> Kind | None:
    """Give the kind of quantity that all of these are units of; None where there is none."""
    kinds: tuple[Kind, ...] = get_args(Kind)
    for kind in kinds:
        try:
            for unit in units:
                to_si(Decimal(1), unit, kind)
        except BeadwrightError:
            continue
        return kind
    return None


def _matched(head: Sequence[str], name: str) -> tuple[dict[str, int], dict[int, str], list[Fault]]:
    known = {text: role for role, texts in HEADINGS.items() for text in texts}
    columns: dict[str, int] = {}
    others: dict[int, str] = {}
    faults = []
    for index, header in enumerate(head):
        text = heading(header)
        role = known.get(text.lower())
        if role is None:
            if text.lower() not in _ASIDE:
                others[index] = text
        elif role in columns:
            first = head[columns[role]].strip()
            what = f'"{text}" and "{first}" stand for the same: {role}'
            faults.append(Fault("header_repeated", what, text, name, "Keep one of them."))
        else:
            columns[role] = index
    return columns, others, faults


def _number(text: str, way: Way) -> Decimal:
    if isinstance(text, Number):
        return text.value
    sign: Literal[".", ","] = "," if way[0] == "," else "."
    return parse_number(text, decimal=sign, thousands=way[1] or None)


def _in_unit(number: Decimal, unit: str, shown: str) -> Decimal:
    if unit == shown and kind_of_unit(unit) is not None:
        return number
    kind = kind_of_unit(unit, shown)
    if kind is not None:
        return from_si(to_si(number, unit, kind), shown, kind)
    known = kind_of_unit(unit) is not None
    of_another = f'"{unit}" is a unit of another quantity than "{shown}".'
    raise UnitError(
        code="unit_unknown",
        what=of_another if known else f'"{unit}" is no unit that is known.',
        text=unit,
        remedy="A study is of one quantity." if known else "Write it as: mm, in, g, lb, kPa, psi.",
    )


def _unit_missing(where: str) -> Fault:
    what = "no unit is written for the readings"
    remedy = 'Write it in the heading, as "value [mm]", or in a column headed unit.'
    return Fault("unit_missing", what, "", where, remedy)
