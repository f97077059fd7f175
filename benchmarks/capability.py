"""How often the intervals of capability indices hold, by simulation with a fixed seed."""

from __future__ import annotations

import math

import numpy as np

from beadwright.statistics.capability import (
    Shape,
    Stability,
    Stable,
    Tolerance,
    capability,
    percentile_capability,
)
from benchmarks import Result

__all__ = ["run"]

_TRIES = 4_000
_DRAWN_AGAIN = 400
_STABLE = Stability(Stable.YES)
_EXACT, _ABOUT = 94.0, 92.5
_BY_SHAPE = {Shape.WEIBULL: 90.0, Shape.PEARSON: 60.0}
"""What is asked of percentiles: Clements' method falls far short of 95 %, and says so."""


def run() -> list[Result]:
    """Coverage of nominal 95 % intervals, in per cent."""
    random = np.random.default_rng(20)
    found = []
    for count in (10, 30, 100):
        for limits, name in ((Tolerance(upper=4.0), "one limit"), (_both(), "two limits")):
            found += _normal(random, count, limits, name)
    found += [_percentiles(random, shape) for shape in _BY_SHAPE]
    return found


def _both() -> Tolerance:
    return Tolerance(-3.2, 4.0, 0.0)


def _normal(random: np.random.Generator, count: int, limits: Tolerance, name: str) -> list[Result]:
    """Normal values about 0.3 with a deviation of 1."""
    true = {"Pp": 1.2, "Ppk": 3.5 / 3, "Cpm": 7.2 / (6 * math.hypot(1, 0.3))}
    if math.isinf(limits.lower):
        true["Ppk"] = 3.7 / 3
    rows = [
        capability(row, limits, _STABLE).indices for row in random.normal(0.3, 1.0, (_TRIES, count))
    ]
    found = []
    for at, index in enumerate(rows[0]):
        held = np.mean([one[at].lower <= true[index.name] <= one[at].upper for one in rows])
        least = _EXACT if index.exact else _ABOUT
        note = f"{_TRIES:,} samples; nominal 95 %{'' if index.exact else ', about'}"
        label = f"{index.name} of {name}, {count} readings: interval holds"
        found.append(Result(label, round(100 * float(held), 2), "%", least, None, "higher", note))
    return found


def _percentiles(random: np.random.Generator, shape: Shape) -> Result:
    """Weibull values of power 1.7: the percentile index of an upper limit."""
    high, middle = ((-math.log(q)) ** (1 / 1.7) for q in (0.00135, 0.5))
    limit = middle + 1.2 * (high - middle)
    held = 0
    for _ in range(_DRAWN_AGAIN):
        one = percentile_capability(
            random.weibull(1.7, 100), Tolerance(upper=limit), _STABLE, shape
        )
        held += one.lower <= 1.2 <= one.upper
    return Result(
        f"Ppk by percentiles, {shape.name.lower()}, 100 Weibull readings: interval holds",
        round(100 * held / _DRAWN_AGAIN, 1), "%", _BY_SHAPE[shape], None, "higher",
        f"{_DRAWN_AGAIN} samples; nominal 95 %, about",
    )  # fmt: skip
