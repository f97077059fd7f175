"""The advice at one pre-expander, with the numbers it rests on.

Read :func:`steering`. It advises; a person acts, and tells it; nothing is written to a machine.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from typing import Literal

from beadwright.errors import Misuse
from beadwright.ledger import settings
from beadwright.ledger.settings import Settings
from beadwright.plant.machines import places_of
from beadwright.plant.moment import moment
from beadwright.plant.opening import Plant
from beadwright.plant.physical import physical
from beadwright.plant.steering.history import Cups, History, history
from beadwright.statistics.steer import (
    Advice,
    Band,
    Change,
    Drift,
    Gain,
    Habit,
    Knob,
    Series,
    advised,
    band_at,
    cheapest_band,
    combined_gain,
    fit_drift,
    habit_of,
    learnt_gain,
)

__all__ = ["Machine", "Steering", "machine_of", "steering", "steering_of"]

_Knob = Literal["charge", "steaming", ""]

_LOOKED = 60
"""Newest cups that the forecast is made of; older ones carry no weight."""

_ENOUGH = 12
"""Cups of the machine's own from which its wander is fitted. Common practice, no source."""

_HABIT_OF = 20
_ASSUMED_SIGMA = 0.0102
"""Of one cup: 0.05 g of 22.5 g and 1 % of packing, our own arithmetic; no source."""

_CHARGE = Gain(1.0, 0.1, 0)
"""Density for charge, per cent for per cent: by mass alone, where the machine stops on level. The
tenth is ours."""

_STEAMING = Gain(-0.0125, 0.00625, 0)
"""For one second near 45 s: of the kinetics of one published curve, and half of it unsure."""

_USUAL = (0.2, 0.1)


@dataclass(frozen=True, slots=True)
class Machine:
    """What is set of a pre-expander that steering it needs."""

    place: str
    knob: _Knob
    """What a person changes; empty where nothing says."""
    trims: Literal["person", "machine", ""]
    """Who corrects its density."""
    step_si: float
    """Smallest change that can be set; 0 where nothing says."""
    dead_cups: int
    adjustment_cups: float | None


@dataclass(frozen=True, slots=True)
class Steering:
    """Leave or change, at one pre-expander, and why."""

    machine: Machine
    at_ms: int
    history: History | None
    advice: Advice | None = None
    """None where nothing can be advised: no knob, no target, no cup, what is set is not known."""
    lacks: tuple[str, ...] = ()
    """What it would need."""
    drift: Drift | None = None
    own_drift: bool = False
    """Whether the wander is the machine's own; else the usual one is assumed."""
    band: Band | None = None
    cheapest: Band | None = None
    gain: Gain | None = None
    habit: Habit | None = None
    now_si: float | None = None
    """What the knob stands at."""
    to_si: float | None = None
    """What it is advised to be set to."""


def steering_of(plant: Plant, place: str) -> Steering:
    """Say so of a pre-expander by its name, now.

    Raises
    ------
    Misuse
        If the plant has none of that name.
    """
    at_ms = moment(plant)
    known = places_of(plant.no, "expander", at_ms)
    if place not in known:
        message = f"{place} is no expander of {plant.code}; those: {', '.join(known) or 'none'}"
        raise Misuse(message)
    return steering(plant.no, place, at_ms)


def machine_of(in_force: Settings, place: str, at_ms: int) -> Machine:
    """Give what is set of a pre-expander."""
    body = in_force.at("place", place, at_ms) or {}
    knob: _Knob = {"level": "charge", "time": "steaming"}.get(  # type: ignore[assignment]
        str(body.get("stops_on", "")), ""
    )
    trims: Literal["person", "machine", ""] = (
        "machine" if body.get("trims") == "machine"
        else "person" if body.get("trims") == "person" else ""
    )  # fmt: skip
    step = physical(in_force, "place", place, f"{knob}_step", at_ms) if knob else None
    dead = physical(in_force, "place", place, "dead_cups", at_ms)
    cost = physical(in_force, "place", place, "adjustment_cups", at_ms)
    return Machine(place, knob, trims, step or 0.0, round(dead or 0), cost)


def steering(plant_no: int, place: str, at_ms: int, in_force: Settings | None = None) -> Steering:
    """Say whether to leave a pre-expander or to change it, and by how much."""
    known = settings.load(plant_no) if in_force is None else in_force
    machine = machine_of(known, place, at_ms)
    lacks = [
        f"[place.{place}] {key} in plant.toml: {words}"
        for key, words, there in (
            ("stops_on", '"level" or "time"', machine.knob),
            ("trims", 'who corrects its density, "person" or "machine"', machine.trims),
        )
        if not there
    ]
    found = history(plant_no, known, place, machine.knob or "charge", at_ms)
    if found is None:
        lacks.append("a cup, of a run that has a target")
    elif machine.knob and found.knob_si is None:
        lacks.append(f"the {machine.knob} as it stands now: tell it as an adjustment")
    if lacks or found is None:
        return Steering(machine, at_ms, found, lacks=tuple(lacks))
    return _advised(machine, at_ms, found)


