"""A straight line through points whose uncertainties are known, in y alone or in x and y.

Read :func:`fit_known`. Where the scatter itself must tell how sure the points are, take
:func:`beadwright.statistics.regression.fit_line`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import chdtrc

from beadwright.errors import require_at_least, require_between
from beadwright.statistics.regression.band import require_points
from beadwright.statistics.requirements import refuse, require_where

__all__ = ["KnownLine", "fit_known"]

_STEPS = 200


@dataclass(frozen=True, slots=True)
class KnownLine:
    """A line with the uncertainty that the points' own uncertainties give it."""

    intercept: float
    slope: float
    u_intercept: float
    u_slope: float
    covariance: float
    """Of intercept and slope."""
    chi_square: float
    dof: int
    chance: float
    """Of points that lie as far off or farther, if line and uncertainties are right."""

    def consistent(self, risk: float = 0.05) -> bool:
        """Whether the points lie no farther off than their uncertainties allow."""
        require_between(0, 1, strict=True, risk=risk)
        return self.chance >= risk

    def at(self, x: float, u_x: float = 0.0) -> tuple[float, float]:
        """Value of the line at an x, and its standard uncertainty."""
        require_at_least(-math.inf, x=x)
        require_at_least(0, u_x=u_x)
        variance = self._variance(x) + (self.slope * u_x) ** 2
        return self.intercept + self.slope * x, math.sqrt(variance)

    def inverse(self, y: float, u_y: float = 0.0) -> tuple[float, float]:
        """The x that has a y, and its standard uncertainty, to first order."""
        require_at_least(-math.inf, y=y)
        require_at_least(0, u_y=u_y)
        if self.slope == 0:
            refuse("line", "level", "a line that is not level")
        x = (y - self.intercept) / self.slope
        return x, math.sqrt(self._variance(x) + u_y**2) / abs(self.slope)

    def _variance(self, x: float) -> float:
        whole = self.u_intercept**2 + 2 * x * self.covariance + (x * self.u_slope) ** 2
        return max(whole, 0.0)


def fit_known(x: ArrayLike, y: ArrayLike, u_y: ArrayLike, u_x: ArrayLike = 0.0) -> KnownLine:
    r"""Line that weighs each point by its uncertainty, by generalised distances.

    .. math::
        \min_{a, b} \sum_i \frac{(y_i - a - b x_i)^2}{u_{y,i}^2 + b^2 u_{x,i}^2}

    Parameters
    ----------
    x : array_like, shape (n,)
        Where, at two different places at least, in any unit. [1]
    y : array_like, shape (n,)
        What was found there; at least three points. [1]
    u_y : array_like, shape (n,) or ()
        Standard uncertainty of each y, in its unit, > 0. [1]
    u_x : array_like, shape (n,) or (), optional
        Standard uncertainty of each x, in its unit, >= 0. [1]

    Returns
    -------
    line : KnownLine
        In the units of x and y.

    Raises
    ------
    OutOfRange
        If the rows do not fit, there are fewer than three points, all x are the same, a number is
        not finite, an uncertainty is out of its range, or the points are so unsure in x that no
        line is the nearest.

    Notes
    -----
    Uncertainties of different points are taken as independent: what all points share, as one
    scale's calibration, shifts or turns the whole line and is to be added afterwards. Look at
    ``consistent`` before using the line.

    References
    ----------
    .. [1] ISO/TS 28037:2010, "Determination and use of straight-line calibration functions",
       clauses 6 and 7. [read in: a second source that cites it]

    Examples
    --------
    >>> line = fit_known([1, 2, 3, 4, 5, 6], [3.3, 5.6, 7.1, 9.3, 10.7, 12.1], 0.5)
    >>> (round(line.intercept, 3), round(line.slope, 3), line.consistent())
    (1.867, 1.757, True)
    """
    xs, ys = require_points(x, y, least=3)
    wide_y, wide_x = _row(u_y, len(xs), "u_y"), _row(u_x, len(xs), "u_x")
    require_at_least(0, strict=True, u_y=wide_y)
    require_at_least(0, u_x=wide_x)
    if float(np.ptp(xs)) == 0:
        refuse("x", f"everywhere {xs[0]:g}", "at two different places at least")
    a, b = _weighted(xs, ys, 1 / wide_y**2)
    for _ in range(_STEPS):
        t = 1 / (wide_y**2 + (b * wide_x) ** 2)
        left = ys - a - b * xs
        near = (xs * wide_y**2 + b * wide_x**2 * (ys - a)) * t
        more_a, more_b = _weighted(near, left, t)
        a, b = a + more_a, b + more_b
        if abs(more_b) <= 1e-14 * abs(b) and abs(more_a) <= 1e-14 * (abs(a) + abs(b * xs).max()):
            break
    else:
        if abs(more_b) > 1e-9 * abs(b):
            refuse("u_x", f"up to {wide_x.max():.3g}", "small enough for one line to be nearest")
    return _line(a, b, near, t, float((t * left**2).sum()))


def _line(
    a: float, b: float, x: NDArray[np.float64], weight: NDArray[np.float64], chi_square: float
) -> KnownLine:
    """The line with its uncertainties, from the places nearest to the points."""
    total = float(weight.sum())
    centre = float((weight * x).sum()) / total
    across = float((weight * (x - centre) ** 2).sum())
    dof = len(x) - 2
    return KnownLine(
        intercept=a,
        slope=b,
        u_intercept=math.sqrt(1 / total + centre**2 / across),
        u_slope=1 / math.sqrt(across),
        covariance=-centre / across,
        chi_square=chi_square,
        dof=dof,
        chance=float(chdtrc(dof, chi_square)),
    )


def _weighted(
    x: NDArray[np.float64], y: NDArray[np.float64], weight: NDArray[np.float64]
) -> tuple[float, float]:
    """Intercept and slope of the weighted line."""
    total = float(weight.sum())
    x_mean, y_mean = float((weight * x).sum()) / total, float((weight * y).sum()) / total
    across = float((weight * (x - x_mean) ** 2).sum())
    slope = float((weight * (x - x_mean) * (y - y_mean)).sum()) / across
    return y_mean - slope * x_mean, slope


def _row(values: ArrayLike, count: int, name: str) -> NDArray[np.float64]:
    array = np.asarray(values, dtype=np.float64)
    if array.shape not in ((), (count,)):
        refuse(name, f"of shape {array.shape}", f"one number, or a row of {count}, as x")
    row = np.broadcast_to(array, (count,))
    require_where(np.isfinite(row), "a finite number", **{name: row})
    return row
