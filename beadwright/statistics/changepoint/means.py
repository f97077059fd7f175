"""When a mean stepped, or began to drift.

Read :func:`step_start` first.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.statistics.changepoint.start import Level, Profile, Start, weighed
from beadwright.statistics.requirements import refuse, require_series, require_where

__all__ = ["drift_start", "start_of", "step_start"]

_Floats = NDArray[np.float64]


def step_start(
    values: ArrayLike, *, before: Level | None = None, confidence: float = 0.95
) -> Start:
    r"""Start of a step in the mean of normal values.

    Of every index the greatest likelihood is taken over the unknown levels (and the spread, where
    nothing is known of before); the likelihoods, made to add up to one, weigh the indices, and the
    heaviest that together reach the confidence are the set.

    .. math::
        \log L_k = -\frac{n - 2}{2} \log RSS_k, \qquad
        \log L_k = \frac{1}{2 (n - k) \sigma_0^2}
                   \left(\sum_{i \ge k} (x_i - \mu_0)\right)^2

    without and with the level before known.

    Parameters
    ----------
    values : array_like, shape (n,)
        In order, in any unit: up to the signal of a chart, and what came after it if there is
        any. [1]
    before : Level, optional
        Mean and standard deviation before, in the same unit, from days without a change.
    confidence : float, optional
        Of the set, and of what is held. [1]

    Returns
    -------
    start : Start
        The likeliest index, the set, and from where to hold.

    Raises
    ------
    OutOfRange
        If there are too few values (4, or 1 with the level known), one is not finite, none
        differ, or the confidence is not between 0 and 1.

    Notes
    -----
    It takes for granted that there was a change, and one. Where neighbours lean on each other the
    set is widened for it, see :func:`~beadwright.statistics.changepoint.start.weighed`.
    In simulation the set of 95 % held the start 93 to 98 times in 100 for steps of a standard
    deviation or more, after signals of charts too, and 90 to 97 for half of one: see
    docs/changepoint.md.

    References
    ----------
    .. [1] D. V. Hinkley, "Inference about the change-point in a sequence of random variables",
       Biometrika 57 (1970) 1-17. [from memory]
    .. [2] T. R. Samuel, J. J. Pignatiello and J. A. Calvin, "Identifying the time of a step change
       with X-bar control charts", Qual. Eng. 10 (1998) 521-527: after a signal. [from memory]

    Examples
    --------
    >>> found = step_start([0.1, -0.3, 0.2, 0.0, -0.1, 2.1, 1.8, 2.2, 1.9])
    >>> found.first, found.among
    (5, (5,))
    """
    series = require_series(1 if before is not None else 4, values=values)
    return weighed(_step_profile(series, before), series, confidence)


def drift_start(
    values: ArrayLike,
    times: ArrayLike | None = None,
    *,
    before: Level | None = None,
    confidence: float = 0.95,
) -> Start:
    r"""Start of a drift: a level, and from then on a slope.

    .. math:: y = \mu + b \max(0, t - t_{k - 1})

    is fitted for every first changed index k, and weighed as in :func:`step_start`.

    Parameters
    ----------
    values : array_like, shape (n,)
        In order, in any unit. [1]
    times : array_like, shape (n,), optional
        When each was read, rising, in any unit; else one by one. [1]
    before : Level, optional
        Mean and standard deviation before, in the unit of the values.
    confidence : float, optional
        As in :func:`step_start`. [1]

    Returns
    -------
    start : Start
        As in :func:`step_start`; ``after`` is where the drift has come to.

    Raises
    ------
    OutOfRange
        As in :func:`step_start`, or if times do not rise.

    References
    ----------
    .. [1] M. B. Perry and J. J. Pignatiello, "Estimation of the change point of a normal process
       mean with a linear trend disturbance in SPC", Qual. Technol. Quant. Manag. 3 (2006)
       325-334. [from memory]

    Examples
    --------
    >>> drift_start([0.1, -0.1, 0.0, 0.1, -0.1, 0.0, 1.0, 2.1, 2.9, 4.0]).first
    6
    """
    series = require_series(2 if before is not None else 5, values=values)
    return weighed(_drift_profile(series, _times(times, len(series)), before), series, confidence)


def start_of(
    values: ArrayLike,
    times: ArrayLike | None = None,
    *,
    before: Level | None = None,
    confidence: float = 0.95,
) -> tuple[Start, Start]:
    """Start as a step and as a drift, the likelier first.

    Where both are nearly as likely, hold from the earlier of both ``contain_from``.

    Parameters
    ----------
    values : array_like, shape (n,)
        As in :func:`drift_start`. [1]
    times : array_like, shape (n,), optional
        As in :func:`drift_start`. [1]
    before : Level, optional
        As in :func:`drift_start`.
    confidence : float, optional
        As in :func:`drift_start`. [1]

    Returns
    -------
    likelier, other : Start
        One is of a step, one of a drift. [1]

    Raises
    ------
    OutOfRange
        As in :func:`drift_start`.

    Examples
    --------
    >>> one, other = start_of([0.1, -0.1, 0.0, 0.1, -0.1, 0.0, 1.0, 2.1, 2.9, 4.0])
    >>> one.kind, one.first, other.first
    ('drift', 6, 7)
    """
    step = step_start(values, before=before, confidence=confidence)
    drift = drift_start(values, times, before=before, confidence=confidence)
    return (step, drift) if step.gain >= drift.gain else (drift, step)


def _step_profile(series: _Floats, before: Level | None) -> Profile:
    n = len(series)
    if before is not None:
        sums = np.cumsum((series - before.mean)[::-1])[::-1]
        many = n - np.arange(n)
        log = sums**2 / (2 * many * before.sigma**2)
        level = np.full(n, before.mean)
        return Profile("step", np.arange(n), log, 0.0, level, level + sums / many, np.zeros(n))
    middle = float(series.mean())
    k = np.arange(1, n)
    sums = np.cumsum(series - middle)[:-1]
    left = _left(series, sums**2 * n / (k * (n - k)))
    return Profile(
        "step", k, -(n - 2) / 2 * np.log(left[1:]), -(n - 2) / 2 * math.log(left[0]),
        middle + sums / k, middle - sums / (n - k), np.zeros(n - 1),
    )  # fmt: skip


def _drift_profile(series: _Floats, times: _Floats, before: Level | None) -> Profile:
    """Sums over what follows each start, from the end backwards."""
    n = len(series)
    k = np.arange(0 if before is not None else 1, n)
    gap = float(np.median(np.diff(times)))
    start = np.concatenate([[times[0] - gap], times])[k]
    middle = float(series.mean()) if before is None else before.mean
    y = series - middle
    many, t1, t2, y1, ty = (
        np.cumsum(row[::-1])[::-1][k] for row in (np.ones(n), times, times**2, y, times * y)
    )
    x1, x2, xy = t1 - start * many, t2 - 2 * start * t1 + start**2 * many, ty - start * y1
    if before is not None:
        slope = xy / x2
        level = np.full(len(k), middle)
        log, none = xy * slope / (2 * before.sigma**2), 0.0
    else:
        across = x2 - x1**2 / n
        slope = xy / across
        level = middle - slope * x1 / n
        left = _left(series, xy * slope)
        log, none = -(n - 2) / 2 * np.log(left[1:]), -(n - 2) / 2 * math.log(left[0])
    return Profile("drift", k, log, none, level, level + slope * (times[-1] - start), slope, times)


def _left(series: _Floats, taken: _Floats) -> _Floats:
    """Squares about the mean, then what each fit leaves of them: never quite nothing."""
    whole = float(((series - series.mean()) ** 2).sum())
    if whole <= 0:
        refuse("values", "all alike", "values that differ, or the level before must be given")
    return np.concatenate([[whole], np.maximum(whole - taken, whole * 1e-14)])


def _times(times: ArrayLike | None, count: int) -> _Floats:
    """Times from 0 on."""
    if times is None:
        return np.arange(count, dtype=np.float64)
    found = require_series(count, times=times)
    if len(found) != count:
        refuse("times", f"a row of {len(found)}", f"a row of {count}, as the values")
    require_where(np.diff(found, prepend=-np.inf) > 0, "above the one before it", times=found)
    return np.asarray(found - found[0])
