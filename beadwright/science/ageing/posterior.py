"""Belief about a logarithm before and after readings, on a grid made finer where it matters.

Read first: :class:`Belief`.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import chdtri

__all__ = ["Belief", "Fit", "Posterior"]

_Floats = NDArray[np.float64]

_POINTS = 61
_STAGES = 6
_REACH = 4.5
"""Half of the first grid, in standard deviations of the prior."""

_FAR = 14.0
"""Fall of the logarithm beyond which a point of the grid no longer counts."""

_FINE = 0.3
"""Step of the grid over the posterior's standard deviation that is fine enough."""

_LITTLE = 0.8
"""Posterior's spread over the prior's above which the readings have told next to nothing."""

_SCATTER = 1e-3
"""Chance of a misfit so large, below which model or uncertainties are wrong."""


@dataclass(frozen=True, slots=True)
class Fit:
    """Least chi-squared, and the readings free to scatter."""

    misfit: float
    free: int


@dataclass(frozen=True, slots=True)
class Posterior:
    """What is believed after it: median, 5 % and 95 % points, and the whole of it on a grid.

    ``log_sd`` is the standard deviation of the logarithm, for
    :class:`~beadwright.science.ageing.WindowLimits`. Where ``told`` is false, ``why`` says what
    the readings do not tell.
    """

    value: float
    low: float
    high: float
    log_sd: float
    told: bool
    why: str
    grid: _Floats
    weight: _Floats

    @classmethod
    def summed(cls, logs: _Floats, weight: _Floats, prior: float, fit: Fit) -> Posterior:
        """Sum up weights on a grid of logarithms, and say what they do not tell."""
        below = np.cumsum(weight) - weight / 2
        low, value, high = np.exp(np.interp([0.05, 0.5, 0.95], below, logs)).tolist()
        spread, why = _sd(logs, weight), ""
        if fit.misfit > chdtri(fit.free, _SCATTER):
            why = "the readings lie further from any curve than their uncertainty allows"
        elif spread > _LITTLE * prior:
            why = "the readings tell hardly more than was believed: weigh later, or better"
        return cls(value, low, high, spread, not why, why, np.exp(logs), weight)


@dataclass(frozen=True, slots=True)
class Belief:
    """Median, and standard deviation of the logarithm, before any reading."""

    median: float
    spread: float

    def after(self, misfit: Callable[[_Floats], tuple[_Floats, _Floats]], free: int) -> Posterior:
        """Belief after readings, whose chi-squared and log-determinant are given on a grid."""
        logs = self._first()
        for _ in range(_STAGES):
            square, growth = misfit(logs)
            density = -(square + growth) / 2 - self._fall(logs)
            weight = np.exp(density - density.max())
            weight /= weight.sum()
            if _is_fine(logs, weight):
                break
            logs = _finer(logs, density)
        return Posterior.summed(logs, weight, self.spread, Fit(float(square.min()), free))

    def after_both(
        self,
        other: Belief,
        misfit: Callable[[_Floats, _Floats], tuple[_Floats, _Floats]],
        free: int,
    ) -> tuple[Posterior, Posterior]:
        """Belief about two at once, each whatever the other is."""
        mine, its = self._first(), other._first()
        for _ in range(_STAGES):
            square, growth = misfit(mine, its)
            density = -(square + growth) / 2 - self._fall(mine)[:, np.newaxis]
            density -= other._fall(its)
            table = np.exp(density - density.max())
            table /= table.sum()
            by_mine, by_its = table.sum(axis=1), table.sum(axis=0)
            if _is_fine(mine, by_mine) and _is_fine(its, by_its):
                break
            mine, its = _finer(mine, density.max(axis=1)), _finer(its, density.max(axis=0))
        fit = Fit(float(square.min()), free)
        return (
            Posterior.summed(mine, by_mine, self.spread, fit),
            Posterior.summed(its, by_its, other.spread, fit),
        )

    def _first(self) -> _Floats:
        reach = _REACH * self.spread
        return np.asarray(np.linspace(-reach, reach, _POINTS) + np.log(self.median))

    def _fall(self, logs: _Floats) -> _Floats:
        return np.asarray(((logs - np.log(self.median)) / self.spread) ** 2 / 2)


def _finer(logs: _Floats, density: _Floats) -> _Floats:
    """A finer grid over the points that count, and one step to each side."""
    counts = np.flatnonzero(density > density.max() - _FAR)
    low, high = max(counts[0] - 1, 0), min(counts[-1] + 1, logs.size - 1)
    return np.asarray(np.linspace(logs[low], logs[high], _POINTS))


def _is_fine(logs: _Floats, weight: _Floats) -> bool:
    return bool(logs[1] - logs[0] <= _FINE * _sd(logs, weight))


def _sd(logs: _Floats, weight: _Floats) -> float:
    mean = float(weight @ logs)
    return float(np.sqrt(weight @ (logs - mean) ** 2))
