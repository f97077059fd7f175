"""A test's form: what is known before it is keyed, and a result worked out from its figures.

Read :func:`likely_of` and :func:`worked`.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass, field, replace
from decimal import Decimal

from django.http import QueryDict

from beadwright.errors import BeadwrightError, OutOfRange, UnitError
from beadwright.interop import keyed
from beadwright.interop.keyed import Likely
from beadwright.interop.load_frame.by_machine import read_as_kept
from beadwright.interop.load_frame.kept import FROM_CURVES, kept_result, read_from
from beadwright.lab.reduction import (
    Figure,
    Figures,
    Reduced,
    Reduction,
    way_of,
    worked_out,
)
from beadwright.ledger import lots
from beadwright.plant.conditioning import SampleLot
from beadwright.plant.frame_layouts import layouts
from beadwright.plant.kept_curves import kept_curve
from beadwright.plant.moment import moment
from beadwright.plant.opening import Plant
from beadwright.plant.with_what import proposed
from beadwright.quality.characteristics import CHARACTERISTICS
from beadwright.quality.conditions import APART, CONDITIONS, CURVE, DEPARTED, SAMPLE, WORKED_FROM
from beadwright.units import Kind, System, accepted, from_si, parse_number, shown_unit, to_si
from beadwright.web.laboratory.bench import BenchTest

__all__ = ["FIGURE", "Worked", "likely_of", "of_curve", "units_of", "worked"]

FIGURE = "figure-"
"""Begins the field of a figure that a result is worked out from."""

_DIGITS = 5
_FEW = 3
"""Digits of a band's ends."""
_UNCERTAINTY = "uncertainty"
_PARTED = re.compile(r"[\s;]+")
"""What parts several numbers of one figure."""
_UNITS: Mapping[str, str] = {
    "conditioned": "h", "temperature": "°C", "humidity": "%", "thickness": "mm",
    "exposed": "h", "exposed_at": "°C", "exposed_humidity": "%", "age": "h",
}  # fmt: skip


_BY_READER = frozenset({"length", "temperature", "temperature_difference"})
"""Kinds of condition of which nothing is filled in before the reader's unit is known."""

_TOLD_BY_READER: frozenset[Kind | None] = frozenset({"pressure"})
"""Kinds of result that are told in the reader's unit; the others in that of their limits."""


@dataclass(frozen=True, slots=True)
class Worked:
    """What was sent, with the result worked out where its figures are there."""

    sent: QueryDict
    said: str = ""
    """The result, and what it was worked out from."""
    wrong: Mapping[str, str] = field(default_factory=dict)
    """By figure, what is wrong with it."""
    value_si: float | None = None
    band_si: tuple[float, float] | None = None


def likely_of(
    plant: str, test: BenchTest, lot: str, sample: SampleLot | None, at_ms: int
) -> Likely:
    """Give what a form holds before anything is keyed: nothing that is to be measured."""
    given = {"lot": lot or (sample.lot if sample is not None else "")}
    method = test.method.name if test.method is not None else CHARACTERISTICS[test.name].method
    given["method"] = method
    known = {name: text for name, text in given.items() if text}
    usual = keyed.usual(plant, test.kind, known)
    no = lots.plant_number(plant)
    texts = dict(known)
    if lots.get(no, given["lot"]) is not None:  # of no lot, or of one unknown, nothing is next
        texts["specimen"] = usual.texts.get("specimen", "")
    tool = usual.texts.get("instrument") or proposed(no, {test.name}, at_ms)
    if tool and not CHARACTERISTICS[test.name].by_hand:
        texts["instrument"] = tool
    if sample is not None:
        texts[SAMPLE] = sample.code
        if sample.since_ms is not None and "conditioned" in test.conditions:
            texts["conditioned"] = f"{sample.hours(at_ms):.1f}"
    units = {name: _unit(test, name) for name in test.conditions}
    if test.ways:
        units[test.name] = test.ways[0].unit
    return Likely(texts, units)


def _unit(test: BenchTest, condition: str) -> str:
    """Give the unit of a condition: that of the method, else the usual one."""
    asked = () if test.method is None else test.method.conditions
    return next((one.unit for one in asked if one.name == condition), _UNITS.get(condition, "K"))


def units_of(likely: Likely, test: BenchTest, system: System) -> Likely:
    """Give a form's conditions in the units that a person reads by; hours and per cent stay."""
    own = {
        name: shown_unit(CONDITIONS[name], system)
        for name in test.conditions
        if CONDITIONS[name] in _BY_READER
    }
    kind = CHARACTERISTICS[test.name].kind
    if kind is not None and kind in _TOLD_BY_READER:
        own[test.name] = shown_unit(kind, system)
    return replace(likely, units={**likely.units, **own})


