"""Least squares for the plant's curves: the parameters that fit best, within a box.

Read first: :func:`least_squares`.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy import optimize

from beadwright.errors import require_arrays, require_at_least
from beadwright.science.trust import Trust, stands

__all__ = ["FAR", "Box", "Model", "Solution", "Vector", "least_squares"]

FAR = float(np.finfo(np.float64).max)
"""What no finite number is beyond."""

Vector: TypeAlias = NDArray[np.float64]
Model = Callable[[Vector], tuple[Vector, Vector]]
"""Parameters (p,) to fitted values (n,) and their Jacobian (n, p)."""


@dataclass(frozen=True, slots=True)
class Box:
    """Where parameters may lie; a parameter whose ends are equal is held there."""

    low: Vector
    high: Vector

    def holding(self, index: int, value: float) -> Box:
        """Return the box with one parameter held at a value."""
        low, high = self.low.copy(), self.high.copy()
        low[index] = high[index] = value
        return Box(low, high)


@dataclass(frozen=True, slots=True)
class Solution:
    """Parameters of the least sum of squares, with residuals and Jacobian there."""

    parameters: Vector
    residuals: Vector
    jacobian: Vector
    free: NDArray[np.bool_]
    """Which parameters could still move: neither held nor at an end of the box."""

    @property
    def sum_of_squares(self) -> float:
        """Sum of the squared residuals."""
        return float(self.residuals @ self.residuals)


@stands(
    Trust.EXACT,
    formula="least sum of squared residuals within a box",
    source="Branch, Coleman and Li, 1999, through the library SciPy",
)
def least_squares(
    model: Model, observed: ArrayLike, start: ArrayLike, box: Box, *, rough: bool = False
) -> Solution:
    """Parameters of a curve that leave the least sum of squares, within a box.

    Steps within a trusted region that keep off the walls; a parameter that the measurements press
    against an end of the box ends there.

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

    Raises
    ------
    OutOfRange
        If a measurement or a start is missing or not finite.

    Notes
    -----
    Finds the minimum downhill of the start.

    References
    ----------
    .. [1] M. A. Branch, T. F. Coleman and Y. Li, "A Subspace, Interior, and Conjugate Gradient
       Method for Large-Scale Bound-Constrained Minimization Problems", SIAM Journal on Scientific
       Computing 21, 1999, p. 1. [read in: a second source that cites it]

    Examples
    --------
    >>> line = lambda at: (at[0] * np.array([1.0, 2.0]), np.array([[1.0], [2.0]]))
    >>> box = Box(np.array([-9.0]), np.array([9.0]))
    >>> float(least_squares(line, [2.0, 4.0], [0.0], box).parameters[0])
    2.0
    """
    (seen,) = require_arrays(observed=observed)
    (begun,) = require_arrays(start=start)
    require_at_least(-FAR, observed=seen)
    require_at_least(-FAR, start=begun)
    at = np.clip(begun, box.low, box.high)
    free = box.low < box.high
    if free.any():
        at, free = _searched(_Opened(model, seen, at, free), box, rough=rough)
    fitted, jacobian = model(at)
    return Solution(at, seen - fitted, jacobian, free)


@dataclass(frozen=True, slots=True)
class _Opened:
    """A model of those parameters that are not held."""

    model: Model
    seen: Vector
    at: Vector
    moving: NDArray[np.bool_]

    def whole(self, moved: Vector) -> Vector:
        """All parameters."""
        every = self.at.copy()
        every[self.moving] = moved
        return every

    def misfit(self, moved: Vector) -> Vector:
        """Fitted less seen."""
        return self.model(self.whole(moved))[0] - self.seen

    def slopes(self, moved: Vector) -> Vector:
        """Of the misfit."""
        return self.model(self.whole(moved))[1][:, self.moving]


def _searched(opened: _Opened, box: Box, *, rough: bool) -> tuple[Vector, NDArray[np.bool_]]:
    """Where the parameters end, and which of them are neither held nor at a wall."""
    low, high = box.low[opened.moving], box.high[opened.moving]
    rounds, least_step, least_gain = (30, 1e-4, 1e-3) if rough else (100, 1e-11, 1e-14)
    found = optimize.least_squares(
        opened.misfit,
        opened.at[opened.moving],
        opened.slopes,
        (low, high),
        x_scale="jac",
        xtol=least_step,
        ftol=least_gain,
        gtol=None,
        max_nfev=rounds,
    )
    wall, free = found.active_mask, opened.moving.copy()
    free[free] = wall == 0
    return opened.whole(np.select([wall < 0, wall > 0], [low, high], found.x)), free
