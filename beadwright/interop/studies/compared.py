"""Results of several laboratories on one material or several.

Read :func:`compared`.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from beadwright.errors import Fault
from beadwright.interop.studies.opened import Opened, Placed
from beadwright.plant.gauge_studies.cells import in_order

__all__ = ["Compared", "Level", "compared"]


@dataclass(frozen=True, slots=True)
class Level:
    """One material: each laboratory's results."""

    name: str
    """Empty where the sheet holds one alone and does not name it."""
    laboratories: tuple[str, ...]
    results: tuple[tuple[Decimal, ...], ...]


@dataclass(frozen=True, slots=True)
class Compared:
    """A comparison as a sheet holds it."""

    file: str
    unit: str
    levels: tuple[Level, ...]


def compared(sheet: Opened, *, decimal: str = "") -> Compared:
    """Read a comparison: columns laboratory, value, and level where there are several.

    Raises
    ------
    Refusal
        With everything that keeps it from being one.
    """
    sheet.adopt_value()
    sheet.require("laboratory", "value")
    sheet.refuse_others()
    cells: list[tuple[str, str, Placed, str]] = []
    for line in sheet.lines:
        level = sheet.text(line, "level") if "level" in sheet.columns else ""
        value = sheet.cell(line, sheet.columns["value"])
        named = sheet.columns.get("unit")
        unit = "" if named is None else str(sheet.cell(line, named).text)
        cells.append((level, sheet.text(line, "laboratory"), value, unit or value.unit))
    sheet.refuse()
    numbers, unit = sheet.numbers([one[2] for one in cells], [one[3] for one in cells], decimal)
    found: dict[str, dict[str, list[Decimal]]] = {}
    for (level, laboratory, _, _), number in zip(cells, numbers, strict=True):
        found.setdefault(level, {}).setdefault(laboratory, []).append(number)
    levels = tuple(_level(sheet, name, found[name]) for name in in_order(found))
    sheet.refuse()
    return Compared(sheet.name, unit, levels)


def _level(sheet: Opened, name: str, found: dict[str, list[Decimal]]) -> Level:
    most = max(map(len, found.values()))
    of = f" of level {name}" if name else ""
    for laboratory, results in found.items():
        if len(results) != most:
            what = f"laboratory {laboratory} has {len(results)} of {most} results{of}"
            remedy = "Every laboratory gives as many; leave one out that does not."
            sheet.faults.append(Fault("study_incomplete", what, "", sheet.name, remedy))
    names = in_order(found)
    return Level(name, names, tuple(tuple(found[one]) for one in names))