def of_curve(plant: Plant, likely: Likely, test: BenchTest, sha256: str, system: System) -> Likely:
    """Put the result that a kept curve gives into a form, with what is known of its specimen.

    Its machine is the one whose kept layout fits the file, else the one that took every strength.

    Raises
    ------
    Misuse
        If it is not kept here, or was of another test.
    """
    strength, kept = read_from(sha256, test.name).strength_pa, kept_curve(sha256)
    taken, unit = kept.taken, "psi" if system == "us" else "kPa"
    known = {"specimen": taken.specimen, "method": taken.method}
    height = kept_result(kept)[1].loaded.sizes.get("height")
    if height is not None and "thickness" in test.conditions:
        known["thickness"] = _told(height, likely.units.get("thickness", "mm"), "length")
    by = read_as_kept(kept.raw, taken.name, {}, layouts(plant.no)).by
    known["instrument"] = (
        by.machine if by is not None else proposed(plant.no, FROM_CURVES, moment(plant))
    )
    texts = {
        **{name: text for name, text in likely.texts.items() if name != "instrument"},
        **{name: text for name, text in known.items() if text},
        test.name: _told(strength, unit, "pressure"),
        CURVE: sha256,
    }
    return replace(likely, texts=texts, units={**likely.units, test.name: unit})


def worked(said: QueryDict, test: BenchTest) -> Worked:
    """Work a result out where its figures are keyed, and put it with its conditions in the form.

    What a person keyed into the form's own fields of conditions stays as it is.
    """
    sent = said.copy()
    if sent.get(CURVE):
        with suppress(BeadwrightError):  # said when the row is read
            taken = kept_curve(str(sent[CURVE])).taken
            sent[WORKED_FROM] = f"{taken.name}, specimen {taken.specimen}"
    texts = {
        one.name: text
        for way in test.ways
        for one in way.asked
        if (text := sent.get(f"{FIGURE}{one.name}", "").strip())
    }
    if not texts:
        return Worked(sent)
    way = way_of(test.ways, tuple(texts))
    values, wrong = _values(sent, way, texts)
    if wrong:
        return Worked(sent, wrong=wrong)
    try:
        found = worked_out(way, Figures(values))
    except OutOfRange as error:
        where = error.argument if error.argument in texts else way.figures[0].name
        return Worked(sent, wrong={where: str(error)})
    return _put(sent, test, way, (found, texts))


def _put(
    sent: QueryDict, test: BenchTest, way: Reduction, of: tuple[Reduced, Mapping[str, str]]
) -> Worked:
    """Put a result with all that its figures say into the form."""
    found, texts = of
    kind = CHARACTERISTICS[test.name].kind
    assert kind is not None  # noqa: S101 - what is reduced has a unit
    unit = sent.get(f"unit-{test.name}", "") if kind in _TOLD_BY_READER else ""
    unit = unit if unit in accepted(kind) else way.unit
    number = _told(found.value, unit, kind)
    sent[test.name], sent[f"unit-{test.name}"] = number, unit
    keyed_ = (one for one in way.asked if one.name in texts)
    sent[WORKED_FROM] = "; ".join(_keyed(sent, one, texts[one.name]) for one in keyed_)
    sent[_UNCERTAINTY] = "" if found.u is None else f"{_told(found.u, unit, kind)} {unit}"
    sent[DEPARTED] = APART.join(map(str, found.departures))
    for name, value in found.conditions.items():
        if name in test.conditions and not sent.get(name, "").strip():
            by = sent.get(f"unit-{name}", "") or _unit(test, name)
            sent[name] = _told(value, by, CONDITIONS[name])
            sent[f"unit-{name}"] = by
    band = None if found.low is None or found.high is None else (found.low, found.high)
    text = f"{number} {unit}"
    if band is not None:
        low, high = (_told(end, unit, kind, _FEW) for end in band)
        text += f" (about 95 %: {low} to {high})"
    text += f": {way.formula}"
    return Worked(sent, f"{text}; {found.beside}" if found.beside else text, {}, found.value, band)


def _values(
    sent: QueryDict, way: Reduction, texts: Mapping[str, str]
) -> tuple[dict[str, float | tuple[float, ...] | str], dict[str, str]]:
    values: dict[str, float | tuple[float, ...] | str] = {}
    wrong: dict[str, str] = {}
    for one in way.asked:
        text = texts.get(one.name, "")
        if not text:
            if one.required:
                wrong[one.name] = "It is needed with the others, or none of them."
            continue
        if one.sort == "text":
            values[one.name] = text
            continue
        unit = sent.get(f"unit-{FIGURE}{one.name}", "") or one.unit
        parts = _PARTED.split(text) if one.sort == "numbers" else [text]
        try:
            numbers = tuple(float(to_si(_number(part), unit, one.kind)) for part in parts)
        except UnitError as error:
            wrong[one.name] = str(error)
        else:
            values[one.name] = numbers if one.sort == "numbers" else numbers[0]
    return values, wrong


def _number(text: str) -> Decimal:
    return parse_number(text, decimal=".")


def _keyed(sent: QueryDict, one: Figure, text: str) -> str:
    unit = sent.get(f"unit-{FIGURE}{one.name}", "") or one.unit
    return f"{one.label.lower()} {text}{'' if unit == '1' else f' {unit}'}"


def _told(value: float, unit: str, kind: Kind, digits: int = _DIGITS) -> str:
    number = from_si(Decimal(repr(float(value))), unit, kind)
    places = max(0, digits - 1 - number.adjusted()) if number else 0
    return f"{round(number, places):f}"
