"""How sure a fit is: of its parameters together, of one alone, of what is worked out with them.

Read first: :func:`profile_rises`, which says what a fit must not report.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import stdtrit

from beadwright.errors import OutOfRange, require_arrays, require_at_least, require_between
from beadwright.science.curve_fit.search import FAR, Box, Model, Solution, least_squares
from beadwright.science.trust import Trust, stands

__all__ = ["covariance", "expanded_uncertainty", "noise_of", "profile_rises", "quantile"]


@stands(
    Trust.EXACT,
    formula="C = (JᵀJ / s² + diag(1 / width²))⁻¹",
    source="linearised least squares; JCGM 100:2008, 5.1.2",
)
def covariance(solution: Solution, variance: float, box: Box) -> NDArray[np.float64]:
    """Covariance of the fitted parameters, from the curve's slope at the solution.

    The width of the box stands in for what was known beforehand, so that a parameter that the
    measurements say nothing of is as uncertain as its box is wide, and not certain.

    Parameters
    ----------
    solution : Solution
        A least-squares solution.
    variance : float
        Variance of one measurement, >= 0. [1]
    box : Box
        Where the parameters might lie.

    Returns
    -------
    covariance : ndarray, shape (p, p)
        Zero in the rows of parameters that were held. [1]

    Raises
    ------
    OutOfRange
        If the variance is negative or not finite.

    Notes
    -----
    First order: true for a curve that is nearly straight over the uncertainty of its parameters.

    References
    ----------
    .. [1] JCGM 100:2008, "Guide to the expression of uncertainty in measurement", 5.1.2.
       [from memory]

    Examples
    --------
    >>> one = np.ones(1)
    >>> flat = Solution(one, np.zeros(4), np.ones((4, 1)), np.array([True]))
    >>> float(covariance(flat, 4.0, Box(-1e3 * one, 1e3 * one))[0, 0])
    1.00
    """
    require_at_least(0, variance=variance)
    width = box.high - box.low
    open_ = width > 0
    whole = np.zeros((open_.size, open_.size))
    slopes = solution.jacobian[:, open_]
    known = slopes.T @ slopes + np.diag(variance / width[open_] ** 2)
    whole[np.ix_(open_, open_)] = variance * np.linalg.pinv(known)
    return whole


@stands(
    Trust.EXACT,
    formula="s² = SS / (n - p), unless the spread of one measurement is known",
    source="least squares",
)
def noise_of(solution: Solution, spread: float | None) -> tuple[float, int | None]:
    """Variance of one measurement, and the degrees of freedom it is known with.

    Parameters
    ----------
    solution : Solution
        A least-squares solution.
    spread : float or None
        Standard deviation of one measurement where it is known, > 0; None takes it from the
        residuals. [1]

    Returns
    -------
    variance : float
        Variance of one measurement. [1]
    degrees : int or None
        Degrees of freedom; None where the spread was given. [1]

    Raises
    ------
    OutOfRange
        If the spread is not above 0, or not given and no measurement is left over for it.

    Examples
    --------
    >>> line = Solution(np.ones(1), np.array([1.0, -1.0]), np.ones((2, 1)), np.array([True]))
    >>> noise_of(line, None)
    (2.0, 1)
    """
    if spread is not None:
        require_at_least(0, strict=True, spread=spread)
        return spread**2, None
    degrees = solution.residuals.size - int((solution.free).sum())
    if degrees < 1:
        missing = "spread"
        raise OutOfRange(
            missing,
            None,
            valid="given, because no measurement is left over to tell it from the residuals",
        )
    return solution.sum_of_squares / degrees, degrees


@stands(
    Trust.EXACT,
    formula="two-sided quantile of Student's distribution; of the normal one without degrees",
    source="any book of statistics",
)
def quantile(coverage: float, degrees: int | None) -> float:
    """How many standard uncertainties make a band of a stated coverage.

    Parameters
    ----------
    coverage : float
        Share of cases that the band should hold, above 0 and below 1. [1]
    degrees : int or None
        Degrees of freedom; None for a known spread. [1]

    Returns
    -------
    factor : float
        The coverage factor. [1]

    Raises
    ------
    OutOfRange
        If the coverage is not between 0 and 1.

    Examples
    --------
    >>> quantile(0.95, None), quantile(0.95, 4)
    (1.960, 2.776)
    """
    require_between(0, 1, strict=True, coverage=coverage)
    return float(stdtrit(np.inf if degrees is None else degrees, (1 + coverage) / 2))


@stands(
    Trust.EXACT,
    formula="k u, u² = g C g for each row g of slopes",
    source="linearised least squares; JCGM 100:2008, 5.1.2",
)
def expanded_uncertainty(
    slopes: ArrayLike, covariance: ArrayLike, coverage: float, degrees: int | None
) -> NDArray[np.float64]:
    """Half the width of the band about what was worked out from fitted parameters.

    Parameters
    ----------
    slopes : array_like, shape (n, p)
        Derivatives of each result to each parameter. [1]
    covariance : array_like, shape (p, p)
        Of the parameters. [1]
    coverage : float
        Share of cases that the band should hold, above 0 and below 1. [1]
    degrees : int or None
        Degrees of freedom; None for a known spread. [1]

    Returns
    -------
    half : ndarray, shape (n,)
        In the results' unit. [1]

    Raises
    ------
    OutOfRange
        If a number is not finite, or the coverage is not between 0 and 1.

    Notes
    -----
    First order: true for a result that is nearly straight over the parameters' uncertainty.

    References
    ----------
    .. [1] JCGM 100:2008, "Guide to the expression of uncertainty in measurement", 5.1.2.
       [from memory]

    Examples
    --------
    >>> float(expanded_uncertainty([[1.0, 2.0]], np.diag([9.0, 4.0]), 0.95, None)[0])
    9.80
    """
    (of,), (matrix,) = require_arrays(slopes=slopes), require_arrays(covariance=covariance)
    require_between(-np.inf, np.inf, slopes=of, covariance=matrix)
    variance = np.einsum("ni,ij,nj->n", of, matrix, of)
    return np.asarray(quantile(coverage, degrees) * np.sqrt(np.maximum(variance, 0.0)))


@stands(
    Trust.EXACT,
    formula="SS(parameter held off its best value) - SS, the smaller of two sides",
    source="profile of the sum of squares (likelihood ratio)",
)
def profile_rises(
    model: Model, observed: ArrayLike, solution: Solution, box: Box, held: ArrayLike
) -> tuple[float, ...]:
    """How little worse the curve fits with each parameter held off its best value.

    Each parameter in turn is held below and above its best value while the others are fitted
    anew. Where even one side fits nearly as well, the measurements cannot tell the parameter to
    within that, whatever its own uncertainty says: the curve bends away from the straight line
    that an uncertainty is made of.

    Parameters
    ----------
    model : Model
        Parameters to fitted values and their Jacobian.
    observed : array_like, shape (n,)
        What was measured. [1]
    solution : Solution
        The best fit.
    box : Box
        Where the other parameters may go meanwhile.
    held : array_like, shape (p, 2)
        Where each is held below and above; two equal values skip one. [1]

    Returns
    -------
    rise : tuple of float
        The smaller rise of the sum of squares of the two sides, for each parameter; infinite for
        one that was skipped. Divide by the variance of one measurement. [1]

    Raises
    ------
    OutOfRange
        If a measurement or an end is missing or not finite.

    References
    ----------
    .. [1] D. M. Bates and D. G. Watts, "Nonlinear Regression Analysis and Its Applications",
       Wiley, 1988, chapter 6: profiles. [from memory]

    Examples
    --------
    >>> line = lambda at: (at[0] * np.array([1.0, 2.0]), np.array([[1.0], [2.0]]))
    >>> box = Box(np.array([-9.0]), np.array([9.0]))
    >>> best = least_squares(line, [2.0, 4.0], [0.0], box)
    >>> profile_rises(line, [2.0, 4.0], best, box, [[1.5, 2.5]])
    (1.25,)
    """
    (ends_of_all,) = require_arrays(held=held)
    require_at_least(-FAR, held=ends_of_all)
    rises = []
    for index, ends in enumerate(ends_of_all):
        if ends[0] == ends[1]:
            rises.append(np.inf)
            continue
        boxes = [box.holding(index, value) for value in ends]
        start = solution.parameters
        sides = [least_squares(model, observed, start, one, rough=True) for one in boxes]
        least = min(side.sum_of_squares for side in sides)
        rises.append(max(least - solution.sum_of_squares, 0.0))
    return tuple(float(rise) for rise in rises)
