"""The cumulative sum of standardised values, and how long it runs before it signals.

Read :func:`first_signal` first.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.errors import require_at_least

__all__ = ["Signal", "cumulative", "first_signal", "run_length"]

_NODES = 80


@dataclass(frozen=True, slots=True)
class Signal:
    """Where a cumulative sum passed its bound."""

    at: int
    """Index of the value that did it."""
    since: int
    """Index of the first value after the sum was last 0: where the change seems to begin."""
    upward: bool
    height: float


def cumulative(values: ArrayLike, slack: float) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    r"""Upward and downward cumulative sums, each never below 0.

    .. math:: C^+_i = \max(0, C^+_{i-1} + z_i - k), \quad C^-_i = \max(0, C^-_{i-1} - z_i - k)

    Parameters
    ----------
    values : array_like, shape (n,)
        Standardised values z, in the order in which they came. [1]
    slack : float
        k, half the shift that is to be found soonest, in standard deviations, >= 0. [1]

    Returns
    -------
    upward, downward : ndarray, shape (n,)
        Both sums. [1]

    Raises
    ------
    OutOfRange
        If the slack is below 0 or a value is not finite.

    References
    ----------
    .. [1] NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.3, tabular form.
       [read in: a second source that cites it]
    """
    series = np.asarray(values, dtype=np.float64)
    require_at_least(0, slack=slack)
    require_at_least(-math.inf, values=series)
    sums = np.zeros((2, len(series)))
    up = down = 0.0
    for i, value in enumerate(series.tolist()):
        up = max(0.0, up + value - slack)
        down = max(0.0, down - value - slack)
        sums[:, i] = up, down
    return sums[0], sums[1]


def first_signal(values: ArrayLike, slack: float, bound: float) -> Signal | None:
    """First value at which either sum passes the bound; None where neither does.

    Parameters
    ----------
    values : array_like, shape (n,)
        Standardised values, in the order in which they came. [1]
    slack : float
        As in :func:`cumulative`, >= 0. [1]
    bound : float
        Height h beyond which a sum signals, in standard deviations, > 0. [1]

    Returns
    -------
    signal : Signal or None
        Where, since when, and to which side.

    Raises
    ------
    OutOfRange
        If the bound is not above 0, or as in :func:`cumulative`.

    References
    ----------
    .. [1] NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.3.
       [read in: a second source that cites it]

    Examples
    --------
    >>> first_signal([0.0, 2.0, 2.0, 2.0], slack=0.5, bound=4.0)
    Signal(at=3, since=1, upward=True, height=4.5)
    """
    require_at_least(0, strict=True, bound=bound)
    sums = cumulative(values, slack)
    beyond = np.flatnonzero(np.maximum(*sums) > bound)
    if not len(beyond):
        return None
    at = int(beyond[0])
    upward = bool(sums[0][at] >= sums[1][at])
    of = sums[0] if upward else sums[1]
    zeros = np.flatnonzero(of[:at] == 0)
    since = int(zeros[-1]) + 1 if len(zeros) else 0
    return Signal(at, since, upward, float(of[at]))


def run_length(slack: float, bound: float, shift: float = 0.0) -> float:
    r"""Mean number of values until the first signal, of a two-sided cumulative sum.

    Independent normal values of variance 1 whose mean lies ``shift`` from where it should be. One
    side solves

    .. math:: L(s) = 1 + L(0) \Phi(k - s - \delta) + \int_0^h L(y) \phi(y + k - s - \delta) dy

    by Gauss-Legendre quadrature, and both together run :math:`1/(1/L^+ + 1/L^-)`.

    Parameters
    ----------
    slack : float
        k, >= 0. [1]
    bound : float
        h, > 0. [1]
    shift : float, optional
        Of the mean, in standard deviations. [1]

    Returns
    -------
    length : float
        Mean number of values. [1]

    Raises
    ------
    OutOfRange
        If the slack is below 0 or the bound not above 0.

    References
    ----------
    .. [1] E. S. Page, "Continuous inspection schemes", Biometrika 41 (1954) 100-115: the integral
       equation. J. M. Lucas, "The design and use of V-mask control schemes", J. Qual. Technol. 8
       (1976) 1-12: values to compare. [read in: a second source that cites it]

    Examples
    --------
    >>> round(run_length(0.5, 5.0), 1)
    465.4
    """
    require_at_least(0, slack=slack)
    require_at_least(0, strict=True, bound=bound)
    up, down = _one_sided(slack, bound, shift), _one_sided(slack, bound, -shift)
    return 1 / (1 / up + 1 / down)


def _one_sided(slack: float, bound: float, shift: float) -> float:
    nodes, weights = np.polynomial.legendre.leggauss(_NODES)
    y = (nodes + 1) * bound / 2
    starts = np.concatenate(([0.0], y))
    arrive = y[None, :] + slack - starts[:, None] - shift
    density = np.exp(-(arrive**2) / 2) / math.sqrt(2 * math.pi) * weights * bound / 2
    below = [0.5 * math.erfc(-(slack - s - shift) / math.sqrt(2)) for s in starts.tolist()]
    system = np.eye(_NODES + 1)
    system[:, 0] -= below
    system[:, 1:] -= density
    return float(np.linalg.solve(system, np.ones(_NODES + 1))[0])
