"""Intervals that hold a share of all values: of a normal distribution, and of any.

Read :func:`tolerance_interval` first.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import bdtr, betainc

from beadwright.errors import require_between
from beadwright.statistics.requirements import refuse, require_series
from beadwright.statistics.tolerance.factors import one_sided_factor, two_sided_factor

__all__ = [
    "Side",
    "ToleranceInterval",
    "distribution_free_count",
    "distribution_free_interval",
    "tolerance_interval",
]


class Side(StrEnum):
    """On which side of the values a bound lies."""

    LOWER = "lower"
    UPPER = "upper"
    BOTH = "both"


@dataclass(frozen=True, slots=True)
class ToleranceInterval:
    """An interval that holds a share of all values, with a confidence; infinite where one-sided."""

    lower: float
    upper: float
    coverage: float
    confidence: float
    side: Side
    count: int
    mean: float
    spread: float
    factor: float | None
    """Standard deviations from the mean; None where no distribution was taken."""


def tolerance_interval(
    values: ArrayLike, coverage: float, confidence: float, side: Side = Side.BOTH
) -> ToleranceInterval:
    r"""Interval that holds a share of all normal values: :math:`\bar x \pm k s`.

    Parameters
    ----------
    values : array_like, shape (n,)
        A sample of at least two, in any unit. [1]
    coverage : float
        Share of all values, between 0 and 1. [1]
    confidence : float
        With which it is held, between 0 and 1. [1]
    side : Side, optional
        Whether it is bounded below, above, or both.

    Returns
    -------
    interval : ToleranceInterval
        In the unit of the values.

    Raises
    ------
    OutOfRange
        If there are fewer than two values, one is not finite, or a share is not between 0 and 1.

    Notes
    -----
    Normal and independent values. Values of one bag, run or day are alike: five of one lot are
    not five lots, and the interval is then far too narrow.

    References
    ----------
    .. [1] ISO 16269-6:2014. [read in: a second source that cites it]

    Examples
    --------
    >>> interval = tolerance_interval([21.2, 21.6, 21.4, 21.8, 21.5], 0.90, 0.90, Side.LOWER)
    >>> (round(interval.lower, 2), interval.upper)
    (20.89, inf)
    """
    sample = require_series(2, values=values)
    two = side is Side.BOTH
    factor = (two_sided_factor if two else one_sided_factor)(len(sample), coverage, confidence)
    mean, spread = float(sample.mean()), float(sample.std(ddof=1))
    return ToleranceInterval(
        lower=-math.inf if side is Side.UPPER else mean - factor * spread,
        upper=math.inf if side is Side.LOWER else mean + factor * spread,
        coverage=coverage,
        confidence=confidence,
        side=side,
        count=len(sample),
        mean=mean,
        spread=spread,
        factor=factor,
    )


def distribution_free_count(coverage: float, confidence: float, side: Side = Side.BOTH) -> int:
    r"""How many values it takes for the smallest or the extremes to be a tolerance bound.

    .. math:: 1 - p^n \ge \gamma, \qquad 1 - n p^{n-1} + (n - 1) p^n \ge \gamma

    Parameters
    ----------
    coverage : float
        Share p of all values, between 0 and 1. [1]
    confidence : float
        With which it is held, between 0 and 1. [1]
    side : Side, optional
        One bound, or both. [1]

    Returns
    -------
    count : int
        The smallest number of values. [1]

    Raises
    ------
    OutOfRange
        If a share is not between 0 and 1.

    References
    ----------
    .. [1] S. S. Wilks, "Determination of sample sizes for setting tolerance limits", Ann. Math.
       Statist. 12 (1941) 91-96. [from memory]

    Examples
    --------
    >>> distribution_free_count(0.95, 0.95, Side.LOWER), distribution_free_count(0.95, 0.95)
    (59, 93)
    """
    require_between(0, 1, strict=True, coverage=coverage, confidence=confidence)
    left_out = 2 if side is Side.BOTH else 1
    high = left_out
    while _held(high, left_out, coverage) < confidence:
        high *= 2
    low = high // 2
    while high - low > 1:
        middle = (low + high) // 2
        enough = middle >= left_out and _held(middle, left_out, coverage) >= confidence
        low, high = (low, middle) if enough else (middle, high)
    return high


def distribution_free_interval(
    values: ArrayLike, coverage: float, confidence: float, side: Side = Side.BOTH
) -> ToleranceInterval:
    """Interval that holds a share of all values whatever their distribution.

    The values themselves bound it: as many of the outermost are left out as the confidence
    allows, as many below as above.

    Parameters
    ----------
    values : array_like, shape (n,)
        A sample, in any unit. [1]
    coverage : float
        Share of all values, between 0 and 1. [1]
    confidence : float
        With which it is held, between 0 and 1. [1]
    side : Side, optional
        Whether it is bounded below, above, or both.

    Returns
    -------
    interval : ToleranceInterval
        In the unit of the values; its ``confidence`` is the one that was reached.

    Raises
    ------
    OutOfRange
        If a value is not finite, a share is not between 0 and 1, or there are too few values:
        the message says how many it takes.

    References
    ----------
    .. [1] ISO 16269-6:2014, clause 7: distribution-free intervals. [from memory]

    Examples
    --------
    >>> distribution_free_interval(range(30), 0.90, 0.90, Side.LOWER).lower
    0.0
    """
    sample = np.sort(require_series(1, values=values))
    count, needed = len(sample), distribution_free_count(coverage, confidence, side)
    if count < needed:
        refuse("values", f"a row of {count}", f"a row of at least {needed} numbers for this")
    ranks = np.arange(1, count + 1)
    ranks = ranks[_reached(count, ranks, coverage) >= confidence]
    outside = int(ranks[-1])
    above = outside // 2 if side is Side.BOTH else outside
    below = outside - above if side is Side.BOTH else outside
    return ToleranceInterval(
        lower=-math.inf if side is Side.UPPER else float(sample[below - 1]),
        upper=math.inf if side is Side.LOWER else float(sample[count - above]),
        coverage=coverage,
        confidence=_held(count, outside, coverage),
        side=side,
        count=count,
        mean=float(sample.mean()),
        spread=float(sample.std(ddof=1)) if count > 1 else 0.0,
        factor=None,
    )


def _reached(count: int, outside: NDArray[np.int_], coverage: float) -> NDArray[np.float64]:
    """Confidence with which all but the outermost values hold a share of all values."""
    return np.asarray(1 - bdtr(outside - 1, count, 1 - coverage), dtype=np.float64)


def _held(count: int, outside: int, coverage: float) -> float:
    """The same, of one number left out."""
    return 1 - float(betainc(count - outside + 1, outside, coverage))
