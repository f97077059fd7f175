r"""What a habit of adjusting does: share of the deviation that is taken back at every sample.

Read first: :func:`share_variance`, then :func:`habit_of`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from beadwright.errors import OutOfRange, require_at_least, require_between, require_series

__all__ = ["Habit", "delayed_variance", "habit_of", "largest_stable_share", "share_variance"]

_LEAST = 8


@dataclass(frozen=True, slots=True)
class Habit:
    """How much of a deviation people take back, and whether that settles."""

    share: float
    """Of the last deviation, taken back by the act after it; 1 is chasing every sample."""
    u_share: float
    acted: float
    """Share of samples after which somebody acted."""
    largest_stable: float
    unstable: bool
    """Whether acting so after every sample would swing ever wider."""


def largest_stable_share(delay: int) -> float:
    r"""Give the share of each deviation beyond which taking it back swings ever wider.

    .. math:: G_{max} = 2 \sin \frac{\pi}{2 (2 d + 1)}

    Parameters
    ----------
    delay : int
        :math:`d`, samples that pass before an adjustment is seen. [1]

    Returns
    -------
    share : float
        2, 1, 0.618 for a delay of 0, 1, 2. [1]

    Raises
    ------
    OutOfRange
        If the delay is below 0.

    Notes
    -----
    With share G the deviation obeys :math:`e_{t+1} = e_t - G e_{t-d}` but for noise; the roots of
    :math:`z^{d+1} - z^d + G` reach the unit circle there.

    References
    ----------
    .. [1] E. I. Jury, Theory and Application of the z-Transform Method, 1964: roots on the unit
       circle as the edge of stability [from memory].

    Examples
    --------
    >>> [round(largest_stable_share(d), 3) for d in (0, 1, 2)]
    [2.0, 1.0, 0.618]
    """
    require_at_least(0, delay=delay)
    return float(2 * np.sin(np.pi / (2 * (2 * delay + 1))))


def share_variance(share: float, *, weight: float, sigma: float) -> float:
    r"""Variance of the deviation when a share of it is taken back after every sample, at once.

    .. math:: \sigma_y^2 = \sigma^2 \left\{1 + \frac{(\lambda - G)^2}{G (2 - G)}\right\}

    Parameters
    ----------
    share : float
        :math:`G`, above 0 and below 2. [1]
    weight : float
        :math:`\lambda` of the disturbance; 0 where it does not wander. [1]
    sigma : float
        Standard deviation of its one-step forecast error, > 0. [1]

    Returns
    -------
    variance : float
        In the unit squared. [1]

    Raises
    ------
    OutOfRange
        If an argument lies outside its range.

    References
    ----------
    .. [1] G. E. P. Box, A. Luceño, Statistical Control by Monitoring and Feedback Adjustment,
       Wiley, 1997 [from memory]. For a disturbance that does not wander it is 2/(2 - G): W. E.
       Deming's second rule of the funnel at G = 1, twice the variance [from memory].

    Examples
    --------
    Chasing every sample of a process that only scatters doubles its variance:

    >>> share_variance(1.0, weight=0.0, sigma=1.0)
    2.0
    """
    require_between(0, 2, strict=True, share=share)
    require_between(0, 1, weight=weight)
    require_at_least(0, strict=True, sigma=sigma)
    return sigma**2 * (1 + (weight - share) ** 2 / (share * (2 - share)))


def delayed_variance(delay: int, *, weight: float, sigma: float) -> float:
    r"""Least variance of the deviation that any adjustment can reach with a delay.

    .. math:: \sigma_y^2 = \sigma^2 (1 + d \lambda^2)

    Parameters
    ----------
    delay : int
        :math:`d`, samples that pass before an adjustment is seen. [1]
    weight : float
        :math:`\lambda`, from 0 to 1. [1]
    sigma : float
        Standard deviation of the one-step forecast error, > 0. [1]

    Returns
    -------
    variance : float
        In the unit squared. [1]

    Raises
    ------
    OutOfRange
        If an argument lies outside its range.

    References
    ----------
    .. [1] G. E. P. Box, A. Luceño, Statistical Control by Monitoring and Feedback Adjustment,
       Wiley, 1997: the forecast error of an integrated moving average, d + 1 samples ahead
       [from memory].

    Examples
    --------
    >>> round(delayed_variance(2, weight=0.2, sigma=1.0), 2)
    1.08
    """
    require_at_least(0, delay=delay)
    require_between(0, 1, weight=weight)
    require_at_least(0, strict=True, sigma=sigma)
    return sigma**2 * (1 + delay * weight**2)


def habit_of(deviations: ArrayLike, effects: ArrayLike, *, delay: int = 0) -> Habit:
    r"""Say how much of each deviation people took back: regression of acts on deviations.

    .. math:: G = - \frac{\sum c_t e_t}{\sum e_t^2}

    Parameters
    ----------
    deviations : array_like, shape (n,)
        Deviation as sampled, e. [1]
    effects : array_like, shape (n,)
        Effect expected of the act between this sample and the next, c; 0 where nobody acted. [1]
    delay : int
        Samples that pass before an adjustment is seen. [1]

    Returns
    -------
    habit : Habit
        The share taken back, with its standard uncertainty. [1]

    Raises
    ------
    OutOfRange
        If there are fewer than 8 samples, a number is not finite, or nothing ever deviates.

    References
    ----------
    .. [1] Least squares through the origin: N. R. Draper, H. Smith, Applied Regression Analysis,
       3rd edition, 1998 [from memory].

    Examples
    --------
    >>> e = np.array([1.0, -2.0, 1.5, 0.5, -1.0, 2.0, -0.5, 1.0])
    >>> habit_of(e, -e, delay=1).share
    1.0
    """
    e, c = require_series(deviations=deviations, effects=effects)
    require_between(-np.inf, np.inf, strict=True, deviations=e, effects=c)
    squares = float(np.sum(e**2))
    if e.size < _LEAST or squares == 0:
        name, valid = "deviations", f"{_LEAST} samples or more, not all on target"
        raise OutOfRange(name, f"{e.size} samples", valid=valid)
    share = -float(np.sum(c * e)) / squares
    left = c + share * e
    u = float(np.sqrt(np.sum(left**2) / (e.size - 1) / squares))
    most = largest_stable_share(delay)
    acted = float(np.mean(c != 0))
    return Habit(share, u, acted, most, bool(share >= most))
