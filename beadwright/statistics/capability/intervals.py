"""Intervals of the indices: estimate, lower and upper end, and what is proved one-sidedly.

Read :class:`Place` first, then :func:`one_limit`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from scipy.special import chdtri, nctdtrinc, ndtri

__all__ = ["Four", "Place", "nearer", "one_limit", "target", "width"]

Four = tuple[float, float, float, float]
"""Estimate, lower end, upper end, what it is at least."""


@dataclass(frozen=True, slots=True)
class Place:
    """Where the values lie: how many, their mean, a spread and its degrees of freedom."""

    count: int
    mean: float
    spread: float
    dof: float


def width(place: Place, width: float, confidence: float) -> Four:
    r"""Index of a tolerance's width, exactly: by chi squared of the spread.

    .. math:: \hat C_p \sqrt{\chi^2_{\nu; \alpha / 2} / \nu} \ldots

    Parameters
    ----------
    place : Place
        Where the values lie.
    width : float
        Upper less lower limit. [1]
    confidence : float
        Of the interval. [1]

    Returns
    -------
    four : tuple of float
        Estimate, ends, least. [1]

    References
    ----------
    .. [1] NIST/SEMATECH e-Handbook of Statistical Methods, 6.1.6. [read in: a second source that
       cites it]

    Examples
    --------
    >>> tuple(round(one, 2) for one in width(Place(20, 0.0, 1.0, 19), 6 * 2.29, 0.95)[:3])
    (2.29, 1.57, 3.01)
    """
    value = width / (6 * place.spread)
    return (value, *_chi(value, place.dof, confidence))


def one_limit(place: Place, index: float, confidence: float) -> Four:
    r"""Index of one limit, exactly: by the non-central t distribution of the distance to it.

    The lower end C solves
    :math:`P(t'_\nu(3 C \sqrt n) \ge 3 \hat C \sqrt n) = \alpha / 2`, the upper likewise.

    Parameters
    ----------
    place : Place
        Where the values lie.
    index : float
        Its estimate. [1]
    confidence : float
        Of the interval. [1]

    Returns
    -------
    four : tuple of float
        Estimate, ends, least. [1]

    References
    ----------
    .. [1] It is the one-sided tolerance bound turned round: ISO 16269-6:2014. [read in: a second
       source that cites it]

    Examples
    --------
    >>> round(one_limit(Place(30, 0.0, 1.0, 29), 1.33, 0.95)[3], 4)
    1.0216
    """
    scale = 3 * math.sqrt(place.count)
    tail = 1 - confidence

    def solved(below: float) -> float:
        return float(nctdtrinc(place.dof, below, scale * index)) / scale

    return index, solved(1 - tail / 2), solved(tail / 2), solved(1 - tail)


def nearer(place: Place, index: float, confidence: float) -> Four:
    r"""Index of the nearer of two limits, about: by Bissell's normal approximation.

    .. math:: \hat C_{pk} \pm z \sqrt{\frac{1}{9 n} + \frac{\hat C_{pk}^2}{2 \nu}}

    Parameters
    ----------
    place : Place
        Where the values lie.
    index : float
        Its estimate. [1]
    confidence : float
        Of the interval, about. [1]

    Returns
    -------
    four : tuple of float
        Estimate, ends, least. [1]

    References
    ----------
    .. [1] A. F. Bissell, Appl. Statist. 39 (1990) 331-340. [read in: a second source that cites
       it]

    Examples
    --------
    >>> tuple(round(one, 2) for one in nearer(Place(20, 0.0, 1.0, 19), 1.33, 0.95)[:3])
    (1.33, 0.88, 1.78)
    """
    error = math.sqrt(1 / (9 * place.count) + index**2 / (2 * place.dof))
    two, one = (float(ndtri(share)) for share in ((1 + confidence) / 2, confidence))
    return index, index - two * error, index + two * error, index - one * error


def target(place: Place, width: float, off: float, confidence: float) -> Four:
    r"""Index about a target, about: chi squared with degrees of freedom for the distance to it.

    .. math:: \nu^* = \frac{n (1 + \xi^2)^2}{1 + 2 \xi^2}, \qquad \xi = (\bar x - T) / s

    Parameters
    ----------
    place : Place
        Where the values lie.
    width : float
        Upper less lower limit. [1]
    off : float
        Mean less target. [1]
    confidence : float
        Of the interval, about. [1]

    Returns
    -------
    four : tuple of float
        Estimate, ends, least. [1]

    References
    ----------
    .. [1] R. A. Boyles, J. Qual. Technol. 23 (1991) 17-26. [from memory]
    """
    value = width / (6 * math.hypot(place.spread, off))
    away = (off / place.spread) ** 2
    freedom = place.count * (1 + away) ** 2 / (1 + 2 * away)
    return (value, *_chi(value, freedom, confidence))


def _chi(value: float, dof: float, confidence: float) -> tuple[float, float, float]:
    """Ends and least of what goes with one over a standard deviation."""
    tail = 1 - confidence
    # chdtri gives the value that is passed with a probability, so the lower end has the larger.
    ends = (float(chdtri(dof, share)) for share in (1 - tail / 2, tail / 2, 1 - tail))
    lower, upper, least = (value * math.sqrt(one / dof) for one in ends)
    return lower, upper, least
