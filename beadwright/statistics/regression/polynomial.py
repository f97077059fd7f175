"""A polynomial through scattered points, to as many digits as the numbers bear.

Read :func:`fit_polynomial` first.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import stdtrit

from beadwright.errors import require_arrays, require_at_least, require_between
from beadwright.statistics.regression.band import Band, require_points
from beadwright.statistics.regression.exact import solve
from beadwright.statistics.requirements import refuse, require_whole

__all__ = ["Polynomial", "fit_polynomial", "polynomial_band"]


@dataclass(frozen=True, slots=True)
class Polynomial:
    """A fitted polynomial; coefficients from the constant up, and how sure each is."""

    coefficients: NDArray[np.float64]
    u: NDArray[np.float64]
    """Standard uncertainty of each coefficient."""
    spread: float
    """Standard deviation about the curve."""
    r_squared: float
    dof: int
    count: int
    range: tuple[float, float]
    """The x between which there were points."""
    scaled: NDArray[np.float64]
    """Coefficients of :math:`t`, which runs from -1 to 1 over that range: values come from them."""
    inverse: NDArray[np.float64]
    """Inverse of the triangle of the fit in t: a value's variance comes from it."""

    def at(self, x: ArrayLike) -> NDArray[np.float64]:
        """Values of the curve, of the shape of x."""
        return np.asarray(np.polynomial.polynomial.polyval(self.place(x), self.scaled))

    def place(self, x: ArrayLike) -> NDArray[np.float64]:
        """Where each x lies in the range: -1 at its lower end, 1 at its upper."""
        low, high = self.range
        return np.asarray((2 * np.asarray(x, dtype=np.float64) - low - high) / (high - low))


def fit_polynomial(x: ArrayLike, y: ArrayLike, degree: int) -> Polynomial:
    """Least-squares polynomial, its coefficients exact to the last digit.

    They come from the normal equations in whole numbers; values and bands come from orthogonal
    triangles in a variable that runs from -1 to 1, whose powers are far less alike than those
    of x.

    Parameters
    ----------
    x : array_like, shape (n,)
        Where, in any unit. [1]
    y : array_like, shape (n,)
        What was found there, in any unit. [1]
    degree : int
        Highest power, at least 1; there must be more points than coefficients, at more places
        than the degree. [1]

    Returns
    -------
    polynomial : Polynomial
        In the units of x and y.

    Raises
    ------
    OutOfRange
        If the rows differ in length, a number is not finite, there are too few points or places,
        or the degree is below 1.

    Notes
    -----
    A high degree follows the noise and is nothing outside the points. For strength against
    density a straight line, or one of logarithms, is what the physics says.

    References
    ----------
    .. [1] A. Bjorck, "Numerical Methods for Least Squares Problems", SIAM 1996, 2.4: triangles.
       [from memory]
    .. [2] NIST Statistical Reference Datasets, linear regression: what it is held against.
       [read in: the source]

    Examples
    --------
    >>> curve = fit_polynomial([0, 1, 2, 3, 4], [1, 2, 5, 10, 17], degree=2)
    >>> [round(float(b), 9) + 0 for b in curve.coefficients]
    [1.0, 0.0, 1.0]
    """
    require_whole(1, degree=degree)
    xs, ys = require_points(x, y, least=degree + 2)
    places = len(np.unique(xs))
    if places <= degree:
        refuse("x", f"at {places} places", f"at {degree + 1} different places at least")
    exact = solve(xs, ys, degree)
    dof = len(xs) - degree - 1
    spread = math.sqrt(exact.residual / dof)
    low, high = float(xs.min()), float(xs.max())
    centre, half = (low + high) / 2, (high - low) / 2
    powers = np.vander((xs - centre) / half, degree + 1, increasing=True)
    q, triangle = np.linalg.qr(powers)
    return Polynomial(
        coefficients=exact.coefficients,
        u=spread * np.sqrt(exact.variances),
        spread=spread,
        r_squared=1 - exact.residual / exact.total if exact.total > 0 else 0.0,
        dof=dof,
        count=len(xs),
        range=(low, high),
        scaled=np.linalg.solve(triangle, q.T @ ys),
        inverse=np.linalg.inv(triangle),
    )


def polynomial_band(
    polynomial: Polynomial, x: ArrayLike, confidence: float = 0.95, *, single: bool = True
) -> Band:
    r"""Where the curve lies, or where a further single value will lie.

    .. math::
        \hat y \pm t_{\nu}\, s \sqrt{[1] + h}, \qquad h = \| v^T R^{-1} \|^2, \;
        v = (1, t, t^2, \dots)

    Parameters
    ----------
    polynomial : Polynomial
        As fitted.
    x : array_like, shape (...)
        Where, within or near the points, in the unit of the fit. [1]
    confidence : float, optional
        Of the band, at each x by itself. [1]
    single : bool, optional
        Whether the band holds a further value, or the curve alone. [1]

    Returns
    -------
    band : Band, shape (...)
        In the unit of y.

    Raises
    ------
    OutOfRange
        If an x is not finite, or the confidence is not between 0 and 1.

    References
    ----------
    .. [1] N. R. Draper and H. Smith, "Applied Regression Analysis", 3rd ed., 1998. [from memory]

    Examples
    --------
    >>> curve = fit_polynomial([0, 1, 2, 3, 4], [1, 2, 5, 10, 17.5], degree=2)
    >>> band = polynomial_band(curve, 2.0)
    >>> (round(float(band.centre), 3), round(float(band.upper - band.centre), 2))
    (4.957, 0.63)
    """
    (at,) = require_arrays(x=x)
    require_at_least(-math.inf, x=at)
    require_between(0, 1, strict=True, confidence=confidence)
    powers = polynomial.place(at)[..., None] ** np.arange(len(polynomial.scaled))
    leverage = (np.asarray(powers @ polynomial.inverse) ** 2).sum(axis=-1)
    quantile = float(stdtrit(polynomial.dof, (1 + confidence) / 2))
    half = quantile * polynomial.spread * np.sqrt(leverage + (1 if single else 0))
    centre = polynomial.at(at)
    return Band(centre, centre - half, centre + half)
