"""How long a chart runs until it signals: mean, spread and percentiles of the run length.

Read :class:`RunLength`. Every chart here is a chain that is left at a signal; from step to step
the chance that it has not yet signalled shrinks, and after a while by one and the same factor.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.errors import require_at_least, require_between
from beadwright.statistics.requirements import refuse, require_series

__all__ = ["RunLength", "gathered", "geometric", "profile", "quadrature"]

_MOST = 400_000
_GONE = 1e-15
_CLOSE = 1e-9
"""Error of the mean run length, by itself, at which the rest is taken for geometric."""
_SLOW = 50.0
"""How many times longer than the last change the changes still to come may add up to."""
_IN_A_ROW = 4


@dataclass(frozen=True, slots=True, eq=False)
class RunLength:
    """Number of points up to and with the first signal."""

    mean: float
    """Average run length, ARL."""
    sd: float
    """Standard deviation of the run length, SDRL."""
    survival: NDArray[np.float64]
    """Chance of no signal in the first 0, 1, 2, … points."""
    ratio: float
    """By which it shrinks from point to point after the last of these."""

    def chance_by(self, points: int) -> float:
        """Chance of a signal within so many points.

        >>> round(geometric(0.5).chance_by(3), 6)
        0.875
        """
        last = len(self.survival) - 1
        more = max(0, points - last)
        return 1 - float(self.survival[min(points, last)]) * self.ratio**more

    def percentile(self, share: float) -> int:
        """Smallest number of points within which a share of all runs has signalled.

        >>> geometric(0.0027).percentile(0.5)
        257
        """
        require_between(0, 1, strict=True, share=share)
        rest = 1 - share
        within = np.flatnonzero(self.survival <= rest * (1 + 1e-12))
        if len(within):
            return int(within[0])
        last, left = len(self.survival) - 1, float(self.survival[-1])
        return last + max(1, math.ceil(math.log(rest / left) / math.log(self.ratio) - 1e-9))

    @property
    def median(self) -> int:
        """Half of all runs have signalled by then."""
        return self.percentile(0.5)


def geometric(chance: float) -> RunLength:
    r"""Run length of independent points, each of which signals with one chance.

    .. math:: \text{ARL} = 1/p, \quad \text{SDRL} = \sqrt{1 - p} / p

    Parameters
    ----------
    chance : float
        That a point signals, above 0, at most 1. [1]

    Returns
    -------
    length : RunLength
        Its mean, spread and percentiles.

    Raises
    ------
    OutOfRange
        If the chance is not above 0 or exceeds 1.

    References
    ----------
    .. [1] The geometric distribution. [common practice, no source]

    Examples
    --------
    >>> round(geometric(0.0027).mean, 2)
    370.37
    """
    require_between(0, 1, chance=chance)
    require_at_least(0, strict=True, chance=chance)
    survival = np.array([1.0, 1 - chance])
    return RunLength(1 / chance, math.sqrt(1 - chance) / chance, survival, 1 - chance)


def gathered(steps: Iterator[float], least: int = 0) -> RunLength:
    """Run length from the chances of no signal in the first 1, 2, 3, … points.

    They are taken until hardly any is left, or until they shrink by one and the same factor, which
    then gives the rest.

    Parameters
    ----------
    steps : iterator of float
        Chances, point by point, without end. [1]
    least : int, optional
        Points that are taken in any case, because the process changes until then. [1]

    Returns
    -------
    length : RunLength
        Its mean, spread and percentiles.

    Raises
    ------
    OutOfRange
        If the chances do not settle in 400,000 points.
    """
    chances, ratio, steady, total = [1.0], 0.0, 0, 1.0
    for point, chance in enumerate(steps, start=1):
        before, ratio = ratio, chance / chances[-1]
        chances.append(chance)
        total += chance
        if chance < _GONE:
            break
        rest = max(1 - ratio, 1e-15)
        noise = chance * 4e-16 / rest**2
        off = _SLOW * chance * abs(ratio - before) / rest**2
        alike = off <= _CLOSE * (total + chance / rest) + _SLOW * noise
        steady = steady + 1 if alike and point > least else 0
        if steady >= _IN_A_ROW:
            break
        if point >= _MOST:
            refuse("steps", f"unsettled after {point}", "a chart that signals sooner")
    survival = np.array(chances)
    ratio = min(max(ratio, 0.0), 1 - 1e-15)
    last, left = len(survival) - 1, float(survival[-1])
    tail = left * ratio / (1 - ratio)
    mean = float(survival.sum()) + tail
    numbers = 2 * np.arange(last + 1) + 1
    second = float((numbers * survival).sum())
    second += (2 * last + 1) * tail + 2 * tail / (1 - ratio)
    return RunLength(mean, math.sqrt(max(0.0, second - mean**2)), survival, ratio)


def profile(shift: ArrayLike) -> NDArray[np.float64]:
    """A shift as a row: one number for always, or one for each point, of which the last holds on.

    Parameters
    ----------
    shift : array_like, shape (...)
        Of the mean, in standard deviations of a point. [1]

    Returns
    -------
    shifts : ndarray, shape (n,)
        At least one number. [1]

    Raises
    ------
    OutOfRange
        If a number is not finite.
    """
    return require_series(1, shift=np.atleast_1d(np.asarray(shift, dtype=np.float64)))


@lru_cache(maxsize=64)
def quadrature(count: int) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Nodes and weights of Gauss and Legendre, worked out once.

    Parameters
    ----------
    count : int
        How many. [1]

    Returns
    -------
    nodes, weights : ndarray, shape (count,)
        From -1 to 1; not to be changed. [1]

    References
    ----------
    .. [1] The numerical library's. [common practice, no source]
    """
    nodes, weights = np.polynomial.legendre.leggauss(count)
    nodes.flags.writeable = weights.flags.writeable = False
    return nodes, weights
