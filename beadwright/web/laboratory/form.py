"""A test's form: what is known before it is keyed, and a result worked out from its figures.

Read :func:`likely_of` and :func:`worked`.
"""

from __future__ import annotations

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
from beadwright.lab.reductions import Figure, reduce
from beadwright.ledger import lots
from beadwright.plant.conditioning import SampleLot
from beadwright.plant.frame_layouts import layouts
from beadwright.plant.kept_curves import kept_curve
from beadwright.plant.moment import moment
from beadwright.plant.opening import Plant
from beadwright.plant.with_what import proposed
from beadwright.quality.characteristics import CHARACTERISTICS
from beadwright.quality.conditions import CONDITIONS, CURVE, SAMPLE, WORKED_FROM
from beadwright.units import Kind, System, from_si, parse_number, to_si
from beadwright.web.laboratory.bench import BenchTest

__all__ = ["FIGURE", "Worked", "likely_of", "of_curve", "worked"]

FIGURE = "figure-"
"""Begins the field of a figure that a result is worked out from."""

_DIGITS = 5
_UNITS: Mapping[str, str] = {
    "conditioned": "h", "temperature": "°C", "humidity": "%", "thickness": "mm",
    "exposed": "h", "exposed_at": "°C", "exposed_humidity": "%", "age": "h",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Worked:
    """What was sent, with the result worked out where its figures are there."""

    sent: QueryDict
    said: str = ""
    """The result, and what it was worked out from."""
    wrong: Mapping[str, str] = field(default_factory=dict)
    """By figure, what is wrong with it."""


def likely_of(
    plant: str, test: BenchTest, lot: str, sample: SampleLot | None, at_ms: int
) -> Likely:
    """Give what a form holds before anything is keyed: nothing that is to be measured."""
    given = {"lot": lot or (sample.lot if sample is not None else "")}
    method = test.method.name if test.method is not None else CHARACTERISTICS[test.name].method
    given["method"] = method
    known = {name: text for name, text in given.items() if text}
    usual = keyed.usual(plant, test.kind, known)
    texts = {**known, "specimen": usual.texts.get("specimen", "C1")}
    tool = usual.texts.get("instrument") or proposed(lots.plant_number(plant), {test.name}, at_ms)
    if tool:
        texts["instrument"] = tool
    if sample is not None:
        texts[SAMPLE] = sample.code
        if sample.since_ms is not None and "conditioned" in test.conditions:
            texts["conditioned"] = f"{sample.hours(at_ms):.1f}"
    units = {name: _unit(test, name) for name in test.conditions}
    if test.reduction is not None:
        units[test.name] = test.reduction.unit
    return Likely(texts, units)


def _unit(test: BenchTest, condition: str) -> str:
    """Give the unit of a condition: that of the method, else the usual one."""
    asked = () if test.method is None else test.method.conditions
    return next((one.unit for one in asked if one.name == condition), _UNITS.get(condition, "K"))


def of_curve(plant: Plant, likely: Likely, test: BenchTest, sha256: str, system: System) -> Likely:
    """Put the result that a kept curve gives into a form, with what is known of its specimen.

    Its machine is the one whose kept layout fits the file, else the one that took every strength.

    Raises
    ------
    Misuse
        If it is not kept here, or was of another test.
    """
    strength, kept = read_from(sha256, test.name), kept_curve(sha256)
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
    reduction = test.reduction
    if reduction is None:
        return Worked(sent)
    texts = {one.name: sent.get(f"{FIGURE}{one.name}", "").strip() for one in reduction.figures}
    if not any(texts.values()):
        return Worked(sent)
    values, wrong = _values(sent, test, texts)
    if wrong:
        return Worked(sent, wrong=wrong)
    try:
        reads = reduction.reads
        found = reduce(test.name, values) if reads is None else reads(*texts.values())
    except OutOfRange as error:
        where = error.argument if error.argument in texts else reduction.figures[0].name
        return Worked(sent, wrong={where: str(error)})
    kind = CHARACTERISTICS[test.name].kind
    assert kind is not None  # noqa: S101 - what is reduced has a unit
    number = _told(found.value, reduction.unit, kind)
    sent[test.name], sent[f"unit-{test.name}"] = number, reduction.unit
    figures = "; ".join(_keyed(sent, one, texts[one.name]) for one in reduction.figures)
    sent[WORKED_FROM] = figures
    for name, value in found.conditions.items():
        if name in test.conditions and not sent.get(name, "").strip():
            unit = sent.get(f"unit-{name}", "") or _unit(test, name)
            sent[name] = _told(value, unit, CONDITIONS[name])
            sent[f"unit-{name}"] = unit
    return Worked(sent, f"{number} {reduction.unit}: {reduction.formula}")


def _values(
    sent: QueryDict, test: BenchTest, texts: Mapping[str, str]
) -> tuple[dict[str, float], dict[str, str]]:
    values: dict[str, float] = {}
    wrong: dict[str, str] = {}
    reduction = test.reduction
    for one in () if reduction is None or reduction.reads is not None else reduction.figures:
        unit = sent.get(f"unit-{FIGURE}{one.name}", "") or one.unit
        try:
            if not texts[one.name]:
                wrong[one.name] = "It is needed with the others, or none of them."
            else:
                values[one.name] = float(to_si(_number(texts[one.name]), unit, one.kind))
        except UnitError as error:
            wrong[one.name] = str(error)
    return values, wrong


def _number(text: str) -> Decimal:
    return parse_number(text, decimal=".")


def _keyed(sent: QueryDict, one: Figure, text: str) -> str:
    unit = sent.get(f"unit-{FIGURE}{one.name}", "") or one.unit
    return f"{one.label.lower()} {text}{'' if unit == '1' else f' {unit}'}"


def _told(value: float, unit: str, kind: Kind) -> str:
    number = from_si(Decimal(repr(float(value))), unit, kind)
    places = max(0, _DIGITS - 1 - number.adjusted()) if number else 0
    return f"{round(number, places):f}"
