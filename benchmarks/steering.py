"""How well the advice steers simulated pre-expanders, beside chasing every cup and beside no act.

Machines that wander and machines that only scatter, a gain that is right or wrong by a factor of
two, up to two cups of dead time. Figures of simulation, not of speed; the seed is fixed.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator

import numpy as np

from beadwright.statistics.steer import band_at
from benchmarks import Result
from tests.statistics.pre_expanders import Machine, chased, disturbance, left_alone, steered

__all__ = ["run"]

_RUNS, _CUPS = 24, 2600
_WEIGHTS = (0.1, 0.2, 0.4)
_REDUCED = {0.1: 3.2, 0.2: 3.2, 0.4: 2.8}
"""Half width of the band in steps of the forecast, by how fast a machine wanders: at 0.4 a wider
one would do no better than chasing every cup, by theory."""


def run() -> list[Result]:
    """Steer each kind of machine."""
    rng = np.random.default_rng(1957)
    found: list[Result] = []
    for weight, delay in itertools.product(_WEIGHTS, (0, 1, 2)):
        found += _wandering(Machine(weight, delay=delay, half_width=_REDUCED[weight] * weight), rng)
    for gain, delay in itertools.product((0.5, 2.0), (0, 1, 2)):
        machine = Machine(0.2, gain=gain, delay=delay, half_width=_REDUCED[0.2] * 0.2)
        found += _wandering(machine, rng)
    for gain, delay in itertools.product((0.5, 1.0, 2.0), (0, 1, 2)):
        found += _still(Machine(0.0, gain=gain, delay=delay, half_width=0.7), rng)
    return found


def _wandering(machine: Machine, rng: np.random.Generator) -> Iterator[Result]:
    name = f"weight {machine.weight}, gain {machine.gain:g}, dead time {machine.delay}"
    band = band_at(machine.half_width, weight=machine.weight, sigma=1.0, delay=machine.delay)
    ours, theirs = [], []
    for _ in range(_RUNS):
        wander = disturbance(machine.weight, _CUPS, rng)
        ours.append(steered(machine, wander))
        theirs.append(chased(machine, wander))
    off = 100 * abs(float(np.mean([one.variance for one in ours])) / band.variance - 1)
    right = machine.gain == machine.assumed
    yield Result(
        f"{name}: variance off theory", off, "%", target=5.0 if right else None, better="lower"
    )
    each = [a.variance / b.variance for a, b in zip(ours, theirs, strict=True)]
    mean, note = float(np.mean(each)), f"worst of {_RUNS} runs {max(each):.3g}"
    yield Result(
        f"{name}: variance over chasing's", mean, "times", target=1.0, better="lower", note=note
    )
    acts = float(np.mean([one.acted for one in ours]) / np.mean([one.acted for one in theirs]))
    yield Result(f"{name}: acts over chasing's", acts, "times", target=0.1, better="lower")


def _still(machine: Machine, rng: np.random.Generator) -> Iterator[Result]:
    name = f"no wander, gain {machine.gain:g}, dead time {machine.delay}"
    waves = [disturbance(0.0, _CUPS, rng) for _ in range(_RUNS)]
    ours = [steered(machine, wave) for wave in waves]
    alone = [left_alone(wave) for wave in waves]
    worse = 100 * (
        float(np.mean([one.variance for one in ours]) / np.mean([one.variance for one in alone]))
        - 1
    )
    yield Result(f"{name}: worse than no act", worse, "%", target=15.0, better="lower")
    yield Result(f"{name}: cups acted on", 100 * float(np.mean([one.acted for one in ours])), "%")
