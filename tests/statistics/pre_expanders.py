"""Simulated pre-expanders whose density wanders, or does not, and the ways to steer them.

A sample is one cup. Deviations are logarithms of density over target, in units of the one-step
forecast error unless said. Read :func:`steered` first.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from beadwright.statistics.steer import (
    Band,
    Drift,
    Gain,
    Knob,
    Series,
    advised,
    band_at,
    combined_gain,
    fit_drift,
    learnt_gain,
)

__all__ = ["Machine", "Run", "chased", "disturbance", "left_alone", "steered"]

_Floats = NDArray[np.float64]

WARM_UP = 600
"""Cups with which the machine is learnt, and which are not counted."""

_KEPT, _LOOKED = 600, 30
_AGAIN = 50
_BETTER_KNOWN = 0.5  # relative uncertainty of the gain that is assumed


@dataclass(frozen=True)
class Machine:
    """A machine: how its density wanders, what its knob does, when that is seen."""

    weight: float
    gain: float = 1.0
    assumed: float = 1.0
    delay: int = 0
    half_width: float = 0.6


@dataclass(frozen=True)
class Run:
    """What came of it: deviations and acts, warm-up left out."""

    deviations: _Floats
    acts: _Floats

    @property
    def variance(self) -> float:
        """About the target; infinite where it swings away."""
        with np.errstate(over="ignore", invalid="ignore"):
            found = float(np.mean(self.deviations**2))
        return found if np.isfinite(found) else float("inf")

    @property
    def acted(self) -> float:
        """Share of samples after which the knob was changed."""
        return float(np.mean(self.acts != 0))


def disturbance(weight: float, count: int, rng: np.random.Generator) -> _Floats:
    """An integrated moving average that begins on target; white noise where the weight is 0."""
    a = rng.normal(size=count)
    return a + weight * (np.cumsum(a) - a)


def left_alone(wander: _Floats) -> Run:
    """Nobody acts."""
    return Run(wander[WARM_UP:], np.zeros(wander.size - WARM_UP))


def chased(machine: Machine, wander: _Floats) -> Run:
    """Every deviation is taken back at once, by the gain that is assumed."""
    acts = np.zeros(wander.size)
    e = np.zeros(wander.size)
    with np.errstate(over="ignore", invalid="ignore"):  # with dead time it swings away
        for t in range(wander.size):
            e[t] = wander[t] + _effect(machine, acts, t)
            acts[t] = -e[t] / machine.assumed
    return Run(e[WARM_UP:], acts[WARM_UP:])


def steered(machine: Machine, wander: _Floats) -> Run:
    """The advice is followed, from what the machine itself has shown."""
    acts, e = np.zeros(wander.size), np.zeros(wander.size)
    moved = 0.0
    gain = Gain(machine.assumed, _BETTER_KNOWN * abs(machine.assumed), 0)
    drift = Drift(0.2, 0.1, 0.2, 1.0, 0, 1.0)
    for t in range(wander.size):
        e[t] = wander[t] + machine.gain * moved
        if t >= _AGAIN and t % _AGAIN == 0:
            gain, drift = _learnt(machine, e[: t + 1], acts[: t + 1], drift)
        first = max(0, t + 1 - _LOOKED)
        series = Series(e[first : t + 1], acts[first : t + 1])
        band = _band(machine, drift)
        advice = advised(series, drift, band, Knob(gain, delay=machine.delay))
        acts[t] = advice.change
        if t >= machine.delay:
            moved += acts[t - machine.delay]
    return Run(e[WARM_UP:], acts[WARM_UP:])


def _effect(machine: Machine, acts: _Floats, t: int) -> float:
    return machine.gain * float(np.sum(acts[: max(t - machine.delay, 0)]))


def _band(machine: Machine, drift: Drift) -> Band:
    return band_at(machine.half_width, weight=drift.weight, sigma=drift.sigma, delay=machine.delay)


def _learnt(machine: Machine, e: _Floats, acts: _Floats, drift: Drift) -> tuple[Gain, Drift]:
    e, acts = e[-_KEPT:], acts[-_KEPT:]
    assumed = Gain(machine.assumed, _BETTER_KNOWN * abs(machine.assumed), 0)
    found = learnt_gain([(e, acts)], weight=drift.weight, delay=machine.delay)
    gain = combined_gain(assumed, found)
    moved = np.concatenate((np.zeros(1 + machine.delay), np.cumsum(acts)))[: e.size]
    alone = e - gain.value * moved
    return gain, fit_drift([alone])
