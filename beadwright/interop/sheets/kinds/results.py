"""Test results of specimens: strength, conductivity, water and all else a laboratory reports.

Read :data:`RESULTS`. A row is one specimen; each characteristic is a column of its own, named as
in :mod:`beadwright.quality.characteristics`, with its unit in the header.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from beadwright.errors import Misuse
from beadwright.interop.sheets.cells import KEPT, Cell, Field, Row, Sort, recalled
from beadwright.interop.sheets.kinds.kind import (
    NOTHING,
    Drafts,
    Recalled,
    SheetKind,
    by_name,
    no_lots,
    nothing_usual,
)
from beadwright.interop.sheets.register import Register
from beadwright.ledger.draft import Reading, ReadingsDraft
from beadwright.quality.characteristics import CHARACTERISTICS, Level, is_change
from beadwright.quality.conditions import (
    CONDITIONS,
    CURVE,
    CUT_AT,
    HOURS,
    SAMPLE,
    WORKED_FROM,
    fact_of,
)
from beadwright.quality.keyed import reading_faults

__all__ = ["RESULTS"]

_NAMES = tuple(
    name
    for name, known in CHARACTERISTICS.items()
    if known.level is Level.SPECIMEN and not name.startswith("specimen_")
)
_SECONDS = 3600
_WORDS = (CUT_AT, SAMPLE, WORKED_FROM, CURVE)
_AS_KEYED = (*(name for name in CONDITIONS if name not in HOURS), *_WORDS)
"""Conditions that are kept as keyed: with their units, or in words."""


def _results(row: Row, register: Register) -> Drafts:
    register.need_lot(row, "lot")
    if not any(name in row.cells for name in _NAMES):
        what = "no result is stated"
        register.fault(row, "specimen", "row_empty", what=what, remedy="Leave the row out.")
    for name in _NAMES if row.text(CURVE) else ():
        _as_the_curve_says(row, register, name)
    if row.bad:
        return NOTHING
    draft = ReadingsDraft(row.readings_key, row.number_of("at"), tuple(_readings(row)), row.by)
    faults = reading_faults(draft)
    for fault in faults:
        name = next((name for name in _NAMES if fault.what.startswith(f"{name}:")), "specimen")
        register.fault(row, name, fault.code, what=fault.what, remedy=fault.remedy)
    return NOTHING if faults else Drafts(readings=draft)


def _as_the_curve_says(row: Row, register: Register, name: str) -> None:
    """Say where a result is not what its kept curve gives."""
    from beadwright.interop.load_frame.kept import (  # noqa: PLC0415 - it reads sheets itself
        read_from,
    )

    value = row.measure(name)
    if value is None:
        return
    try:
        read_from(row.text(CURVE), name, float(value.si))
    except Misuse as no:
        remedy = "Put the file in again under Strength from a curve, or leave the curve out."
        register.fault(row, CURVE, "bad_curve", what=str(no), remedy=remedy)


def _readings(row: Row) -> Iterable[Reading]:
    for name in _NAMES:
        value = row.measure(name)
        if value is not None:
            yield Reading(
                name,
                value.text,
                value.unit,
                lot=row.text("lot"),
                specimen=row.text("specimen"),
                instrument=row.text("instrument"),
                method=row.text("method"),
                facts=_facts(row, name),
            )


def _facts(row: Row, name: str) -> dict[str, str]:
    facts = {fact_of(one): text for one in HOURS if (text := _hours(row, one))}
    facts |= {name: row.keyed(name) for name in _AS_KEYED if name in row.cells}
    if name in row.kept:
        facts["kept"] = KEPT
    return facts


def _hours(row: Row, condition: str) -> str:
    """Give hours as a bare number; empty where none are stated."""
    value = row.measure(condition)
    return "" if value is None else f"{(value.si / _SECONDS).normalize():f}"


def _recall(draft: ReadingsDraft) -> Recalled:
    cells: dict[str, Cell] = {"at": draft.happened_at, "by": draft.by}
    texts: dict[str, str] = {}
    for reading in draft.readings:
        texts |= {
            reading.characteristic: f"{reading.value} {reading.unit}",
            "lot": reading.lot,
            "specimen": reading.specimen,
            "instrument": reading.instrument,
            "method": reading.method,
        }
        texts |= {name: reading.facts.get(name, "") for name in _AS_KEYED}
        texts |= {
            one: f"{reading.facts[fact_of(one)]} h"
            for one in HOURS
            if fact_of(one) in reading.facts
        }
    cells |= {name: recalled(_FIELDS[name], text) for name, text in texts.items() if text}
    kept = {one.characteristic for one in draft.readings if "kept" in one.facts}
    return Recalled(cells, frozenset(kept))


def _condition(name: str) -> Field:
    kind = CONDITIONS[name]
    sort = next(sort for sort in Sort if sort.quantity == kind)
    positive = kind in {"length", "duration", "temperature_difference"}
    unit = "h" if kind == "duration" else ""
    signed = kind == "temperature"
    return Field(name, sort, required=False, positive=positive, unit=unit, signed=signed)


def _field(name: str) -> Field:
    known = CHARACTERISTICS[name]
    signed = is_change(name)
    sort = next(sort for sort in Sort if sort.quantity == known.kind)
    return Field(
        name, sort, required=False, positive=not (signed or known.may_be_zero), signed=signed
    )


_FIELDS: Mapping[str, Field] = by_name(
    Field("at", Sort.TIME),
    Field("lot", Sort.CODE),
    Field("specimen"),
    Field("thickness", Sort.LENGTH, required=False, positive=True),
    Field("conditioned", Sort.HOURS, required=False, unit="h"),
    *map(_condition, (name for name in CONDITIONS if name not in {"thickness", "conditioned"})),
    *map(_field, _NAMES),
    Field(CUT_AT, required=False),
    Field(SAMPLE, Sort.CODE, required=False),
    Field(WORKED_FROM, required=False),
    Field(CURVE, required=False),
    Field("method", required=False),
    Field("instrument", required=False),
    Field("by", Sort.PERSON, required=False),  # a laboratory's people are not ours
)

RESULTS = (SheetKind("results", "at", _FIELDS, no_lots, _results, nothing_usual, _recall),)
