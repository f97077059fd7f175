"""Test results of specimens: strength, conductivity, water and all else a laboratory reports.

Read :data:`RESULTS`. A row is one specimen; each characteristic is a column of its own, named as
in :mod:`beadwright.quality.characteristics`, with its unit in the header.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from decimal import Decimal
from typing import TYPE_CHECKING

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
from beadwright.plant.cut_places import is_of_place, place_departures_of
from beadwright.plant.uncertainty import in_si
from beadwright.quality.characteristics import CHARACTERISTICS, MODULI, Level, is_change
from beadwright.quality.conditions import (
    APART,
    CONDITIONS,
    CURVE,
    CUT_AT,
    DEPARTED,
    HOURS,
    LACKS,
    SAMPLE,
    WORKED_FROM,
    fact_of,
)
from beadwright.quality.keyed import reading_faults
from beadwright.units import factor

if TYPE_CHECKING:
    from beadwright.interop.load_frame.kept import FromCurve

__all__ = ["RESULTS"]

_NAMES = tuple(
    name
    for name, known in CHARACTERISTICS.items()
    if known.level is Level.SPECIMEN and not name.startswith("specimen_")
)
_SPECIMEN = "specimen"
"""The field that says of which piece every result of the row is: an answer to it is of them all."""

_SECONDS = 3600
_WORDS = (CUT_AT, SAMPLE, WORKED_FROM, CURVE, DEPARTED)
_UNCERTAINTY = "uncertainty"
_SCATTER_ALONE = "force, travel and sizes: it is of the scatter about the line alone"
_BESIDE = frozenset(MODULI.values())
"""What a curve gives beside its result: never keyed with it."""
_AS_KEYED = (*(name for name in CONDITIONS if name not in HOURS), *_WORDS)
"""Conditions that are kept as keyed: with their units, or in words."""


def _results(row: Row, register: Register) -> Drafts:
    register.need_lot(row, "lot")
    if not any(name in row.cells for name in _NAMES):
        what = "no result is stated"
        register.fault(row, "specimen", "row_empty", what=what, remedy="Leave the row out.")
    stated = [name for name in _NAMES if name in row.cells] if row.text(CURVE) else []
    read = {name: said for name in stated if (said := _of_curve(row, register, name)) is not None}
    for name in read:
        _once(row, register, name)
    _as_uncertain(row, register)
    if row.bad:
        return NOTHING
    found = tuple(_readings(row, read, _place(row, register)))
    draft = ReadingsDraft(row.readings_key, row.number_of("at"), found, row.by)
    faults = reading_faults(draft)
    for fault in faults:
        name = next((name for name in _NAMES if fault.what.startswith(f"{name}:")), "specimen")
        what = fault.what.replace(f"{name}:", f"{name.replace('_', ' ')}:")
        register.fault(row, name, fault.code, what=what, remedy=fault.remedy)
    return NOTHING if faults else Drafts(readings=draft)


def _of_curve(row: Row, register: Register, name: str) -> FromCurve | None:
    """Give what its kept curve says of a result; say where the result is another one."""
    from beadwright.interop.load_frame.kept import (  # noqa: PLC0415 - it reads sheets itself
        read_from,
    )

    value = row.measure(name)
    if value is None:
        return None
    try:
        return read_from(row.text(CURVE), name, float(value.si))
    except Misuse as no:
        remedy = "Put the file in again under Strength from a curve, or leave the curve out."
        register.fault(row, CURVE, "bad_curve", what=str(no), remedy=remedy)
    return None


def _once(row: Row, register: Register, name: str) -> None:
    """Say where the same specimen of the same file gave that result already: it counts once."""
    sha256, mine = row.text(CURVE), row.readings_key
    for one in register.known.curve_read(sha256):
        if one.characteristic != name or f"{one.key}/".startswith(f"{mine}/"):
            continue  # another result of it; or this very row, or a version of it
        what = f"{name.replace('_', ' ')} of that specimen of that file is in the record: entry"
        what = f"{what} {one.seq}, of {one.lot}"
        remedy = f"Correct entry {one.seq} if it is wrong; a second test has a file of its own."
        register.fault(row, CURVE, "curve_read_already", what=what, remedy=remedy)
        return
    if register.read_of.setdefault((sha256, name), row.key) != row.key:
        what = f"two rows of these files read {name.replace('_', ' ')} from the same curve"
        register.fault(row, CURVE, "curve_read_already", what=what, remedy="Leave one of them out.")


def _as_uncertain(row: Row, register: Register) -> None:
    """Say where an uncertainty is of no result, of several, or in another unit."""
    text = row.text(_UNCERTAINTY)
    stated = [name for name in _NAMES if name in row.cells]
    if not text or not stated:
        return
    if len(stated) > 1:
        what = "an uncertainty is of one result, and there are several"
        register.fault(row, _UNCERTAINTY, "bad_uncertainty", what=what, remedy="Give each a row.")
    elif not _u_of(row, stated[0]):
        what = f"{text!r} is no standard uncertainty of {stated[0]}"
        remedy = 'Write a number above nothing with its unit, as "0.5 psi", or "2 %".'
        register.fault(row, _UNCERTAINTY, "bad_uncertainty", what=what, remedy=remedy)


def _u_of(row: Row, name: str) -> str:
    """Give the standard uncertainty in the unit of the result; empty where none is stated."""
    value, kind = row.measure(name), CHARACTERISTICS[name].kind
    text = row.text(_UNCERTAINTY)
    u = in_si(text, name, float(value.si)) if text and value is not None else None
    if u is None or value is None or kind is None:
        return ""
    return f"{Decimal(u) / factor(value.unit, kind):.4g}"


def _place(row: Row, register: Register) -> Mapping[str, object]:
    """Give what the product of the lot states of itself, where a specimen's place is stated."""
    lot = register.lot(row.text("lot")) if row.text(CUT_AT) else None
    if lot is None or not lot.product:
        return {}
    product = register.setting("product", lot.product, row.number_of("at"))
    return {} if product is None else product.body


