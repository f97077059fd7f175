"""Tests required against done, and instruments: what is due, overdue, never done."""

from __future__ import annotations

from beadwright.plant.calibrations import instruments
from beadwright.plant.opening import Plant
from beadwright.reports.visit.parts import Part, table

__all__ = ["parts"]


def parts(plant: Plant, at_ms: int) -> tuple[Part, ...]:
    """Give the parts on tests and on instruments."""
    return (_instruments(plant, at_ms),)


def _instruments(plant: Plant, at_ms: int) -> Part:
    rows = [
        (one.name, one.what, one.place, one.every, one.status.fitness,
         "" if one.status.last is None else one.status.last.done.isoformat(),
         "" if one.status.due is None else one.status.due.isoformat(),
         "" if one.status.last is None else one.status.last.certificate)
        for one in instruments(plant.no, at_ms)
    ]  # fmt: skip
    columns = "instrument|what:3|place:2|every|state|last done|holds until|certificate:2"
    none = "The plant lists no instrument: readings are not judged by calibration."
    return Part(
        "Instruments and calibrations", tables=(table("As they stand", columns, rows, none),)
    )
