"""What a straight line says: of a mean, of a single piece, of nearly all pieces, and backwards.

Read :func:`prediction_band` first. For a promise take :func:`tolerance_bound`, not the line.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.optimize import brentq
from scipy.special import nctdtrit, ndtri, stdtrit

from beadwright.errors import require_arrays, require_at_least, require_between
from beadwright.statistics.regression.band import Band
from beadwright.statistics.regression.straight import Line
from beadwright.statistics.requirements import refuse, require_whole

__all__ = ["Inverse", "inverse", "lightest", "mean_band", "prediction_band", "tolerance_bound"]


@dataclass(frozen=True, slots=True)
class Inverse:
    """The x at which a y was found, and between which x it may have been."""

    x: float
    lower: float
    upper: float


def mean_band(line: Line, x: ArrayLike, confidence: float = 0.95) -> Band:
    r"""Where the line itself lies.

    .. math::
        \hat y \pm t_{n-2}\, s \sqrt{h}, \qquad h = \frac1n + \frac{(x - \bar x)^2}{S_{xx}}

    Parameters
    ----------
    line : Line
        As fitted.
    x : array_like, shape (...)
        Where, in the unit of the fit. [1]
    confidence : float, optional
        Of the band, at each x by itself. [1]

    Returns
    -------
    band : Band, shape (...)
        In the unit of y.

    Raises
    ------
    OutOfRange
        If an x is not finite (not above 0, of logarithms) or the confidence not between 0 and 1.

    References
    ----------
    .. [1] N. R. Draper and H. Smith, "Applied Regression Analysis", 3rd ed., 1998, 3.1. [from
       memory]

    Examples
    --------
    >>> from beadwright.statistics.regression import fit_line
    >>> band = mean_band(fit_line([1, 2, 3, 4], [2.1, 3.9, 6.1, 7.9]), 2.5)
    >>> (round(float(band.centre), 3), round(float(band.upper), 3))
    (5.0, 5.272)
    """
    require_between(0, 1, strict=True, confidence=confidence)
    return _band(line, x, confidence, 0.0)


def prediction_band(line: Line, x: ArrayLike, confidence: float = 0.95, repeats: int = 1) -> Band:
    r"""Where the mean of so many further values will lie, of one by itself as a rule.

    .. math:: \hat y \pm t_{n-2}\, s \sqrt{\frac1m + h}

    Parameters
    ----------
    line : Line
        As fitted.
    x : array_like, shape (...)
        Where, in the unit of the fit. [1]
    confidence : float, optional
        Of the band, at each x by itself. [1]
    repeats : int, optional
        Values m whose mean is meant, at least 1. [1]

    Returns
    -------
    band : Band, shape (...)
        In the unit of y.

    Raises
    ------
    OutOfRange
        If an x is not finite (not above 0, of logarithms), the confidence is not between 0 and 1,
        or ``repeats`` is below 1.

    References
    ----------
    .. [1] N. R. Draper and H. Smith, "Applied Regression Analysis", 3rd ed., 1998, 3.1. [from
       memory]

    Examples
    --------
    >>> from beadwright.statistics.regression import fit_line
    >>> band = prediction_band(fit_line([1, 2, 3, 4], [2.1, 3.9, 6.1, 7.9]), 2.5)
    >>> round(float(band.upper), 3)
    5.608
    """
    require_between(0, 1, strict=True, confidence=confidence)
    require_whole(1, repeats=repeats)
    return _band(line, x, confidence, 1 / repeats)


def tolerance_bound(
    line: Line,
    x: ArrayLike,
    coverage: float = 0.90,
    confidence: float = 0.90,
    *,
    lower: bool = True,
) -> NDArray[np.float64]:
    r"""What nearly all pieces at an x reach: the honest line for a promise.

    .. math::
        \hat y - k s, \qquad
        k = t'_{\gamma;\, n-2}\!\left(\frac{z_p}{\sqrt h}\right) \sqrt h

    Parameters
    ----------
    line : Line
        As fitted.
    x : array_like, shape (...)
        Where, in the unit of the fit. [1]
    coverage : float, optional
        Share of all pieces at that x, between 0 and 1. [1]
    confidence : float, optional
        With which it is held, at each x by itself. [1]
    lower : bool, optional
        Whether pieces reach it, or stay below it.

    Returns
    -------
    bound : ndarray, shape (...)
        In the unit of y. [1]

    Raises
    ------
    OutOfRange
        If an x is not finite (not above 0, of logarithms) or a share not between 0 and 1.

    References
    ----------
    .. [1] G. J. Lieberman and R. G. Miller, "Simultaneous tolerance intervals in regression",
       Biometrika 50 (1963) 155-168: the bound at one x. [from memory]

    Examples
    --------
    >>> from beadwright.statistics.regression import fit_line
    >>> line = fit_line([1, 2, 3, 4], [2.1, 3.9, 6.1, 7.9])
    >>> round(float(tolerance_bound(line, 2.5)), 3)
    4.471
    """
    require_between(0, 1, strict=True, coverage=coverage, confidence=confidence)
    centre, leverage = _centre(line, x)
    root = np.sqrt(leverage)
    factor = nctdtrit(line.dof, float(ndtri(coverage)) / root, confidence) * root
    bound = centre - (1 if lower else -1) * factor * line.spread
    return np.asarray(np.exp(bound) if line.logarithmic else bound)


def inverse(line: Line, y: float, confidence: float = 0.95, repeats: int = 1) -> Inverse:
    r"""At which x a y was found: what density gives this strength.

    .. math::
        \bar x + \frac{b (y - \bar y) \pm t s \sqrt{\left(\frac1m + \frac1n\right) q
        + \frac{(y - \bar y)^2}{S_{xx}}}}{q}, \qquad q = b^2 - \frac{t^2 s^2}{S_{xx}}

    Parameters
    ----------
    line : Line
        As fitted.
    y : float
        The value found, or the mean of ``repeats``, in the unit of the fit. [1]
    confidence : float, optional
        Of the interval. [1]
    repeats : int, optional
        Values m of which y is the mean, at least 1. [1]

    Returns
    -------
    inverse : Inverse
        In the unit of x.

    Raises
    ------
    OutOfRange
        If y is not finite (not above 0, of logarithms), the confidence is not between 0 and 1,
        ``repeats`` is below 1, or the slope cannot be told from none at this confidence: then
        every x may have given this y.

    References
    ----------
    .. [1] E. C. Fieller, "Some problems in interval estimation", J. R. Statist. Soc. B 16 (1954)
       175-185. [read in: a second source that cites it]

    Examples
    --------
    >>> from beadwright.statistics.regression import fit_line
    >>> found = inverse(fit_line([1, 2, 3, 4], [2.1, 3.9, 6.1, 7.9]), 5.0)
    >>> (round(found.x, 3), round(found.lower, 3), round(found.upper, 3))
    (2.5, 2.187, 2.813)
    """
    require_between(0, 1, strict=True, confidence=confidence)
    require_whole(1, repeats=repeats)
    require_at_least(-math.inf, y=y)
    if line.logarithmic:
        require_at_least(0, strict=True, y=y)
    above = (math.log(y) if line.logarithmic else y) - line.intercept - line.slope * line.x_mean
    t = float(stdtrit(line.dof, (1 + confidence) / 2))
    q = line.slope**2 - (t * line.u_slope) ** 2
    if q <= 0:
        said = f"of a slope of {line.slope:.3g} with u = {line.u_slope:.2g}"
        refuse("line", said, f"of a slope that is not 0 at {confidence:.0%} confidence")
    ratio = above**2 / line.x_squares
    half = t * line.spread / q * math.sqrt((1 / repeats + 1 / line.count) * q + ratio)
    middle = line.x_mean + line.slope * above / q
    ends = (line.x_mean + above / line.slope, middle - half, middle + half)
    return Inverse(*(math.exp(end) for end in ends)) if line.logarithmic else Inverse(*ends)


def lightest(
    line: Line, limit: float, coverage: float = 0.90, confidence: float = 0.90
) -> float | None:
    """The least x at which nearly all pieces reach a limit: the lightest that is strong enough.

    Parameters
    ----------
    line : Line
        As fitted, rising.
    limit : float
        What the pieces must reach, in the unit of y. [1]
    coverage : float, optional
        Share of all pieces, between 0 and 1. [1]
    confidence : float, optional
        With which it is held. [1]

    Returns
    -------
    x : float or None
        Within the range of the points, where the tolerance bound reaches the limit; None where
        it does so nowhere in that range. The lower end of the range where it does so already
        there: lighter ones have not been tested. [1]

    Raises
    ------
    OutOfRange
        If the limit is not finite, a share is not between 0 and 1, or the line does not rise.

    References
    ----------
    .. [1] The x at which :func:`tolerance_bound` is the limit. [common practice, no source]

    Examples
    --------
    >>> from beadwright.statistics.regression import fit_line
    >>> line = fit_line([1, 2, 3, 4], [2.1, 3.9, 6.1, 7.9])
    >>> round(lightest(line, 5.0), 2)
    2.77
    """
    require_at_least(-math.inf, limit=limit)
    if line.slope <= 0:
        refuse("line", f"of slope {line.slope:.3g}", "a line that rises")

    def above(x: float) -> float:
        return float(tolerance_bound(line, x, coverage, confidence)) - limit

    # The bound bends: it may reach the limit inside the range and fall below it again at the end.
    places = np.linspace(*line.range, 200)
    reached = np.flatnonzero(tolerance_bound(line, places, coverage, confidence) >= limit)
    if not len(reached):
        return None
    first = int(reached[0])
    if first == 0:
        return float(places[0])
    return float(brentq(above, float(places[first - 1]), float(places[first])))


def _centre(line: Line, x: ArrayLike) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """The line at each x, and the share of the variance that the line's own doubt adds."""
    (at,) = require_arrays(x=x)
    require_at_least(-math.inf, x=at)
    if line.logarithmic:
        require_at_least(0, strict=True, x=at)
        at = np.log(at)
    leverage = 1 / line.count + (at - line.x_mean) ** 2 / line.x_squares
    return np.asarray(line.intercept + line.slope * at), np.asarray(leverage)


def _band(line: Line, x: ArrayLike, confidence: float, own: float) -> Band:
    centre, leverage = _centre(line, x)
    t = float(stdtrit(line.dof, (1 + confidence) / 2))
    half = t * line.spread * np.sqrt(own + leverage)
    parts = (centre, centre - half, centre + half)
    return Band(*(np.asarray(np.exp(part) if line.logarithmic else part) for part in parts))
