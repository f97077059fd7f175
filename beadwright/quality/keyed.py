"""Readings as keyed, turned into SI or into faults: what cannot be meant is said before posting.

Read :func:`reading_faults` first; the projection takes its values from the same :func:`measure`,
so what one lets through the other can keep.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from decimal import Decimal
from functools import lru_cache
from typing import NamedTuple

from beadwright.errors import Fault, UnitError
from beadwright.ledger.draft import Reading, ReadingsDraft
from beadwright.quality.characteristics import (
    CHARACTERISTICS,
    CUP_PLACES,
    DERIVED,
    Characteristic,
    Scale,
)
from beadwright.units import Kind, converter, parse_number

__all__ = ["Measured", "measure", "reading_faults"]

_CUP = "cup_weight"
_FACT_KINDS: Mapping[str, Kind] = {"cup_volume": "volume", "thickness": "length"}
_THICK = (Decimal("0.0238"), Decimal("0.0270"))
"""Thickness of a specimen whose result is of 25.4 mm, in m: 1.6 mm to either side, the tolerance
of a board of that thickness (AASHTO M 230-07 (2020), which cites ASTM C578)."""
_PASS = {"pass": 1.0, "fail": 0.0}


class Measured(NamedTuple):
    """A reading's characteristic, its value and standard uncertainty in SI where it has them."""

    characteristic: str
    si: float | None
    u_si: float | None


_UNKNOWN = Measured("", None, None)


def reading_faults(draft: ReadingsDraft) -> list[Fault]:
    """Everything that cannot be meant about a draft of readings, whoever posts it."""
    if not draft.readings:
        remedy = "State at least one, or leave the row out."
        return [Fault("no_reading", "a draft of readings holds none", "", draft.key, remedy)]
    return [
        fault
        for number, reading in enumerate(draft.readings)
        for fault in measure(reading, number, draft.key)[1]
    ]


def measure(reading: Reading, number: int, key: str) -> tuple[Measured, list[Fault]]:
    """Give a reading in SI and what is wrong with it; ``number`` is its place in its draft."""
    known = CHARACTERISTICS.get(_name(reading))
    if known is None:
        return _UNKNOWN, [_unknown(reading, number, key)]
    faults: list[Fault] = []

    def fault(code: str, what: str, value: str, remedy: str) -> None:
        where = f"{key}, reading {number + 1}"
        faults.append(Fault(code, f"{reading.characteristic}: {what}", value, where, remedy))

    if not (reading.lot or reading.step or reading.specimen):
        remedy = "Name the lot, the step or the specimen."
        fault("subject_missing", "nothing says what was measured", "", remedy)
    if reading.replicate < 1 or any(not 0 <= parent < number for parent in reading.parents):
        remedy = "Count replicates from 1; derive only from readings before this one."
        what = "its replicate or one of its parents does not exist"
        fault("bad_reference", what, str(reading.parents or reading.replicate), remedy)
    for name in known.facts:
        _check_fact(reading, name, fault)
    if known.kind is None:
        return Measured(known.name, _word(reading, known, fault), None), faults
    try:
        si, u_si = _number(reading, known, fault)
    except UnitError as error:
        fault(error.code, error.what, f"{reading.value} {reading.unit}".strip(), error.remedy)
        si, u_si = None, None
    return Measured(known.name, si, u_si), faults


_Say = Callable[[str, str, str, str], None]


def _name(reading: Reading) -> str:
    """Name in the table; of a cup it depends on where the cup was weighed."""
    if reading.characteristic != _CUP:
        # The three names of a cup are ours: keyed, a cup always says where.
        return "" if reading.characteristic.startswith(_CUP) else reading.characteristic
    place = reading.facts.get("place", "")
    return f"{_CUP}_{place if place in CUP_PLACES else CUP_PLACES[0]}"


def _unknown(reading: Reading, number: int, key: str) -> Fault:
    name = reading.characteristic
    names = sorted({_CUP, *(n for n in CHARACTERISTICS if not n.startswith(_CUP))})
    what = f"nothing that is measured is called {name!r}"
    remedy = f"There are: {', '.join(names)}."
    if name in DERIVED:
        what = f"{name} is calculated, not keyed"
        remedy = "Key what was weighed, measured or counted."
    return Fault("unknown_characteristic", what, name, f"{key}, reading {number + 1}", remedy)


def _check_fact(reading: Reading, name: str, fault: _Say) -> None:
    text = reading.facts.get(name, "")
    if not text:
        fault("fact_missing", f"its {name} is not stated", "", f"State {name}.")
        return
    if name == "place":
        if text not in CUP_PLACES:
            fault("fact_unknown", "no such place", text, f"It is {' or '.join(CUP_PLACES)}.")
        return
    try:
        size = _size(name, text)
    except UnitError as error:
        fault(error.code, f"{name}: {error.what}", text, error.remedy)
        return
    if size < 0 or (size == 0 and name in _FACT_KINDS):
        fault("amount_negative", f"its {name} cannot be {text}", text, "Correct it.")
    elif name == "thickness" and not _THICK[0] <= size <= _THICK[1]:
        remedy = "Test 25.4 mm; a thermal result of another thickness is keyed as a conductivity."
        fault("fact_unknown", "it is of 25.4 mm, within 1.6 mm", text, remedy)


def _size(name: str, text: str) -> Decimal:
    """Size of a condition: with its unit, or bare where the name says the unit."""
    if name not in _FACT_KINDS:
        return parse_number(text, decimal=".")
    value, _, unit = text.partition(" ")
    return converter(unit, _FACT_KINDS[name])(parse_number(value, decimal="."))


def _word(reading: Reading, known: Characteristic, fault: _Say) -> float | None:
    words = known.grades if known.scale is Scale.GRADE else tuple(_PASS)
    if reading.value not in words:
        fault("not_a_grade", "no such value", reading.value, f"It is {' or '.join(words)}.")
    if reading.unit or reading.uncertainty:
        what = "it has no unit and no uncertainty"
        fault("unit_unknown", what, reading.unit or reading.uncertainty, "Leave both out.")
    return _PASS.get(reading.value)


def _number(
    reading: Reading, known: Characteristic, fault: _Say
) -> tuple[float | None, float | None]:
    convert = _converter(reading.unit, known.name)
    value = parse_number(reading.value, decimal=".")
    if value < 0 and known.scale not in {Scale.CHANGE, Scale.INTERVAL}:
        fault("amount_negative", "it is below zero", reading.value, "Correct the value.")
    if known.scale is Scale.COUNT:
        if value != value.to_integral_value():
            fault("not_whole", "pieces are whole", reading.value, "Correct the count.")
    elif value == 0 and known.scale is Scale.RATIO and not known.may_be_zero:
        fault("amount_negative", "it is not above zero", reading.value, "Correct the value.")
    u_si = None
    if reading.uncertainty:
        u = parse_number(reading.uncertainty, decimal=".")
        if u < 0:
            what = "its standard uncertainty is below zero"
            fault("uncertainty_negative", what, reading.uncertainty, "Correct it.")
        u_si = float(convert(u))
    return float(convert(value)), u_si


@lru_cache(maxsize=1024)
def _converter(unit: str, name: str) -> Callable[[Decimal], Decimal]:
    """Resolve a unit once for each characteristic."""
    kind = CHARACTERISTICS[name].kind
    if kind is None:
        message = f"{name} has no unit"
        raise TypeError(message)
    return converter(unit, kind)