def _advised(machine: Machine, at_ms: int, found: History) -> Steering:
    assumed = _CHARGE if machine.knob == "charge" else _STEAMING
    runs = [_run(one, machine.knob) for one in found.rows]
    parts = tuple(
        part
        for run, row in zip(runs, found.rows, strict=True)
        for part in _parts(run, [number for number, _ in row.changes])
    )
    drift, gain, own = _learnt(parts, assumed, machine.dead_cups)
    half = math.log1p(found.band_kg_m3 / found.target_kg_m3)
    band = band_at(half, weight=drift.weight, sigma=drift.sigma, delay=machine.dead_cups)
    step = machine.step_si
    if machine.knob == "charge" and step:
        step = step / (found.knob_si or 1.0)
    knob = Knob(gain, step, delay=machine.dead_cups, trims_itself=machine.trims == "machine")
    e, acts = runs[-1]
    first = max(0, len(e) - _LOOKED)
    changes = tuple(Change(n - first, what) for n, what in found.rows[-1].changes if n >= first)
    advice = advised(Series(e[first:], acts[first:], changes), drift, band, knob)
    cheapest = None
    if machine.adjustment_cups is not None:
        cheapest = cheapest_band(
            weight=drift.weight, sigma=drift.sigma, adjustment=machine.adjustment_cups,
            square=drift.sigma**-2, delay=machine.dead_cups,
        )  # fmt: skip
    habit = None
    if len(e) >= _HABIT_OF and any(acts):
        effects = [gain.value * one for one in acts]
        habit = habit_of(e, effects, delay=machine.dead_cups)
    now = found.knob_si
    to = None if now is None or advice.word != "change" else _set_to(machine, now, advice.change)
    return Steering(machine, at_ms, found, advice, (), drift, own, band, cheapest, gain, habit,
                    now, to)  # fmt: skip


def _set_to(machine: Machine, now: float, change: float) -> float:
    """Give what the knob should be set to, rounded to what can be set."""
    to = now * math.exp(change) if machine.knob == "charge" else now + change
    return round(to / machine.step_si) * machine.step_si if machine.step_si else to


_Run = tuple[tuple[float, ...], tuple[float, ...]]


def _run(cups: Cups, knob: str) -> _Run:
    """Give deviations and the changes of the knob after each, in the unit of its gain."""
    acts = [0.0] * len(cups.deviations)
    for number, (old, new) in enumerate(zip(cups.set_to, cups.set_to[1:], strict=False)):
        if old and new and old != new:
            acts[number] = math.log(new / old) if knob == "charge" else new - old
    return cups.deviations, tuple(acts)


def _parts(run: _Run, cuts: Sequence[int]) -> Iterator[_Run]:
    """Cut a row of cups where something other than the knob changed: each part has its level."""
    e, acts = run
    for begin, end in pairwise((0, *dict.fromkeys(cuts), len(e))):
        yield e[begin:end], acts[begin:end]


@lru_cache(maxsize=64)
def _learnt(runs: tuple[_Run, ...], assumed: Gain, delay: int) -> tuple[Drift, Gain, bool]:
    """Learn gain and wander of a machine; the usual ones where it has too few cups."""
    usual = Drift(*_USUAL, _USUAL[0], _ASSUMED_SIGMA, sum(len(e) for e, _ in runs), 1.0)
    long = [one for one in runs if len(one[0]) > 2]  # noqa: PLR2004 - two cups have no order
    if sum(len(e) - 1 for e, _ in long) < _ENOUGH:
        return usual, assumed, False
    gain = combined_gain(assumed, learnt_gain(long, weight=_USUAL[0], delay=delay))
    alone = [_alone(e, acts, gain.value, delay) for e, acts in long]
    if all(max(e) == min(e) for e in alone):
        return usual, gain, False
    return fit_drift(alone), gain, True


def _alone(e: Sequence[float], acts: Sequence[float], gain: float, delay: int) -> list[float]:
    """Give deviations as they would be had nobody acted."""
    moved, found = 0.0, []
    for number, one in enumerate(e):
        if number - 1 - delay >= 0:
            moved += acts[number - 1 - delay]
        found.append(one - gain * moved)
    return found
