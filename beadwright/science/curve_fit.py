"""Least squares for the plant's curves, and whether a trial's design can tell a parameter at all.

Read first: :func:`profile_rises`, which says what a fit must not report.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import stdtrit

from beadwright.errors import OutOfRange, require_at_least, require_between
from beadwright.science.trust import Trust, stands

__all__ = [
    "Box",
    "Fitted",
    "Model",
    "Solution",
    "covariance",
    "least_squares",
    "noise_of",
    "profile_rises",
    "quantile",
]

_Vector = NDArray[np.float64]
Model = Callable[[_Vector], tuple[_Vector, _Vector]]
"""Parameters (p,) to fitted values (n,) and their Jacobian (n, p)."""

_STIFFEST = 1e14


@dataclass(frozen=True, slots=True)
class Box:
    """Where parameters may lie; a parameter whose ends are equal is held there."""

    low: _Vector
    high: _Vector

    def holding(self, index: int, value: float) -> Box:
        """Return the box with one parameter held at a value."""
        low, high = self.low.copy(), self.high.copy()
        low[index] = high[index] = value
        return Box(low, high)


@dataclass(frozen=True, slots=True)
class Solution:
    """Parameters of the least sum of squares, with residuals and Jacobian there."""

    parameters: _Vector
    residuals: _Vector
    jacobian: _Vector
    free: NDArray[np.bool_]
    """Which parameters could still move: neither held nor at an end of the box."""

    @property
    def sum_of_squares(self) -> float:
        """Sum of the squared residuals."""
        return float(self.residuals @ self.residuals)


@dataclass(frozen=True, slots=True)
class Fitted:
    """One parameter as a fit reports it, or why it does not."""

    symbol: str
    unit: str
    value: float | None
    u: float | None = None
    """Standard uncertainty, in the parameter's unit."""
    why: str = ""
    """Why there is no value, or where it comes from if it was not fitted."""

    @property
    def identified(self) -> bool:
        """Whether there is a value."""
        return self.value is not None


@stands(
    Trust.EXACT,
    formula="least sum of squared residuals, by damped Gauss-Newton steps within a box",
    source="D. W. Marquardt, 1963",
)
def least_squares(
    model: Model, observed: ArrayLike, start: ArrayLike, box: Box, *, rough: bool = False
) -> Solution:
    """Parameters of a curve that leave the least sum of squares, within a box.

    Damped Gauss-Newton steps: the damping falls while steps help and rises when one does not. A
    parameter that presses against an end of the box waits there.

    Parameters
    ----------
    model : Model
        Parameters to fitted values and their Jacobian.
    observed : array_like, shape (n,)
        What was measured, in the unit of the fitted values. [1]
    start : array_like, shape (p,)
        Where to begin; a start outside the box is moved to its wall. [1]
    box : Box
        Lowest and highest value of each parameter.
    rough : bool, optional
        Stop when the sum of squares has all but settled, which is before the parameters have.

    Returns
    -------
    solution : Solution
        The parameters, the residuals and the Jacobian there.

    Notes
    -----
    Finds the minimum downhill of the start.

    References
    ----------
    .. [1] D. W. Marquardt, "An Algorithm for Least-Squares Estimation of Nonlinear Parameters",
       Journal of the Society for Industrial and Applied Mathematics 11, 1963, p. 431.
       [from memory]

    Examples
    --------
    >>> line = lambda at: (at[0] * np.array([1.0, 2.0]), np.array([[1.0], [2.0]]))
    >>> box = Box(np.array([-9.0]), np.array([9.0]))
    >>> float(least_squares(line, [2.0, 4.0], [0.0], box).parameters[0])
    2.0
    """
    seen = np.asarray(observed, dtype=np.float64)
    at = np.clip(np.asarray(start, dtype=np.float64), box.low, box.high)
    fitted, jacobian = model(at)
    residuals = seen - fitted
    rounds, least_step, least_gain = (30, 1e-4, 1e-3) if rough else (100, 1e-11, 1e-14)
    damping = 1e-3
    free = box.low < box.high
    for _ in range(rounds):
        downhill = jacobian.T @ residuals
        free = _free(at, downhill, box)
        if not free.any():
            break
        tried = _tried(at, residuals, jacobian, _Freedom(free, box, damping))
        new_fitted, new_jacobian = model(tried)
        new = seen - new_fitted
        if new @ new <= residuals @ residuals:
            moved = np.abs(tried - at) > least_step * (np.abs(at) + 1e-6)
            gained = residuals @ residuals - new @ new
            settled = not moved.any() or gained <= least_gain * (new @ new)
            at, residuals, jacobian = tried, new, new_jacobian
            damping = max(damping / 8, 1e-10)  # never singular
            if settled:
                break
        else:
            damping *= 5
            if damping > _STIFFEST:
                break
    return Solution(at, residuals, jacobian, free)


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
    rises = []
    for index, ends in enumerate(np.asarray(held, dtype=np.float64)):
        if ends[0] == ends[1]:
            rises.append(np.inf)
            continue
        sides = []
        for value in ends:
            start = solution.parameters.copy()
            start[index] = value
            held_box = box.holding(index, value)
            off = least_squares(model, observed, start, held_box, rough=True)
            sides.append(off.sum_of_squares - solution.sum_of_squares)
        rises.append(max(min(sides), 0.0))
    return tuple(float(rise) for rise in rises)


def _free(at: _Vector, downhill: _Vector, box: Box) -> NDArray[np.bool_]:
    stuck_low = (at <= box.low) & (downhill <= 0)
    stuck_high = (at >= box.high) & (downhill >= 0)
    return (box.low < box.high) & ~stuck_low & ~stuck_high


@dataclass(frozen=True, slots=True)
class _Freedom:
    """What may move, within which walls, and how stiffly."""

    free: NDArray[np.bool_]
    box: Box
    damping: float


def _tried(at: _Vector, residuals: _Vector, jacobian: _Vector, freedom: _Freedom) -> _Vector:
    """Where the next step leads; what would pass a wall stops there and the others make up."""
    box, tried, free = freedom.box, at.copy(), freedom.free.copy()
    while free.any():
        left = residuals - jacobian @ (tried - at)
        step = np.zeros_like(at)
        step[free] = _step(jacobian[:, free], jacobian[:, free].T @ left, freedom.damping)
        there = tried + step
        outside = (there < box.low) | (there > box.high)
        if not outside.any():
            return there
        tried[outside] = np.minimum(np.maximum(there, box.low), box.high)[outside]
        free &= ~outside
    return tried


def _step(slopes: _Vector, downhill: _Vector, damping: float) -> _Vector:
    normal = slopes.T @ slopes
    scale = normal.diagonal().copy()
    scale[scale <= 0] = max(float(scale.max(initial=0.0)), 1.0) * 1e-12
    normal.flat[:: scale.size + 1] += damping * scale
    return np.asarray(np.linalg.solve(normal, downhill), dtype=np.float64)
