"""What a result is worked out from: estimates, how sure they are, and what goes together.

Read :class:`Input` first.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.errors import require_arrays, require_at_least, require_between
from beadwright.statistics.requirements import refuse, require_freedom, require_where

__all__ = [
    "HALF_WIDTH",
    "Input",
    "Model",
    "Shape",
    "arcsine",
    "correlations",
    "evaluate",
    "rectangular",
    "triangular",
]

Model = Callable[[NDArray[np.float64]], NDArray[np.float64]]
"""From inputs, one a row, shape (inputs, cases), to the result of each case, shape (cases,)."""


class Shape(StrEnum):
    """How an input's values are spread about its estimate."""

    NORMAL = "normal"
    RECTANGULAR = "rectangular"
    TRIANGULAR = "triangular"
    ARCSINE = "arcsine"


HALF_WIDTH = {
    Shape.RECTANGULAR: math.sqrt(3),
    Shape.TRIANGULAR: math.sqrt(6),
    Shape.ARCSINE: math.sqrt(2),
}
"""Half the width of a shape in standard uncertainties: JCGM 101:2008, 6.4.2 to 6.4.6."""


@dataclass(frozen=True, slots=True)
class Input:
    """One quantity: its estimate, standard uncertainty, degrees of freedom, and shape."""

    value: float
    u: float
    dof: float = math.inf
    shape: Shape = Shape.NORMAL

    def __post_init__(self) -> None:
        """Refuse what is no number, and a spread below 0."""
        require_at_least(-math.inf, value=self.value)
        require_at_least(0, u=self.u)
        require_freedom(self.dof)


def rectangular(lower: float, upper: float, dof: float = math.inf) -> Input:
    r"""An input of which only its bounds are known, :math:`u = (b - a) / \sqrt{12}`.

    Parameters
    ----------
    lower : float
        Bound a, in any unit. [1]
    upper : float
        Bound b, above a. [1]
    dof : float, optional
        Degrees of freedom, where the bounds themselves are doubtful, > 0. [1]

    Returns
    -------
    input : Input
        Between the bounds.

    Raises
    ------
    OutOfRange
        If a bound is not finite or they are in the wrong order.

    References
    ----------
    .. [1] JCGM 100:2008, 4.3.7. [from memory]

    Examples
    --------
    >>> rectangular(-1.0, 1.0).u
    0.577350
    """
    return _bounded(Shape.RECTANGULAR, lower, upper, dof)


def triangular(lower: float, upper: float, dof: float = math.inf) -> Input:
    r"""An input between bounds and likely near the middle, :math:`u = (b - a) / \sqrt{24}`.

    Parameters
    ----------
    lower : float
        Bound a, in any unit. [1]
    upper : float
        Bound b, above a. [1]
    dof : float, optional
        Degrees of freedom, > 0. [1]

    Returns
    -------
    input : Input
        Between the bounds.

    Raises
    ------
    OutOfRange
        If a bound is not finite or they are in the wrong order.

    References
    ----------
    .. [1] JCGM 100:2008, 4.3.9. [from memory]

    Examples
    --------
    >>> triangular(-1.0, 1.0).u
    0.408248
    """
    return _bounded(Shape.TRIANGULAR, lower, upper, dof)


def arcsine(lower: float, upper: float, dof: float = math.inf) -> Input:
    r"""An input that swings between bounds, as a room's temperature, :math:`u = (b - a) / \sqrt 8`.

    Parameters
    ----------
    lower : float
        Bound a, in any unit. [1]
    upper : float
        Bound b, above a. [1]
    dof : float, optional
        Degrees of freedom, > 0. [1]

    Returns
    -------
    input : Input
        Between the bounds.

    Raises
    ------
    OutOfRange
        If a bound is not finite or they are in the wrong order.

    References
    ----------
    .. [1] JCGM 101:2008, 6.4.6. [from memory]

    Examples
    --------
    >>> arcsine(-0.5, 0.5).u
    0.353553
    """
    return _bounded(Shape.ARCSINE, lower, upper, dof)


def correlations(inputs: Sequence[Input], given: ArrayLike | None) -> NDArray[np.float64]:
    """Correlation coefficients of inputs as a sound matrix; no two related where none are given.

    Parameters
    ----------
    inputs : sequence of Input
        What the result is worked out from, at least one.
    given : array_like, shape (n, n), or None
        Coefficients, 1 on the diagonal, symmetric. [1]

    Returns
    -------
    matrix : ndarray, shape (n, n)
        The same, or ones on the diagonal. [1]

    Raises
    ------
    OutOfRange
        If there is no input, the matrix has another shape, a coefficient beyond -1 to 1, is not
        symmetric, or says what cannot be (a negative variance).
    """
    count = len(inputs)
    if count == 0:
        refuse("inputs", "empty", "at least one input")
    if given is None:
        return np.eye(count)
    (matrix,) = require_arrays(correlation=given)
    if matrix.shape != (count, count):
        refuse("correlation", f"of shape {matrix.shape}", f"of shape {(count, count)}")
    require_between(-1, 1, correlation=matrix)
    require_where(np.isclose(matrix, matrix.T), "the same both ways round", correlation=matrix)
    good = np.isclose(matrix, 1) | ~np.eye(count, dtype=bool)
    require_where(good, "1 on the diagonal", correlation=matrix)
    lowest = float(np.linalg.eigvalsh(matrix).min())
    if lowest < -1e-9:  # noqa: PLR2004 - rounding of a matrix that just can be
        refuse("correlation", f"of least eigenvalue {lowest:.2g}", "a matrix that can be: none < 0")
    return matrix


def evaluate(model: Model, cases: NDArray[np.float64]) -> NDArray[np.float64]:
    """Results of a model for many cases at once.

    Parameters
    ----------
    model : Model
        The model.
    cases : ndarray, shape (n, m)
        One input a row, one case a column. [1]

    Returns
    -------
    results : ndarray, shape (m,)
        One of each case. [1]

    Raises
    ------
    OutOfRange
        If the model gives another number of results, or one that is not finite.
    """
    found = np.asarray(model(cases), dtype=np.float64)
    if found.shape != cases.shape[1:]:
        wanted = f"of shape {cases.shape[1:]}: one number for each case"
        refuse("model's result", f"of shape {found.shape}", wanted)
    require_where(np.isfinite(found), "a finite number for every case", model=found)
    return found


def _bounded(shape: Shape, lower: float, upper: float, dof: float) -> Input:
    require_at_least(-math.inf, lower=lower, upper=upper)
    if not lower < upper:
        refuse("upper", upper, f"a number above lower, {lower:g}")
    half = (upper - lower) / 2
    return Input(lower + half, half / HALF_WIDTH[shape], dof, shape)
