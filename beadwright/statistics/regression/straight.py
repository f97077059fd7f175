"""A straight line, as strength against density, and which points do not seem to belong to it.

Read :func:`fit_line` first. What the line says is in :mod:`beadwright.statistics.regression.says`.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import stdtr

from beadwright.errors import require_at_least, require_between
from beadwright.statistics.regression.band import require_points
from beadwright.statistics.requirements import refuse

__all__ = ["Line", "Suspect", "Suspects", "fit_line", "suspects"]


@dataclass(frozen=True, slots=True)
class Line:
    """A straight line with its scatter; of logarithms where ``logarithmic``."""

    intercept: float
    slope: float
    u_intercept: float
    u_slope: float
    spread: float
    """Standard deviation about the line; of logarithms a relative scatter."""
    r_squared: float
    count: int
    x_mean: float
    x_squares: float
    """Sum of squares of x about its mean."""
    range: tuple[float, float]
    """The x between which there were points, as they were given."""
    logarithmic: bool = False

    @property
    def dof(self) -> int:
        """Degrees of freedom of the scatter."""
        return self.count - 2

    @property
    def correlation(self) -> float:
        """Correlation coefficient of intercept and slope."""
        return -self.x_mean / math.hypot(self.x_mean, math.sqrt(self.x_squares / self.count))


@dataclass(frozen=True, slots=True)
class Suspect:
    """A point further from the line through the others than scatter explains."""

    index: int
    residual: float
    """Distance from the line through all points; of logarithms a difference of logarithms."""
    studentised: float
    """Distance from the line through the others, in its own standard deviations."""
    chance: float
    """That the furthest of as many sound points lies as far off, at most."""


@dataclass(frozen=True, slots=True)
class Suspects:
    """What was flagged, and the line with and without it."""

    flagged: tuple[Suspect, ...]
    line: Line
    without: Line | None
    """None where nothing was flagged, or too few points would be left."""


def fit_line(x: ArrayLike, y: ArrayLike, *, logarithmic: bool = False) -> Line:
    r"""Least-squares line.

    .. math::
        b = \frac{S_{xy}}{S_{xx}}, \quad a = \bar y - b \bar x, \quad
        s^2 = \frac{\sum (y - a - b x)^2}{n - 2}, \quad
        u_b = \frac{s}{\sqrt{S_{xx}}}, \quad
        u_a = s \sqrt{\frac1n + \frac{\bar x^2}{S_{xx}}}

    Parameters
    ----------
    x : array_like, shape (n,)
        Where, as density, at two different places at least, in any unit. [1]
    y : array_like, shape (n,)
        What was found there, as strength; at least three points. [1]
    logarithmic : bool, optional
        Whether to fit :math:`\ln y = a + m \ln x`, whose slope m is an exponent and whose scatter
        is relative: what foam does over a wide range of density.

    Returns
    -------
    line : Line
        In the units of x and y, or of their logarithms.

    Raises
    ------
    OutOfRange
        If the rows differ in length, there are fewer than three points, all x are the same, a
        number is not finite, or not above 0 where logarithms are taken.

    Notes
    -----
    Independent points of one scatter, x known well. Specimens of one block or one lot are alike:
    fit lot means, else every band is too narrow.

    References
    ----------
    .. [1] N. R. Draper and H. Smith, "Applied Regression Analysis", 3rd ed., 1998, chapter 1.
       [from memory]
    .. [2] NIST Statistical Reference Datasets, linear regression: what it is held against.
       [read in: the source]

    Examples
    --------
    >>> line = fit_line([18.0, 21.0, 24.0, 29.0], [95e3, 118e3, 139e3, 176e3])
    >>> (round(line.slope), round(line.spread))
    (7333, 577)
    """
    given, ys = require_points(x, y, least=3)
    xs = given
    if logarithmic:
        require_at_least(0, strict=True, x=xs, y=ys)
        xs, ys = np.log(xs), np.log(ys)
    count = len(xs)
    x_mean, y_mean = math.fsum(xs) / count, math.fsum(ys) / count
    across = xs - x_mean
    squares = math.fsum(across**2)
    if float(np.ptp(xs)) == 0 or squares == 0:
        refuse("x", f"everywhere {given[0]:g}", "at two different places at least")
    slope = math.fsum(across * (ys - y_mean)) / squares
    left = ys - y_mean - slope * across
    residual, total = math.fsum(left**2), math.fsum((ys - y_mean) ** 2)
    spread = math.sqrt(residual / (count - 2))
    return Line(
        intercept=y_mean - slope * x_mean,
        slope=slope,
        u_intercept=spread * math.sqrt(1 / count + x_mean**2 / squares),
        u_slope=spread / math.sqrt(squares),
        spread=spread,
        r_squared=1 - residual / total if total > 0 else 0.0,
        count=count,
        x_mean=x_mean,
        x_squares=squares,
        range=(float(given.min()), float(given.max())),
        logarithmic=logarithmic,
    )


def suspects(
    x: ArrayLike, y: ArrayLike, risk: float = 0.05, *, logarithmic: bool = False
) -> Suspects:
    r"""Which points lie too far from the line through the others, and the line without them.

    .. math::
        t_i = \frac{e_i}{s_{(i)} \sqrt{1 - h_i}}, \qquad
        h_i = \frac1n + \frac{(x_i - \bar x)^2}{S_{xx}}, \qquad
        P = \min(1,\, 2 n \, G_{n-3}(-|t_i|))

    Parameters
    ----------
    x : array_like, shape (n,)
        Where, in any unit. [1]
    y : array_like, shape (n,)
        What was found there; at least four points. [1]
    risk : float, optional
        Chance of flagging any point though all belong, at most. [1]
    logarithmic : bool, optional
        As in :func:`fit_line`.

    Returns
    -------
    found : Suspects
        Flagged points, the furthest first, and both lines. Nothing is dropped: ``line`` is
        through all points.

    Raises
    ------
    OutOfRange
        As in :func:`fit_line`, or if there are fewer than four points or the risk is not between
        0 and 1.

    Notes
    -----
    One look, point by point: two that lie off together may hide each other. Look into what is
    flagged; a reason, not a distance, is what takes a point away.

    References
    ----------
    .. [1] R. D. Cook and S. Weisberg, "Residuals and Influence in Regression", 1982, 2.2:
       externally studentised residuals with Bonferroni's bound. [from memory]

    Examples
    --------
    >>> found = suspects([18, 20, 22, 24, 26, 28], [95, 110, 124, 170, 154, 169])
    >>> [one.index for one in found.flagged]
    [3]
    """
    require_between(0, 1, strict=True, risk=risk)
    require_points(x, y, least=4)
    line = fit_line(x, y, logarithmic=logarithmic)
    xs, ys = np.asarray(x, dtype=np.float64), np.asarray(y, dtype=np.float64)
    us, vs = (np.log(xs), np.log(ys)) if logarithmic else (xs, ys)
    left = vs - line.intercept - line.slope * us
    leverage = 1 / line.count + (us - line.x_mean) ** 2 / line.x_squares
    rounding = 64 * float(np.finfo(float).eps) * float(np.abs(vs).max())
    studentised = _studentised(left, leverage, line, rounding)
    chances = np.minimum(1.0, 2 * line.count * stdtr(line.count - 3, -np.abs(studentised)))
    beyond = [int(i) for i in np.flatnonzero(chances < risk)]
    order = sorted(beyond, key=lambda i: -abs(float(studentised[i])))
    flagged = tuple(
        Suspect(i, float(left[i]), float(studentised[i]), float(chances[i])) for i in order
    )
    return Suspects(flagged, line, _without(xs, ys, order, logarithmic=logarithmic))


def _studentised(
    left: NDArray[np.float64], leverage: NDArray[np.float64], line: Line, rounding: float
) -> NDArray[np.float64]:
    """Residuals in standard deviations of the line through the others; 0 of an exact fit."""
    room = np.maximum(1 - leverage, 0.0)
    alone = room < 1e-12  # noqa: PLR2004 - the line goes through a point that stands by itself
    safe = np.where(alone, 1.0, room)
    if line.spread <= rounding:
        return np.zeros_like(left)
    others = (line.spread**2 * line.dof - left**2 / safe) / (line.dof - 1)
    found = left / np.sqrt(np.maximum(others, rounding**2) * safe)
    return np.where(alone, 0.0, found)


def _without(
    x: NDArray[np.float64], y: NDArray[np.float64], flagged: Iterable[int], *, logarithmic: bool
) -> Line | None:
    kept = np.setdiff1d(np.arange(len(x)), list(flagged))
    enough = len(kept) >= 3 and len(np.unique(x[kept])) > 1  # noqa: PLR2004 - what a line takes
    if len(kept) == len(x) or not enough:
        return None
    return fit_line(x[kept], y[kept], logarithmic=logarithmic)
