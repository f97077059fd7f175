"""The range of a few normal values: its mean and its spread, by integration.

Read :func:`mean_range` first. Tables of these factors hold rounded figures and misprints.
"""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np
from scipy.special import ndtr

from beadwright.statistics.requirements import require_whole

__all__ = ["grouped_mean_range", "mean_range", "range_spread"]

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(200)
_REACH = 9.0
"""Standard deviations within which all values are: 1e-19 lie beyond."""


@lru_cache(maxsize=256)
def mean_range(count: int) -> float:
    r"""Mean range of so many standard normal values, :math:`d_2`.

    .. math:: d_2 = \int_{-\infty}^{\infty} \left[1 - \Phi(x)^n - (1 - \Phi(x))^n\right] dx

    Parameters
    ----------
    count : int
        Values n, at least 2. [1]

    Returns
    -------
    d2 : float
        In standard deviations. [1]

    Raises
    ------
    OutOfRange
        If there are fewer than two values.

    References
    ----------
    .. [1] L. H. C. Tippett, "On the extreme individuals and the range of samples taken from a
       normal population", Biometrika 17 (1925) 364-387. [from memory]

    Examples
    --------
    >>> mean_range(5)
    2.3259
    """
    require_whole(2, count=count)
    x = _NODES * _REACH
    below = ndtr(x)
    return float((_WEIGHTS * _REACH * (1 - below**count - (1 - below) ** count)).sum())


@lru_cache(maxsize=256)
def range_spread(count: int) -> float:
    r"""Standard deviation of the range of so many standard normal values, :math:`d_3`.

    .. math::
        d_3^2 = 2 \int_0^\infty w\, P(W > w)\, dw - d_2^2, \qquad
        P(W \le w) = n \int \phi(x) \left[\Phi(x + w) - \Phi(x)\right]^{n - 1} dx

    Parameters
    ----------
    count : int
        Values n, at least 2. [1]

    Returns
    -------
    d3 : float
        In standard deviations. [1]

    Raises
    ------
    OutOfRange
        If there are fewer than two values.

    References
    ----------
    .. [1] As of :func:`mean_range`. [from memory]

    Examples
    --------
    >>> range_spread(5)
    0.8641
    """
    require_whole(2, count=count)
    x, w = _NODES * _REACH, (_NODES + 1) * _REACH
    density = np.exp(-(x**2) / 2) / math.sqrt(2 * math.pi) * _WEIGHTS * _REACH
    between = ndtr(x + w[:, None]) - ndtr(x)
    beyond = 1 - count * (density * between ** (count - 1)).sum(axis=1)
    second = float((2 * w * beyond * _WEIGHTS * _REACH).sum())
    return math.sqrt(second - mean_range(count) ** 2)


def grouped_mean_range(count: int, groups: int) -> float:
    r"""What a mean of ranges is divided by where it is squared later, :math:`d_2^*`.

    .. math:: d_2^* = \sqrt{d_2^2 + d_3^2 / g}

    Parameters
    ----------
    count : int
        Values n in each group, at least 2. [1]
    groups : int
        Groups g whose ranges are averaged, at least 1. [1]

    Returns
    -------
    factor : float
        In standard deviations. [1]

    Raises
    ------
    OutOfRange
        If there are fewer than two values, or no group.

    References
    ----------
    .. [1] A. J. Duncan, "Quality Control and Industrial Statistics", 5th ed., 1986, table D3. [from
       memory]

    Examples
    --------
    >>> 1 / grouped_mean_range(3, 1)
    0.5231
    """
    require_whole(1, groups=groups)
    return math.hypot(mean_range(count), range_spread(count) / math.sqrt(groups))