def _readings(
    row: Row, read: Mapping[str, FromCurve], product: Mapping[str, object]
) -> Iterable[Reading]:
    for name in _NAMES:
        value = row.measure(name)
        if value is not None:
            one = Reading(
                name,
                value.text,
                value.unit,
                uncertainty=_u_of(row, name),
                lot=row.text("lot"),
                specimen=row.text("specimen"),
                instrument=row.text("instrument"),
                method=row.text("method"),
                facts=_facts(row, name),
            )
            of_curve = read[name].departures if name in read else ()
            said = place_departures_of(row.text(CUT_AT), one.specimen, name, product)
            yield _with_departures(one, (*of_curve, *map(str, said)))
            if name in read:
                yield _modulus(one, read[name])


def _with_departures(one: Reading, found: Iterable[str]) -> Reading:
    """Give a result with what its curve and its place show to be otherwise than is asked."""
    said_before = filter(None, one.facts.get(DEPARTED, "").split(APART))
    keyed = (each for each in said_before if not is_of_place(each))
    said = APART.join(dict.fromkeys((*keyed, *found)))
    facts = {key: text for key, text in one.facts.items() if key != DEPARTED}
    return replace(one, facts={**facts, DEPARTED: said} if said else facts)


def _modulus(one: Reading, of: FromCurve) -> Reading:
    """Give the modulus that the same curve gives, as a reading of its own."""
    facts = {key: text for key, text in one.facts.items() if key not in {DEPARTED, "kept"}}
    return replace(
        one,
        characteristic=of.modulus,
        value=_kilopascals(of.modulus_pa, 5),
        unit="kPa",
        uncertainty=_kilopascals(of.u_modulus_pa, 3) if of.u_modulus_pa > 0 else "",
        facts={**facts, LACKS: _SCATTER_ALONE} if of.u_modulus_pa > 0 else facts,
    )


def _kilopascals(value_pa: float, figures: int) -> str:
    return f"{Decimal(f'{value_pa / 1000:.{figures}g}'):f}"


def _facts(row: Row, name: str) -> dict[str, str]:
    facts = {fact_of(one): text for one in HOURS if (text := _hours(row, one))}
    facts |= {name: row.keyed(name) for name in _AS_KEYED if name in row.cells}
    if row.kept & {name, _SPECIMEN}:
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
        if CURVE in reading.facts and reading.characteristic in _BESIDE:
            continue  # worked out from the curve again, with the result beside it
        texts |= {
            reading.characteristic: f"{reading.value} {reading.unit}",
            "lot": reading.lot,
            "specimen": reading.specimen,
            "instrument": reading.instrument,
            "method": reading.method,
        }
        if reading.uncertainty:
            texts[_UNCERTAINTY] = f"{reading.uncertainty} {reading.unit}"
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
    Field(DEPARTED, required=False),
    Field(_UNCERTAINTY, required=False),
    Field("method", required=False),
    Field("instrument", required=False),
    Field("by", Sort.PERSON, required=False),  # a laboratory's people are not ours
)

RESULTS = (SheetKind("results", "at", _FIELDS, no_lots, _results, nothing_usual, _recall),)
