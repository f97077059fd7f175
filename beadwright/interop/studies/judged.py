"""Judgements with a go/no-go gauge, against reference pieces.

Read :func:`judged`.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from beadwright.errors import Fault
from beadwright.interop.studies.opened import Opened, Placed
from beadwright.plant.gauge_studies.cells import Cells, StudyRow, arranged

__all__ = ["Judged", "judged"]

_GOOD = frozenset({"pass", "passed", "p", "ok", "go", "good", "accept", "accepted", "1"})
_BAD = frozenset(
    {"fail", "failed", "f", "nok", "no-go", "no go", "nogo", "bad", "reject", "rejected", "0"}
)


@dataclass(frozen=True, slots=True)
class Judged:
    """A study of a jig as a sheet holds it."""

    file: str
    cells: Cells[bool]
    """True where a piece was accepted."""
    good: tuple[bool, ...]
    """By piece, whether the reference says that it is good."""
    sizes: tuple[Decimal, ...]
    """By piece; empty where the sheet has no column of sizes."""
    unit: str


def judged(sheet: Opened, *, decimal: str = "") -> Judged:
    """Read a study: columns piece, person, trial, result, reference, and size where it is known.

    Raises
    ------
    Refusal
        With everything that keeps it from being one.
    """
    sheet.require("part", "person", "result", "reference")
    sheet.refuse_others()
    rows: list[StudyRow[bool]] = []
    truth: dict[str, bool] = {}
    sizes: dict[str, Placed] = {}
    for line in sheet.lines:
        part = sheet.text(line, "part")
        result = _either(sheet, sheet.cell(line, sheet.columns["result"]))
        trial = sheet.columns.get("trial")
        number = "" if trial is None else str(sheet.cell(line, trial).text)
        where = sheet.cell(line, sheet.columns["result"]).where
        rows.append(StudyRow(part, sheet.text(line, "person"), number, result, where))
        _once(sheet, truth, part, sheet.cell(line, sheet.columns["reference"]))
        if "size" in sheet.columns:
            sizes.setdefault(part, sheet.cell(line, sheet.columns["size"]))
    sheet.refuse()
    cells = arranged(rows, of="piece")
    found, unit = _sizes(sheet, [sizes[one] for one in cells.parts if one in sizes], decimal)
    return Judged(sheet.name, cells, tuple(truth[one] for one in cells.parts), found, unit)


def _sizes(sheet: Opened, cells: list[Placed], decimal: str) -> tuple[tuple[Decimal, ...], str]:
    if not cells:
        return (), ""
    found, unit = sheet.numbers(cells, [one.unit for one in cells], decimal)
    return tuple(found), unit


def _either(sheet: Opened, cell: Placed) -> bool:
    said = str(cell.text).lower()
    if said not in _GOOD | _BAD:
        what = f'"{cell.text}" is neither pass nor fail' if said else "nobody says pass or fail"
        fault = Fault("choice_unknown", what, str(cell.text), cell.where, "Write pass or fail.")
        sheet.faults.append(fault)
    return said in _GOOD


def _once(sheet: Opened, truth: dict[str, bool], part: str, cell: Placed) -> None:
    """Take what the reference says of a piece: the same in each of its rows, or in the first."""
    if not cell.text and part in truth:
        return
    good = _either(sheet, cell)
    if truth.setdefault(part, good) != good:
        what = f"the reference calls piece {part} good in one row and bad in another"
        fault = Fault("study_repeated", what, str(cell.text), cell.where, "Look it up again.")
        sheet.faults.append(fault)
