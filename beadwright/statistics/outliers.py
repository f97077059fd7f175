"""Values that do not seem to belong: flagged with the reason, never dropped.

Read :func:`grubbs` first. What is flagged is looked into; a result is given with and without it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike
from scipy.special import stdtrit

from beadwright.errors import require_between
from beadwright.statistics.requirements import require_series, require_whole

__all__ = ["Deviates", "Grubbs", "extreme_deviates", "grubbs", "grubbs_critical"]


@dataclass(frozen=True, slots=True)
class Grubbs:
    """The value furthest from the mean, and how far it may lie."""

    index: int
    statistic: float
    """Distance from the mean in standard deviations."""
    critical: float
    flagged: bool


@dataclass(frozen=True, slots=True)
class Deviates:
    """The values furthest out, one after the other, each without those before it."""

    indices: tuple[int, ...]
    statistics: tuple[float, ...]
    criticals: tuple[float, ...]
    flagged: tuple[int, ...]
    """Indices of those that do not belong: up to the last whose statistic is beyond."""


def grubbs_critical(count: int, risk: float, *, two_sided: bool = True) -> float:
    r"""How many standard deviations from the mean the furthest of normal values may lie.

    .. math::
        G = \frac{n - 1}{\sqrt n} \sqrt{\frac{t^2}{n - 2 + t^2}}, \qquad
        t = t_{1 - \alpha / (2 n);\, n - 2}

    and with :math:`\alpha / n` where only one side is looked at.

    Parameters
    ----------
    count : int
        Values n, at least 3. [1]
    risk : float
        Chance of flagging one though all belong, between 0 and 1. [1]
    two_sided : bool, optional
        Whether a value may lie off to either side. [1]

    Returns
    -------
    critical : float
        In standard deviations. [1]

    Raises
    ------
    OutOfRange
        If there are fewer than three values, or the risk is not between 0 and 1.

    References
    ----------
    .. [1] F. E. Grubbs, "Procedures for detecting outlying observations in samples",
       Technometrics 11 (1969) 1-21; NIST/SEMATECH e-Handbook of Statistical Methods,
       1.3.5.17.1. [read in: a second source that cites it]

    Examples
    --------
    >>> grubbs_critical(8, 0.05, two_sided=False)
    2.031652
    """
    require_whole(3, count=count)
    require_between(0, 1, strict=True, risk=risk)
    t = float(stdtrit(count - 2, 1 - risk / (count * (2 if two_sided else 1))))
    return (count - 1) / math.sqrt(count) * math.sqrt(t * t / (count - 2 + t * t))


def grubbs(values: ArrayLike, risk: float = 0.05) -> Grubbs:
    """Whether the value furthest from the mean belongs to the others, by Grubbs' test.

    Parameters
    ----------
    values : array_like, shape (n,)
        At least three, in any unit. [1]
    risk : float, optional
        Chance of flagging one though all belong. [1]

    Returns
    -------
    found : Grubbs
        The furthest value, on either side.

    Raises
    ------
    OutOfRange
        If there are fewer than three values, one is not finite, or the risk is not between 0
        and 1.

    Notes
    -----
    Of normal values. Two that lie off together hide each other: see :func:`extreme_deviates`.

    References
    ----------
    .. [1] NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.17.1. [read in: a second source
       that cites it]

    Examples
    --------
    >>> found = grubbs([21.3, 21.5, 21.2, 21.4, 24.9])
    >>> (found.index, found.flagged)
    (4, True)
    """
    sample = require_series(3, values=values)
    critical = grubbs_critical(len(sample), risk)
    distance = np.abs(sample - sample.mean())
    spread = float(sample.std(ddof=1))
    index = int(distance.argmax())
    statistic = float(distance[index]) / spread if spread > 0 else 0.0
    return Grubbs(index, statistic, critical, statistic > critical)


def extreme_deviates(values: ArrayLike, most: int, risk: float = 0.05) -> Deviates:
    r"""Which values do not belong, of at most so many, by the generalised extreme deviate test.

    .. math::
        \lambda_i = \frac{(n - i)\, t}{\sqrt{(n - i - 1 + t^2)(n - i + 1)}}, \qquad
        t = t_{1 - \alpha / (2 (n - i + 1));\, n - i - 1}

    Parameters
    ----------
    values : array_like, shape (n,)
        At least three more than ``most``, in any unit. [1]
    most : int
        How many may lie off, at least 1. [1]
    risk : float, optional
        Chance of flagging any though all belong. [1]

    Returns
    -------
    deviates : Deviates
        The furthest values in the order in which they are set aside.

    Raises
    ------
    OutOfRange
        If there are too few values, one is not finite, ``most`` is below 1, or the risk is not
        between 0 and 1.

    References
    ----------
    .. [1] B. Rosner, "Percentage points for a generalized ESD many-outlier procedure",
       Technometrics 25 (1983) 165-172; NIST/SEMATECH e-Handbook of Statistical Methods,
       1.3.5.17.3. [read in: a second source that cites it]

    Examples
    --------
    >>> extreme_deviates([21.3, 21.5, 21.2, 21.4, 24.9, 25.1, 21.3, 21.4, 21.2], most=3).flagged
    (5, 4)
    """
    require_whole(1, most=most)
    require_between(0, 1, strict=True, risk=risk)
    sample = require_series(most + 3, values=values)
    count, left = len(sample), list(range(len(sample)))
    indices, statistics, criticals = [], [], []
    for i in range(1, most + 1):
        kept = sample[left]
        distance, spread = np.abs(kept - kept.mean()), float(kept.std(ddof=1))
        at = int(distance.argmax())
        statistics.append(float(distance[at]) / spread if spread > 0 else 0.0)
        t = float(stdtrit(count - i - 1, 1 - risk / (2 * (count - i + 1))))
        criticals.append((count - i) * t / math.sqrt((count - i - 1 + t * t) * (count - i + 1)))
        indices.append(left.pop(at))
    beyond = [i for i in range(most) if statistics[i] > criticals[i]]
    flagged = indices[: beyond[-1] + 1] if beyond else []
    return Deviates(tuple(indices), tuple(statistics), tuple(criticals), tuple(flagged))
