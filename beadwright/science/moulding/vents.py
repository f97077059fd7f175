"""Plugged vents show in a tool's decay time before they show in its parts.

Read first: :func:`watch_vents`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.errors import (
    OutOfRange,
    require_arrays,
    require_at_least,
    require_between,
    require_enough,
)
from beadwright.science.curve_fit import quantile
from beadwright.science.trust import Trust, stands

__all__ = ["VentWatch", "smoothed", "smoothed_half_width", "watch_vents"]

_FEWEST = 10
_FALSE_ALARM = 0.0027  # a normal value beyond three sigma, either side


@dataclass(frozen=True, slots=True)
class VentWatch:
    """A tool's smoothed decay time against the limits of its own good shots; arrays of (n,)."""

    smoothed_s: NDArray[np.float64]
    low_s: NDArray[np.float64]
    high_s: NDArray[np.float64]
    slow: NDArray[np.bool_]
    """Decays too slowly: vents plug."""
    fast: NDArray[np.bool_]
    """Decays too quickly: another product, a leak, or the gauge."""
    baseline_s: float

    @property
    def first_slow(self) -> int | None:
        """Index of the first shot at which the alarm stands, None if it never does."""
        return int(np.argmax(self.slow)) if self.slow.any() else None


@stands(
    Trust.EXACT,
    formula="z_i = w x_i + (1 - w) z_(i-1)",
    source="exponentially weighted moving average",
)
def smoothed(values: ArrayLike, start: float, weight: float) -> NDArray[np.float64]:
    r"""Exponentially weighted moving average of a series.

    .. math:: z_i = \lambda x_i + (1 - \lambda) z_{i-1}, \quad z_0 = \text{start}

    Parameters
    ----------
    values : array_like, shape (n,)
        The series, in order, in any unit. [1]
    start : float
        Where the average begins: the centre of the good state. [1]
    weight : float
        Weight of the newest value, above 0 and up to 1. [1]

    Returns
    -------
    average : ndarray, shape (n,)
        The average after each value. [1]

    Raises
    ------
    OutOfRange
        If a number is not finite, or the weight outside its range.

    References
    ----------
    .. [1] NIST/SEMATECH, "e-Handbook of Statistical Methods", 6.3.2.4.
       [read in: a second source that cites it]

    Examples
    --------
    >>> smoothed([52.0, 47.0, 53.0], 50.0, 0.3).round(2).tolist()
    [50.60, 49.52, 50.56]
    """
    (series,) = require_arrays(values=values)
    require_between(-np.inf, np.inf, values=series, start=start)
    require_between(0, 1, weight=weight)
    require_at_least(0, strict=True, weight=weight)
    average = np.empty(series.size)
    last = start
    for index, value in enumerate(series.ravel()):
        last = weight * value + (1 - weight) * last
        average[index] = last
    return average


@stands(
    Trust.EXACT,
    formula="L s sqrt(w/(2-w) [1 - (1-w)^(2i)] + 1/m)",
    source="exponentially weighted moving average",
)
def smoothed_half_width(
    spread: float, weight: float, count: int, *, factor: float = 3.0, baseline: float = np.inf
) -> NDArray[np.float64]:
    r"""Half width of the limits of an exponentially weighted moving average.

    .. math:: L s \sqrt{\frac{\lambda}{2 - \lambda}
        \left[1 - (1 - \lambda)^{2i}\right] + \frac{1}{m}}

    Parameters
    ----------
    spread : float
        Standard deviation of one value, > 0. [1]
    weight : float
        Weight of the newest value, above 0 and up to 1. [1]
    count : int
        How many values, >= 1.  [1]
    factor : float, optional
        How many standard deviations the limits lie off, > 0. [1]
    baseline : float, optional
        How many values the centre was taken from, >= 1; infinite for a known centre. [1]

    Returns
    -------
    half_width : ndarray, shape (count,)
        For the first value, the second, and so on. [1]

    Raises
    ------
    OutOfRange
        If an argument is outside its range.

    References
    ----------
    .. [1] NIST/SEMATECH, "e-Handbook of Statistical Methods", 6.3.2.4; the last term, for a
       centre that was itself estimated, by propagation.
       [read in: a second source that cites it]

    Examples
    --------
    >>> float(50 + smoothed_half_width(2.0539, 0.3, 40)[-1])
    52.588
    """
    require_at_least(0, strict=True, spread=spread, weight=weight, factor=factor)
    require_between(0, 1, weight=weight)
    require_at_least(1, count=count)
    if not baseline >= 1:
        name = "baseline"
        raise OutOfRange(name, baseline, valid="a number of at least 1, or infinite")
    left = (1 - weight) ** (2 * np.arange(1, count + 1))
    variance = weight / (2 - weight) * (1 - left) + 1 / baseline
    return np.asarray(factor * spread * np.sqrt(variance))


@stands(
    Trust.ESTIMATE,
    formula="moving average of ln tau against limits from the tool's own good shots",
    source="exponentially weighted moving average",
    cause="the good state is known from some shots only",
    narrowed_by="more shots taken right after the vents were cleaned",
)
def watch_vents(time_constant_s: ArrayLike, good_s: ArrayLike, *, weight: float = 0.2) -> VentWatch:
    """Whether a tool's foam pressure has come to decay more slowly than it did when clean.

    Averages the logarithm of the decay time, shot by shot, against limits drawn from shots with
    clean vents of the same tool and product. The limits allow for how few those shots were:
    Student's quantile at the chance of three sigma, and the centre's own error.

    Parameters
    ----------
    time_constant_s : array_like, shape (n,)
        Decay times since, in order, > 0. [s]
    good_s : array_like, shape (m,)
        Decay times of good shots with clean vents, > 0; at least ten. [s]
    weight : float, optional
        Weight of the newest shot, above 0 and up to 1. [1]

    Returns
    -------
    watch : VentWatch
        Averages, limits, and where they are passed. [s]

    Raises
    ------
    OutOfRange
        If a time is not above 0 or not finite, fewer than ten good shots are given, or they do
        not differ at all.

    Notes
    -----
    A hint to look at the vents. Each shot's chance of a false alarm is about 0.3 % while nothing
    changes; alarms of consecutive shots come together.

    References
    ----------
    .. [1] NIST/SEMATECH, "e-Handbook of Statistical Methods", 6.3.2.4.
       [read in: a second source that cites it]

    Examples
    --------
    >>> good = [28.0, 27.6, 28.3, 28.1, 27.9, 28.4, 27.7, 28.2, 28.0, 27.8]
    >>> watch_vents([28.1, 28.3, 28.9, 29.5, 30.2, 31.0], good).first_slow
    3
    """
    series, good = (np.ravel(of) for of in (
        require_arrays(time_constant_s=time_constant_s)[0], require_arrays(good_s=good_s)[0]
    ))  # fmt: skip
    require_at_least(0, strict=True, time_constant_s=series, good_s=good)
    logs = np.log(good)
    require_enough(_FEWEST, "shots", good_s=good.size)
    spread, centre = float(logs.std(ddof=1)), float(logs.mean())
    if spread == 0:
        name = "good_s"
        raise OutOfRange(name, "the same throughout", valid="shots as they were measured")
    factor = quantile(1 - _FALSE_ALARM, good.size - 1)
    average = smoothed(np.log(series), centre, weight)
    half = smoothed_half_width(spread, weight, series.size, factor=factor, baseline=good.size)
    return VentWatch(
        np.exp(average),
        np.exp(centre - half),
        np.exp(centre + half),
        average > centre + half,
        average < centre - half,
        float(np.exp(centre)),
    )
