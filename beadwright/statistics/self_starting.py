"""Values of a series whose mean and spread nobody knows beforehand, made standard normal.

Read :func:`scores`.
"""

from __future__ import annotations

import math
from statistics import NormalDist

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.errors import require_at_least

__all__ = ["scores"]

_LEAST = 1e-15
_MANY = 200  # degrees of freedom from which the approximation is as good as the series
_NORMAL = NormalDist()


def scores(values: ArrayLike, outlying: float = math.inf) -> NDArray[np.float64]:
    r"""Each value against all before it, as a standard normal deviate.

    .. math:: Q_r = \Phi^{-1} G_{r-2}\left(\sqrt{\frac{r-1}{r}}
       \frac{x_r - \bar x_{r-1}}{s_{r-1}}\right)

    with :math:`G_\nu` Student's distribution. While the values are independent and of one normal
    distribution, the scores are independent and standard normal, whatever its mean and spread.

    A single score beyond ``outlying`` is an event of its own and no trend: it is given as 0 and
    left out of the mean and spread. Of two in a row the second counts.

    Parameters
    ----------
    values : array_like, shape (n,)
        A series, in the order in which it came, in any one unit. [1]
    outlying : float, optional
        Score from which a value stands alone, > 0. [1]

    Returns
    -------
    scores : ndarray, shape (n,)
        0 for the first two, and while all values before are equal. [1]

    Raises
    ------
    OutOfRange
        If a value is not finite, or ``outlying`` is not above 0.

    References
    ----------
    .. [1] C. P. Quesenberry, "SPC Q charts for start-up processes and short or long runs",
       J. Qual. Technol. 23 (1991) 213-224. [from memory]
    .. [2] J. M. Lucas and R. B. Crosier, "Robust CUSUM", Commun. Statist. Theory Meth. 11 (1982)
       2669-2687: one outlier is passed over, two in a row are not. [from memory]

    Examples
    --------
    >>> [round(q, 2) for q in scores([0.0, 1.0, 0.5, 3.0]).tolist()]
    [0.0, 0.0, 0.0, 1.97]
    """
    series = np.asarray(values, dtype=np.float64)
    if outlying != math.inf:
        require_at_least(0, strict=True, outlying=outlying)
    require_at_least(-math.inf, values=series)
    found = np.zeros(len(series))
    count, mean, squares, alone = 0, 0.0, 0.0, False
    for i, value in enumerate(series.tolist()):
        score = _score(value, count, mean, squares)
        alone = abs(score) > outlying and not alone
        if alone:
            continue
        found[i] = math.copysign(min(abs(score), outlying), score)
        count += 1
        squares += (value - mean) ** 2 * (count - 1) / count
        mean += (value - mean) / count
    return found


def _score(value: float, count: int, mean: float, squares: float) -> float:
    """Score of a value after ``count`` others of this mean and sum of squares about it."""
    if count < 2 or squares <= 0:  # noqa: PLR2004 - one value has no spread
        return 0.0
    spread = math.sqrt(squares / (count - 1))
    t = math.sqrt(count / (count + 1)) * (value - mean) / spread
    below = min(max(_student(-abs(t), count - 1), _LEAST), 0.5)
    return math.copysign(_NORMAL.inv_cdf(below), t)


def _student(t: float, freedom: int) -> float:
    """Student's distribution function, from its finite series for whole degrees of freedom.

    Abramowitz and Stegun, Handbook of Mathematical Functions, 26.7.3 and 26.7.4, for many 26.7.8.
    [from memory]
    """
    if freedom >= _MANY:
        return _NORMAL.cdf(t * (1 - 1 / (4 * freedom)) / math.sqrt(1 + t * t / (2 * freedom)))
    angle = math.atan(t / math.sqrt(freedom))
    cosine, sine = math.cos(angle), math.sin(angle)
    term = cosine if freedom % 2 else 1.0
    total = term if freedom > 1 else 0.0
    for j in range(3 if freedom % 2 else 2, freedom - 1, 2):
        term *= cosine * cosine * (j - 1) / j
        total += term
    within = 2 / math.pi * (angle + sine * total) if freedom % 2 else sine * total
    return (1 + within) / 2
