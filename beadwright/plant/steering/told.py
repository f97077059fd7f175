"""The advice at a pre-expander in words, and as a program reads it.

Read :func:`said`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict, dataclass
from decimal import Decimal
from typing import Any, Literal

from beadwright.plant.opening import Plant
from beadwright.plant.steering.answer import Steering
from beadwright.plant.steering.history import DAYS_BACK
from beadwright.plant.words import iso
from beadwright.statistics.steer import Advice, Band, Drift
from beadwright.units import System, from_si

__all__ = ["STEERING_CAUTION", "Said", "said", "set_as", "steering_json"]

STEERING_CAUTION = (
    "Advice from cups, by estimate: a person decides, and nothing is set on a machine. Steam and"
    " condensate scald. The machine's own interlocks decide."
)

_KNOBS = {"charge": "charge", "steaming": "steaming"}
_UNITS: dict[tuple[str, System], tuple[str, Literal["mass", "duration"]]] = {
    ("charge", "si"): ("kg", "mass"),
    ("charge", "us"): ("lb", "mass"),
    ("steaming", "si"): ("s", "duration"),
    ("steaming", "us"): ("s", "duration"),
}
_SMALL = 0.001
_WIDER = 1.02
"""Times the band from which the limit of now is told apart from it."""
_AT_LEAST = 0.0005


@dataclass(frozen=True, slots=True)
class Said:
    """The advice in words: what to do, why, and what is known of the machine."""

    sort: Literal["leave", "change", "wait", "lacks"]
    word: str
    why: str
    lines: tuple[str, ...] = ()


def said(found: Steering, units: System) -> Said:
    """Put the advice into words."""
    advice = found.advice
    if advice is None:
        return Said("lacks", "No advice", f"It would need {'; '.join(found.lacks)}.")
    lines = tuple(_lines(found, advice))
    if advice.word == "change" and found.now_si is not None and found.to_si is not None:
        now, to = (set_as(found, one, units) for one in (found.now_si, found.to_si))
        word = f"Change the {_KNOBS[found.machine.knob]}: {now} to {to}"
        return Said("change", word, _change(advice), lines)
    if advice.word == "refused":
        word = "Leave it to the machine" if advice.why == "trims_itself" else "No advice yet"
        return Said("wait", word, _refused(found, advice), lines)
    return Said("leave", "Leave", _leave(found, advice), lines)


def set_as(found: Steering, si: float, units: System) -> str:
    """Give what the knob is set to, in the reader's unit."""
    unit, kind = _UNITS[found.machine.knob, units]
    value = from_si(Decimal(repr(si)), unit, kind)
    return f"{value:.2f} {unit}" if found.machine.knob == "charge" else f"{value:.1f} {unit}"


def _change(advice: Advice) -> str:
    off = f"{_side(advice.forecast)} target ± {_share(advice.u_forecast)}"
    after = f"After it: {_side(advice.after)}."
    if advice.why == "off_target":
        return f"{advice.samples} cups without drift lie {off}: the setting is off. {after}"
    return f"Forecast {off}, beyond the limit now, ± {_share(advice.limit)}. {after}"


def _leave(found: Steering, advice: Advice) -> str:
    if advice.why == "no_drift":
        chance = found.drift.no_drift if found.drift else 1.0
        shown = (
            f"show no drift (chance {_chance(chance)})"
            if found.own_drift
            else "are too few to show"
        )
        tail = "" if found.own_drift else " a drift"
        return (
            f"The machine's cups {shown}{tail}; these {advice.samples} lie"
            f" {_side(advice.forecast)} target ± {_share(advice.u_forecast)}."
            " A change would only add scatter."
        )
    if advice.why == "below_step":
        return f"Forecast {_side(advice.forecast)} target: less than can be set."
    inside = f"within the limit now, ± {_share(advice.limit)}"
    return f"Forecast {_side(advice.forecast)} target ± {_share(advice.u_forecast)}, {inside}."


def _refused(found: Steering, advice: Advice) -> str:
    cups = "cup" if advice.wait == 1 else "cups"
    where = found.history.where if found.history else ""
    if advice.why == "trims_itself":
        return "It corrects its own density: two that steer would fight. Cups are watched only."
    if advice.why == "changed_inside":
        return f"The {advice.changed} changed: {advice.wait} more {where} {cups} first."
    return f"{advice.wait} more {where} {cups} first."


