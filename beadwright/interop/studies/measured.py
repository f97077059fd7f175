"""Readings of a crossed study, from a long sheet, a wide one, or one with a column a trial.

Read :func:`measured`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from beadwright.errors import Fault
from beadwright.interop.studies.opened import Opened, Placed
from beadwright.plant.gauge_studies.cells import Cells, Nested, StudyRow, arranged, nested

__all__ = ["Destroyed", "Measured", "destroyed", "measured"]

_TRIAL = re.compile(
    r"(?:trial|repeat|replicate|reading|value|result)?[\s_#.-]*(\d+)", re.IGNORECASE
)
"""Heading of a column that holds one trial: "trial 1", "1"."""

_WHOSE = re.compile(r"(.*?\S)(?:[\s_/.-]*(?:trial|repeat)[\s_#.-]*|[\s_/.#-]+)(\d+)", re.IGNORECASE)
"""Heading of a column that holds one trial of one person: "A 1", "P-13/2", "Ann trial 3"."""


@dataclass(frozen=True, slots=True)
class Measured:
    """A crossed study as a sheet holds it."""

    file: str
    unit: str
    cells: Cells[Decimal]


@dataclass(frozen=True, slots=True)
class Destroyed:
    """A nested study as a sheet holds it: testing destroys the parts."""

    file: str
    unit: str
    cells: Nested


@dataclass(frozen=True, slots=True)
class _One:
    part: str
    person: str
    trial: str
    value: Placed
    unit: str


def measured(sheet: Opened, *, decimal: str = "") -> Measured:
    """Read a crossed study.

    Long: columns part, person, value (or another that bears a unit), and trial where it is
    numbered. With a column a trial: part,
    person, "trial 1 [mm]", "trial 2 [mm]". Wide: part, "A 1 [mm]", "A 2 [mm]", "B 1 [mm]".

    Raises
    ------
    Refusal
        With everything that keeps it from being one.
    """
    unit, rows = _rows(sheet, decimal)
    return Measured(sheet.name, unit, arranged(rows))


def destroyed(sheet: Opened, *, decimal: str = "") -> Destroyed:
    """Read a nested study: columns part, person, value; of each part one person's specimens.

    Raises
    ------
    Refusal
        With everything that keeps it from being one.
    """
    sheet.require("part", "person")
    unit, rows = _rows(sheet, decimal)
    return Destroyed(sheet.name, unit, nested(rows))


def _rows(sheet: Opened, decimal: str) -> tuple[str, list[StudyRow[Decimal]]]:
    sheet.require("part")
    if "person" in sheet.columns:
        sheet.adopt_value()
    if "value" in sheet.columns:
        sheet.require("person")
        sheet.refuse_others()
        found = list(_long(sheet))
    else:
        found = list(_wide(sheet))
    sheet.refuse()
    numbers, unit = sheet.numbers(
        [one.value for one in found], [one.unit for one in found], decimal
    )
    return unit, [
        StudyRow(one.part, one.person, one.trial, number, one.value.where)
        for one, number in zip(found, numbers, strict=True)
    ]


def _long(sheet: Opened) -> Iterator[_One]:
    for line in sheet.lines:
        value = sheet.cell(line, sheet.columns["value"])
        trial = sheet.columns.get("trial")
        unit = sheet.columns.get("unit")
        named = "" if unit is None else str(sheet.cell(line, unit).text)
        yield _One(
            sheet.text(line, "part"), sheet.text(line, "person"),
            "" if trial is None else str(sheet.cell(line, trial).text), value, named or value.unit,
        )  # fmt: skip


def _wide(sheet: Opened) -> Iterator[_One]:
    own = "person" in sheet.columns
    pattern = _TRIAL if own else _WHOSE
    places: dict[int, tuple[str, str]] = {}
    for index, name in sheet.others.items():
        match = pattern.fullmatch(name)
        if match is None:
            what = f'"{name}" is neither a known heading nor one of a trial'
            remedy = 'Head trials "trial 1 [mm]" beside a person, or "A 1 [mm]" for person A.'
            sheet.faults.append(Fault("header_unknown", what, name, sheet.name, remedy))
        else:
            places[index] = ("", match[1]) if own else (match[1], match[2])
    if not places:
        what = "there is neither a column of values nor one of trials"
        remedy = 'Head the readings "value [mm]", "trial 1 [mm]" or "A 1 [mm]".'
        sheet.faults.append(Fault("header_missing", what, "", sheet.name, remedy))
    sheet.refuse()
    for line in sheet.lines:
        part = sheet.text(line, "part")
        person = sheet.text(line, "person") if own else ""
        for index, (whose, trial) in places.items():
            value = sheet.cell(line, index)
            yield _One(part, whose or person, trial, value, value.unit)
