"""How many standard deviations from a mean it takes to hold a share of all values.

Read :func:`one_sided_factor` first.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq
from scipy.special import chdtrc, nctdtrit, ndtr, ndtri

from beadwright.errors import require_between
from beadwright.statistics.requirements import require_whole

__all__ = ["one_sided_factor", "two_sided_factor"]


def one_sided_factor(count: int, coverage: float, confidence: float) -> float:
    r"""Standard deviations from the mean to a bound that a share of all values lies within.

    .. math:: k_1 = \frac{t'_{\gamma;\, n-1}(z_p \sqrt n)}{\sqrt n}

    with :math:`t'` the quantile of the non-central t distribution. With a coverage of one half it
    is the bound of the mean, :math:`t / \sqrt n`.

    Parameters
    ----------
    count : int
        Values n, at least 2. [1]
    coverage : float
        Share p of all values, between 0 and 1. [1]
    confidence : float
        With which it is held, between 0 and 1. [1]

    Returns
    -------
    factor : float
        In standard deviations of the values. [1]

    Raises
    ------
    OutOfRange
        If there are fewer than two values, or a share is not between 0 and 1.

    References
    ----------
    .. [1] ISO 16269-6:2014, "Determination of statistical tolerance intervals". [read in: a
       second source that cites it]
    .. [2] NIST/SEMATECH e-Handbook of Statistical Methods, 7.2.6.3. [read in: the source]

    Examples
    --------
    >>> one_sided_factor(43, 0.90, 0.99)
    1.873954
    """
    require_whole(2, count=count)
    require_between(0, 1, strict=True, coverage=coverage, confidence=confidence)
    root = math.sqrt(count)
    return float(nctdtrit(count - 1, float(ndtri(coverage)) * root, confidence)) / root


def two_sided_factor(count: int, coverage: float, confidence: float, groups: int = 1) -> float:
    r"""Standard deviations to either side of a mean that hold a share of all values, exactly.

    .. math::
        2 \sqrt{\frac{n}{2\pi}} \int_0^\infty
        P\left(\chi^2_\nu > \frac{\nu\, r(x)^2}{k^2}\right) e^{-n x^2 / 2} \, dx = \gamma,
        \qquad \Phi(x + r) - \Phi(x - r) = p

    Parameters
    ----------
    count : int
        Values n of the mean, at least 2. [1]
    coverage : float
        Share p of all values, between 0 and 1. [1]
    confidence : float
        With which it is held, between 0 and 1. [1]
    groups : int, optional
        Groups of n values each, over which the standard deviation is pooled, at least 1. [1]

    Returns
    -------
    factor : float
        In standard deviations of the values. [1]

    Raises
    ------
    OutOfRange
        If there are fewer than two values or no group, or a share is not between 0 and 1.

    Notes
    -----
    Howe's closed formula, which is often printed instead, is not on the safe side: of ten values
    at 99 % coverage it is a hundredth too small.

    References
    ----------
    .. [1] ISO 16269-6:2014, annex F: exact factors. [read in: a second source that cites it]

    Examples
    --------
    >>> two_sided_factor(43, 0.90, 0.99)
    2.222825
    """
    require_whole(2, count=count)
    require_whole(1, groups=groups)
    require_between(0, 1, strict=True, coverage=coverage, confidence=confidence)
    freedom = groups * (count - 1)
    nodes, weights = np.polynomial.legendre.leggauss(100)
    reach = 8.5 / math.sqrt(count)
    x = (nodes + 1) * reach / 2
    mass = np.exp(-count * x**2 / 2) * weights * reach * math.sqrt(count / (2 * math.pi))
    r = _half_width(x, coverage)

    def excess(factor: float) -> float:
        return float((mass * chdtrc(freedom, freedom * (r / factor) ** 2)).sum()) - confidence

    high = 10.0
    while excess(high) < 0:
        high *= 10
    return float(brentq(excess, 1e-6, high, xtol=1e-13, rtol=1e-14))


def _half_width(x: NDArray[np.float64], coverage: float) -> NDArray[np.float64]:
    """Half the width r about x that holds a share of the standard normal distribution."""
    low, high = np.zeros_like(x), x + float(ndtri((1 + coverage) / 2)) + 1.0
    for _ in range(80):
        middle = (low + high) / 2
        short = ndtr(x + middle) - ndtr(x - middle) < coverage
        low, high = np.where(short, middle, low), np.where(short, high, middle)
    return (low + high) / 2