def _bands(found: Steering, advice: Advice, band: Band, drift: Drift) -> Iterator[str]:
    """Say what the plant's band costs, how wide the limit is now, and which band is cheapest."""
    shown = "" if drift.no_drift < _SHOWN else " If it does not drift, none."
    yield (
        f"The band of ± {_share(band.half_width)} asks for a change every {band.interval:.0f} cups"
        f" or so, and adds {_share(band.inflation)} to the scatter.{shown}"
    )
    told = advice.why in {"inside_band", "beyond_band"}
    if told and advice.limit > band.half_width * _WIDER:
        yield (
            f"The limit now, ± {_share(advice.limit)}, is that band made wider: the forecast of"
            f" {advice.samples} cups is less sure than it comes to be with more."
        )
    if found.cheapest is not None:
        best = found.cheapest
        yield (
            f"By what an adjustment is said to cost, ± {_share(best.half_width)} would be cheapest:"
            f" a change every {best.interval:.0f} cups, {_share(best.inflation)} more scatter."
        )


def _lines(found: Steering, advice: Advice) -> Iterator[str]:
    drift, band, gain = found.drift, found.band, found.gain
    if drift is None or band is None or gain is None:
        return
    if found.own_drift:
        yield (
            f"By {drift.samples} cups of {DAYS_BACK} days: the newest weighs {drift.weight:.2f} in"
            f" the forecast, one cup is known to {_share(drift.sigma)}, and so much drift would"
            f" come by chance in {_chance(drift.no_drift)} of machines that do not drift."
        )
    else:
        yield f"Too few cups of its own yet: one is taken as known to {_share(drift.sigma)}."
    yield from _bands(found, advice, band, drift)
    learnt = f"learnt from {gain.acts} adjustments" if gain.acts else "assumed"
    charge = found.machine.knob == "charge"
    unit, times = ("per cent more charge", 1) if charge else ("second more steaming", 100)
    effect = f"{times * gain.value:+.2f} % ± {times * gain.u:.2f} of density"
    yield f"One {unit}: {effect}, {learnt}."
    if gain.doubtful:
        yield "The adjustments on record say something else by far: look at the machine."
    habit = found.habit
    if habit is not None and habit.unstable:
        yield (
            f"Of late {_share(habit.share)} of each deviation was taken back; from"
            f" {_share(habit.largest_stable)} on the density swings ever wider. Let cups pass."
        )
    if advice.changed and advice.why != "changed_inside":
        yield f"Counted from the change of {advice.changed}."


_SHOWN = 0.05


def _side(value: float) -> str:
    """Say how far above or below, as ``1.9 % above``; next to nothing as ``on``."""
    if abs(value) < _AT_LEAST:
        return "on"
    return f"{_share(abs(value))} {'above' if value > 0 else 'below'}"


def _share(value: float) -> str:
    return f"{100 * value:.1f} %" if abs(value) >= _SMALL else f"{100 * value:.2f} %"


def _chance(value: float) -> str:
    return f"{100 * value:.0f} %" if value >= 0.01 else "less than 1 %"  # noqa: PLR2004


def steering_json(plant: Plant, found: Steering) -> dict[str, Any]:
    """Give the advice as a program reads it: shares as fractions, settings in SI."""
    told = said(found, "si")
    machine, past = found.machine, found.history
    return {
        **plant.about,
        "at": iso(found.at_ms, plant.zone),
        "caution": STEERING_CAUTION,
        "expander": machine.place,
        "knob": machine.knob,
        "trims": machine.trims,
        "says": {"word": told.word, "why": told.why, "lines": list(told.lines)},
        "lacks": list(found.lacks),
        "advice": None if found.advice is None else asdict(found.advice),
        "now": found.now_si,
        "to": found.to_si,
        "drift": None if found.drift is None else asdict(found.drift),
        "own_drift": found.own_drift,
        "band": None if found.band is None else _band(found.band),
        "cheapest": None if found.cheapest is None else _band(found.cheapest),
        "gain": None if found.gain is None else asdict(found.gain),
        "habit": None if found.habit is None else asdict(found.habit),
        "cups": None
        if past is None
        else {
            "where": past.where,
            "target_kg_m3": past.target_kg_m3,
            "at": [iso(one, plant.zone) for one in past.rows[-1].at_ms],
            "deviations": list(past.rows[-1].deviations),
            "set_to": list(past.rows[-1].set_to),
        },
    }


def _band(band: Any) -> dict[str, Any]:
    return {**asdict(band), "inflation": band.inflation}
