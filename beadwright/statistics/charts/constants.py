"""Factors of control limits for subgroups of any size, by integration.

Read :func:`factors`. Printed tables stop at 25, hold rounded figures, and some hold misprints.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import gammaln

from beadwright.errors import require_at_least
from beadwright.statistics.ranges import mean_range, range_spread
from beadwright.statistics.requirements import require_whole

__all__ = ["Factors", "deviation_factor", "factors", "range_factors"]


@dataclass(frozen=True, slots=True)
class Factors:
    """Of one size of subgroup, by the names of the usual tables."""

    size: int
    d2: float
    """Mean range, in standard deviations."""
    d3: float
    """Standard deviation of the range, in standard deviations."""
    c4: float
    """Mean of s, in standard deviations."""
    A: float
    """Of means, about a known mean and standard deviation."""
    A2: float
    """Of means, times the mean range."""
    A3: float
    """Of means, times the mean of s."""
    B3: float
    B4: float
    """Of s, times its mean."""
    B5: float
    B6: float
    """Of s, times a known standard deviation."""
    D1: float
    D2: float
    """Of ranges, times a known standard deviation."""
    D3: float
    D4: float
    """Of ranges, times their mean."""
    E2: float
    """Of single values, times the mean range."""


def factors(size: int, width: float = 3.0) -> Factors:
    r"""Factors of control limits for subgroups of one size.

    .. math::
        A_2 = \frac{L}{d_2 \sqrt n}, \quad A_3 = \frac{L}{c_4 \sqrt n}, \quad
        D_{3,4} = \max(0, 1 \mp L d_3 / d_2), \quad
        B_{3,4} = \max\left(0, 1 \mp L \sqrt{1 - c_4^2} / c_4\right)

    Parameters
    ----------
    size : int
        Values n in a subgroup, at least 2. [1]
    width : float, optional
        Distance L of the limits from the centre line, in standard deviations, > 0. [1]

    Returns
    -------
    factors : Factors
        By the names of the usual tables.

    Raises
    ------
    OutOfRange
        If there are fewer than two values or the width is not above 0.

    References
    ----------
    .. [1] NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.1. [read in: a second source that
       cites it]

    Examples
    --------
    >>> five = factors(5)
    >>> (round(five.A2, 4), round(five.D4, 4), round(five.A3, 4), round(five.B4, 4))
    (0.5768, 2.1145, 1.4273, 2.089)
    """
    require_at_least(0, strict=True, width=width)
    d2, d3, c4 = mean_range(size), range_spread(size), deviation_factor(size)
    root, rest = math.sqrt(size), math.sqrt(1 - c4**2)
    return Factors(
        size=size, d2=d2, d3=d3, c4=c4,
        A=width / root, A2=width / (d2 * root), A3=width / (c4 * root),
        B3=max(0.0, 1 - width * rest / c4), B4=1 + width * rest / c4,
        B5=max(0.0, c4 - width * rest), B6=c4 + width * rest,
        D1=max(0.0, d2 - width * d3), D2=d2 + width * d3,
        D3=max(0.0, 1 - width * d3 / d2), D4=1 + width * d3 / d2,
        E2=width / d2,
    )  # fmt: skip


@lru_cache(maxsize=1024)
def deviation_factor(size: int) -> float:
    r"""Mean of the standard deviation s of so many standard normal values, :math:`c_4`.

    .. math:: c_4 = \sqrt{\frac{2}{n-1}} \frac{\Gamma(n/2)}{\Gamma((n-1)/2)}

    Parameters
    ----------
    size : int
        Values n, at least 2. [1]

    Returns
    -------
    c4 : float
        In standard deviations. [1]

    Raises
    ------
    OutOfRange
        If there are fewer than two values.

    References
    ----------
    .. [1] NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2. [read in: a second source that
       cites it]

    Examples
    --------
    >>> deviation_factor(5)
    0.9400
    """
    require_whole(2, size=size)
    half = float(gammaln(size / 2) - gammaln((size - 1) / 2))
    return math.sqrt(2 / (size - 1)) * math.exp(half)


def range_factors(sizes: ArrayLike) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Mean and standard deviation of the range, subgroup by subgroup.

    Parameters
    ----------
    sizes : array_like, shape (m,)
        Values in each subgroup; below 2 there is no range. [1]

    Returns
    -------
    d2, d3 : ndarray, shape (m,)
        In standard deviations; NaN where there is no range. [1]

    References
    ----------
    .. [1] As of :func:`factors`. [read in: a second source that cites it]

    Examples
    --------
    >>> [round(x, 3) for x in range_factors([5, 4])[0].tolist()]
    [2.326, 2.059]
    """
    of = np.asarray(sizes, dtype=np.int64)
    d2, d3 = np.full(of.shape, np.nan), np.full(of.shape, np.nan)
    for size in np.unique(of).tolist():
        if size > 1:
            d2[of == size], d3[of == size] = mean_range(size), range_spread(size)
    return d2, d3
