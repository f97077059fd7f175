"""One value that stands alone: off by itself, with a level that is the same before and after.

Read :func:`alone`. A chart that one point has stopped cannot tell such a point from the first of a
change; what comes after it can.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import xlogy

from beadwright.errors import OutOfRange, require_between
from beadwright.statistics.changepoint.counts import share_start
from beadwright.statistics.changepoint.means import start_of
from beadwright.statistics.changepoint.start import Start
from beadwright.statistics.requirements import refuse, require_series

__all__ = ["Alone", "alone"]

_Floats = NDArray[np.float64]
_LEAST_AFTER = 3
"""Values that must follow: of fewer, a change is told with "what the level is now is hardly
known" too."""


@dataclass(frozen=True, slots=True)
class Alone:
    """How one value compares with the others, and with a change that begins at or before it."""

    at: int
    """Its index."""
    level: float
    """Mean of all other values; of counts, their share."""
    value: float
    """Its own; of counts, its share."""
    after: int
    """Values that follow it."""
    gain: float
    """Twice the gain in log likelihood of one value apart over no change."""
    lead: float
    """By how much that is above the gain of the likeliest step or drift."""
    rest: Start | None
    """The likeliest change among the other values; None where they are too few or alike."""
    confidence: float
    """Share of the likelihood that was asked for."""
    stands: bool
    """Whether it is told as alone."""


def alone(
    values: ArrayLike, at: int, of: ArrayLike | None = None, *, confidence: float = 0.9
) -> Alone:
    r"""Tell whether one value stands alone, or a change began with it or before it.

    One value apart has as many unknowns as a step: a place, two levels and the spread. So their
    likelihoods compare as they are:

    .. math:: G_{alone} = (n - 2) \log \frac{RSS}{RSS - \frac{n}{n - 1} (x_k - \bar x)^2}

    against the greatest gain of a step or drift. It stands alone where that is ahead by more than
    :math:`2 \log (c / (1 - c))`, so that of the two it bears the confidence c; where three values
    or more follow; and where the other values by themselves show no change, which is a step or
    drift with one unknown more.

    Parameters
    ----------
    values : array_like, shape (n,)
        In order, in any unit, with what came after the value; with ``of``, numbers found. [1]
    at : int
        Index of the value. [1]
    of : array_like, shape (n,), optional
        Pieces looked at, where values are numbers found: likelihoods are binomial. [1]
    confidence : float, optional
        Share of the likelihood that it must bear. [1]

    Returns
    -------
    alone : Alone
        The comparison.

    Raises
    ------
    OutOfRange
        If there are fewer than 6 values, one is not finite, there is no such index, none of the
        values differ, or the confidence is not between 0 and 1.

    Notes
    -----
    In simulation a planted value of 4 to 6 standard deviations is told as alone from three values
    after it on, and a shift that lasts hardly ever: see docs/changepoint.md.

    References
    ----------
    .. [1] G. E. P. Box and G. C. Tiao, "A change in level of a non-stationary time series",
       Biometrika 52 (1965) 181-192, for a step; F. E. Grubbs, "Procedures for detecting outlying
       observations in samples", Technometrics 11 (1969) 1-21, for the ratio of the sums of
       squares with and without one value. [from memory] For comparing both: common practice, no
       source.

    Examples
    --------
    >>> one = alone([0.1, -0.3, 0.2, 0.0, -0.1, 4.0, 0.2, -0.2, 0.1, 0.0], 5)
    >>> one.stands, one.after, round(one.level, 2)
    (True, 4, 0.0)
    >>> alone([0.1, -0.3, 0.2, 0.0, -0.1, 4.0, 3.8, 4.2, 4.1, 3.9], 5).stands
    False
    """
    series = require_series(6, values=values)
    sizes = None if of is None else require_series(6, of=of)
    require_between(0, 1, strict=True, confidence=confidence)
    n = len(series)
    if not 0 <= at < n:
        refuse("at", str(at), f"an index from 0 to {n - 1}")
    others = np.delete(series, at)
    if sizes is None:
        gain, level, value = _measured(series, at), float(others.mean()), float(series[at])
    else:
        gain, level, value = _counted(series, sizes, at)
    whole = _likelier(series, sizes)
    rest = _likelier(others, None if sizes is None else np.delete(sizes, at))
    lead = gain - (whole.gain if whole is not None else 0.0)
    quiet = rest is None or "weak" in rest.doubts
    after = n - 1 - at
    ahead = lead > 2 * math.log(confidence / (1 - confidence))
    stands = after >= _LEAST_AFTER and ahead and quiet
    return Alone(at, level, value, after, gain, lead, rest, confidence, stands)


def _measured(series: _Floats, at: int) -> float:
    n, off = len(series), series - series.mean()
    whole = float((off**2).sum())
    if whole <= 0:
        refuse("values", "all alike", "values that differ")
    left = max(whole - float(off[at] ** 2) * n / (n - 1), whole * 1e-14)
    return (n - 2) * math.log(whole / left)


def _counted(bad: _Floats, sizes: _Floats, at: int) -> tuple[float, float, float]:
    """Gain, and the shares of the others and of the one."""
    found, looked = float(bad.sum() - bad[at]), float(sizes.sum() - sizes[at])
    apart = _log(found, looked) + _log(float(bad[at]), float(sizes[at]))
    gain = 2 * (apart - _log(float(bad.sum()), float(sizes.sum())))
    return gain, found / looked, float(bad[at] / sizes[at])


def _log(bad: float, of: float) -> float:
    return float(xlogy(bad, bad / of) + xlogy(of - bad, 1 - bad / of))


def _likelier(series: _Floats, sizes: _Floats | None) -> Start | None:
    try:
        return start_of(series)[0] if sizes is None else share_start(series, sizes)
    except OutOfRange:  # values that do not differ
        return None
