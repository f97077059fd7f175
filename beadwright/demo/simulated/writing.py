"""The folder of a simulated plant: settings, sheets with their layouts, and the truth.

Read :func:`write_simulated` first.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from beadwright.demo.files import SHEETS, Column, Sheet, layout_text, sheet_text
from beadwright.demo.sheets import Expansion, Moulding, Row
from beadwright.demo.simulated.answers import answers
from beadwright.demo.simulated.plant import Plant
from beadwright.demo.simulated.settings import settings_text

__all__ = ["Written", "write_simulated"]

_DEMONSTRATION = date(2025, 9, 8)  # minute 0 of the writers
_DAY = 24 * 60
_CUT = frozenset({"specimens", "first_pieces", "reports", "calibrations"})
_CUT |= {"silo_temperatures", "mesh_samples", "corrections"}


@dataclass(frozen=True)
class Written:
    """What was written."""

    folder: Path
    seed: int
    months: int
    rows: int


def write_simulated(plant: Plant, folder: Path, until: int | None = None) -> Written:
    """Write a simulated plant: the files that ``import`` reads, and the truth beside them.

    ``until`` is a minute: the sheets are then as they were, without what was entered later.
    """
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in _files(plant, plant.end if until is None else until):
        (folder / name).write_bytes(text.encode("utf-8"))
    rows = sum(len(of) for of in plant.rows.values())
    return Written(folder, plant.seed, plant.months, rows)


def _files(plant: Plant, until: int) -> Iterator[tuple[str, str]]:
    yield "plant.toml", settings_text(plant.parameters)
    zone = plant.parameters.text("plant", "zone")
    shift = (plant.parameters.first - _DEMONSTRATION).days * _DAY
    for sheet in _sheets():
        known = plant.rows.get(sheet.kind, ())
        known = [row for row in known if plant.entered.get(row, row.written) < until]
        rows = [_moved(row, shift) for row in known]
        yield f"{sheet.name}.csv", sheet_text(sheet, list(enumerate(rows, 1)))
        yield f"{sheet.name}.layout.toml", layout_text(sheet, zone)
    yield "truth.json", json.dumps(answers(plant), indent=1, sort_keys=True) + "\n"


def _sheets() -> Iterator[Sheet]:
    """The demonstration's sheets; what is left in a place goes into a bin, which it names too.

    Its moulds have several cavities: what is scrapped and what is looked over says of which.
    """
    more = {"silo_moves": "bin", "mould_runs": "cavity", "inspections": "cavity"}
    for sheet in SHEETS:
        if sheet.kind in more:
            heading = more[sheet.kind]
            yield replace(sheet, columns=(*sheet.columns, Column(heading, heading)))
        elif sheet.kind not in _CUT:
            yield sheet


def _moved(row: Row, shift: int) -> Row:
    """The row in the writers' minutes."""
    if isinstance(row, Expansion | Moulding):
        return replace(row, at=row.at + shift, ended=row.ended + shift)
    return replace(row, at=row.at + shift)
