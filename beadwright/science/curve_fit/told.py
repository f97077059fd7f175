"""What a fit reports: each parameter with its uncertainty, or why the measurements do not tell it.

Read first: :func:`fit`.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.science.curve_fit.certainty import covariance, noise_of, profile_rises, quantile
from beadwright.science.curve_fit.search import Box, Model, Solution, Vector, least_squares
from beadwright.science.trust import Trust, stands

__all__ = ["Fitted", "Measured", "Reported", "Symbol", "Told", "Within", "fit"]

Within = Callable[[Vector], ArrayLike]
"""Best parameters (p,) to how far below and above each is to be told (p, 2)."""

_CONFIDENCE = 0.95


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


@dataclass(frozen=True, slots=True)
class Reported:
    """A fit's parameters."""

    parameters: tuple[Fitted, ...]

    @property
    def refused(self) -> tuple[Fitted, ...]:
        """What the measurements cannot tell, each with why."""
        return tuple(each for each in self.parameters if not each.identified)


@dataclass(frozen=True, slots=True)
class Symbol:
    """A parameter's symbol and unit, and whether its logarithm is what is fitted."""

    symbol: str
    unit: str
    logarithm: bool = False


@dataclass(frozen=True, slots=True)
class Measured:
    """What was measured, what should describe it, and where its parameters may lie.

    ``spread`` is the standard deviation of one measurement, None to take it from the residuals;
    ``least_variance`` stands in for a variance of nothing, of measurements without scatter.
    """

    model: Model
    seen: Vector
    box: Box
    spread: float | None
    least_variance: float


@dataclass(frozen=True, slots=True)
class Told:
    """A fit: the solution, its covariance, and which parameters the measurements tell."""

    solution: Solution
    covariance: NDArray[np.float64]
    variance: float
    degrees: int | None
    told: NDArray[np.bool_]

    @property
    def spread(self) -> float:
        """Standard deviation of one measurement, given or found."""
        return float(np.sqrt(self.variance))

    def natural(self, symbols: Sequence[Symbol]) -> list[float]:
        """Give the parameters themselves, where logarithms were fitted."""
        pairs = zip(symbols, self.solution.parameters, strict=True)
        return [float(np.exp(at) if of.logarithm else at) for of, at in pairs]

    def reported(self, symbols: Sequence[Symbol], reasons: Sequence[str]) -> tuple[Fitted, ...]:
        """Give each parameter with its uncertainty, or the reason why it is not told."""
        us = np.sqrt(np.diagonal(self.covariance))
        rows = zip(symbols, self.natural(symbols), us, self.told, reasons, strict=True)
        return tuple(
            Fitted(of.symbol, of.unit, value, float(u) * (value if of.logarithm else 1.0))
            if told
            else Fitted(of.symbol, of.unit, None, None, why)
            for of, value, u, told, why in rows
        )


@stands(
    Trust.EXACT,
    formula="least squares; told if u k is within, and held off by it fits worse by k² s²",
    source="least squares with profiles",
)
def fit(measured: Measured, start: ArrayLike, within: Within) -> Told:
    """Parameters of the least squares, and which of them the measurements tell to within a step.

    A parameter is told if its expanded uncertainty is within the step and if, held off its best
    value by the step to either side while the others are fitted anew, the curve fits worse (at
    95 %). Where the straight-line uncertainty is already wider, no profile is needed to say no.

    Parameters
    ----------
    measured : Measured
        Measurements, curve and box.
    start : array_like, shape (p,)
        Where to begin. [1]
    within : Within
        How far below and above each parameter is to be told; infinite for one that always is.

    Returns
    -------
    told : Told
        The solution, its covariance, and which parameters are told.

    Raises
    ------
    OutOfRange
        If no spread was given and no measurement is left over to tell it from the residuals.

    References
    ----------
    .. [1] D. M. Bates and D. G. Watts, "Nonlinear Regression Analysis and Its Applications",
       Wiley, 1988, chapter 6: profiles. [from memory]

    Examples
    --------
    >>> line = lambda at: (at[0] * np.array([1.0, 2.0]), np.array([[1.0], [2.0]]))
    >>> box = Box(np.array([-9.0]), np.array([9.0]))
    >>> seen = Measured(line, np.array([2.0, 4.0]), box, spread=0.1, least_variance=0.0)
    >>> [fit(seen, [0.0], lambda at: [[-d, d]]).told.tolist() for d in (0.5, 0.01)]
    [[True], [False]]
    """
    model, seen, box = measured.model, measured.seen, measured.box
    solution = least_squares(model, seen, start, box)
    variance, degrees = noise_of(solution, measured.spread)
    matrix = covariance(solution, variance, box)
    factor = quantile(_CONFIDENCE, degrees)
    step = np.asarray(within(solution.parameters), dtype=np.float64)
    narrow = factor * np.sqrt(np.diagonal(matrix)) <= step[:, 1]
    skipped = ~narrow | (box.low == box.high) | np.isinf(step).any(axis=1)
    held = np.where(skipped[:, np.newaxis], 0.0, solution.parameters[:, np.newaxis] + step)
    rises = np.array(profile_rises(model, seen, solution, box, held))
    told = narrow & (rises > factor**2 * max(variance, measured.least_variance))
    return Told(solution, matrix, variance, degrees, told)
