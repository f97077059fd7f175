"""Propagation of whole distributions, by drawing numbers.

Read :func:`simulate` first.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.random import Generator
from numpy.typing import ArrayLike, NDArray

from beadwright.errors import require_between
from beadwright.statistics.propagation.first_order import Propagated
from beadwright.statistics.propagation.inputs import (
    HALF_WIDTH,
    Input,
    Model,
    Shape,
    correlations,
    evaluate,
)
from beadwright.statistics.requirements import refuse, require_whole

__all__ = ["Simulated", "Simulation", "first_order_holds", "simulate"]

_BLOCKS = 20
"""Parts of a run whose results are compared to say how far it may be off."""
_FEWEST = 10_000
"""Draws below which the ends of an interval are guesses: JCGM 101:2008, 7.9.4."""


@dataclass(frozen=True, slots=True)
class Simulation:
    """How to draw: how many, from which seed, for which coverage."""

    trials: int = 200_000
    seed: int = 1
    probability: float = 0.95

    def __post_init__(self) -> None:
        """Refuse too few draws, and a coverage of none or of all."""
        require_whole(_FEWEST, trials=self.trials)
        require_whole(0, seed=self.seed)
        require_between(0, 1, strict=True, probability=self.probability)


@dataclass(frozen=True, slots=True)
class Simulated:
    """What the draws say of a result."""

    value: float
    u: float
    symmetric: tuple[float, float]
    """The coverage interval that leaves as much below as above."""
    shortest: tuple[float, float]
    """The narrowest interval with this coverage."""
    probability: float
    trials: int
    error: float
    """Standard error of the ends of the symmetric interval, from drawing no more than this."""


def simulate(
    model: Model,
    inputs: Sequence[Input],
    correlation: ArrayLike | None = None,
    *,
    simulation: Simulation | None = None,
) -> Simulated:
    """Distribution of a result, by drawing its inputs many times.

    Parameters
    ----------
    model : Model
        From inputs, shape (n, cases), to results, shape (cases,).
    inputs : sequence of Input
        What it is worked out from, in the order of the model's rows.
    correlation : array_like, shape (n, n), optional
        Correlation coefficients; only normal inputs with known uncertainty may go together. [1]
    simulation : Simulation, optional
        How many draws, the seed, the coverage: else 200,000, 1 and 95 %.

    Returns
    -------
    result : Simulated
        In the unit that the model gives; the same seed gives the same result.

    Raises
    ------
    OutOfRange
        If there is no input, the correlation cannot be or is of other than normal inputs, or the
        model gives a number that is not finite.

    Notes
    -----
    An input of few readings is drawn from Student's distribution, scaled by its standard
    uncertainty: its spread is then larger than that uncertainty, which is what few readings mean.

    References
    ----------
    .. [1] JCGM 101:2008, "Propagation of distributions using a Monte Carlo method", clause 7;
       6.4 (shapes); 7.7 (coverage intervals). [from memory]

    Examples
    --------
    The sum of four rectangular inputs of standard uncertainty 1:

    >>> four = [Input(0.0, 1.0, shape=Shape.RECTANGULAR)] * 4
    >>> result = simulate(lambda x: x.sum(axis=0), four)
    >>> (round(result.u, 1), round(result.symmetric[1], 1))
    (2.0, 3.9)
    """
    how = simulation or Simulation()
    related = correlations(inputs, correlation)
    random = np.random.default_rng(how.seed)
    drawn = np.array([_draw(random, one, how.trials) for one in inputs])
    together = (np.abs(related) > 0).sum(axis=1) > 1
    if together.any():
        _require_normal(inputs, together)
        values, vectors = np.linalg.eigh(related)
        root = vectors * np.sqrt(np.maximum(values, 0.0))
        spread = np.array([one.u for one in inputs])
        centre = np.array([one.value for one in inputs])
        joint = root @ random.standard_normal((len(inputs), how.trials))
        drawn = np.where(together[:, None], centre[:, None] + spread[:, None] * joint, drawn)
    results = evaluate(model, drawn)
    tail = (1 - how.probability) / 2
    blocks = results[: how.trials // _BLOCKS * _BLOCKS].reshape(_BLOCKS, -1)
    ends = np.quantile(blocks, (tail, 1 - tail), axis=1)
    error = float(ends.std(axis=1, ddof=1).max()) / math.sqrt(_BLOCKS)
    ordered = np.sort(results)
    low, high = np.quantile(ordered, (tail, 1 - tail))
    return Simulated(
        float(results.mean()),
        float(results.std(ddof=1)),
        (float(low), float(high)),
        _shortest(ordered, how.probability),
        how.probability,
        how.trials,
        error,
    )


def first_order_holds(propagated: Propagated, simulated: Simulated, digits: int = 2) -> bool:
    r"""Whether the law of propagation gives the same interval as the draws.

    .. math::
        |y - U - y_{low}| \le \delta, \quad |y + U - y_{high}| \le \delta, \quad
        \delta = \tfrac12 10^l

    where :math:`10^l` is the last of the digits to which the uncertainty is stated.

    Parameters
    ----------
    propagated : Propagated
        By the law of propagation.
    simulated : Simulated
        The same result, drawn.
    digits : int, optional
        Digits of the uncertainty that matter, 1 or more. [1]

    Returns
    -------
    holds : bool
        Whether both ends agree.

    Raises
    ------
    OutOfRange
        If the result is exact, or too few were drawn to tell: the error of the ends is more than
        half of what they may differ by.

    References
    ----------
    .. [1] JCGM 101:2008, clause 8: validation of the uncertainty framework; 7.9.2: numerical
       tolerance. [from memory]

    Examples
    --------
    >>> from beadwright.statistics.propagation import propagate
    >>> inputs = [Input(1.0, 0.1), Input(2.0, 0.1)]
    >>> model = lambda x: x[0] + x[1]
    >>> first_order_holds(propagate(model, inputs), simulate(model, inputs), digits=1)
    True
    """
    require_whole(1, digits=digits)
    if propagated.u <= 0:
        refuse("propagated", "exact", "of a standard uncertainty above 0")
    last = math.floor(math.log10(propagated.u)) - (digits - 1)
    tolerance = 10.0**last / 2
    if simulated.error > tolerance / 2:
        wanted = f"of an error at its ends of at most {tolerance / 2:.2g}: draw more"
        refuse("simulated", f"of an error of {simulated.error:.2g}", wanted)
    half = propagated.expanded(simulated.probability)
    low, high = simulated.symmetric
    below, above = propagated.value - half - low, propagated.value + half - high
    return abs(below) <= tolerance and abs(above) <= tolerance


def _draw(random: Generator, one: Input, count: int) -> NDArray[np.float64]:
    """Draws of one input by itself."""
    if one.shape is Shape.NORMAL:
        known = math.isinf(one.dof)
        z = random.standard_normal(count) if known else random.standard_t(one.dof, count)
        return one.value + one.u * z
    half = HALF_WIDTH[one.shape] * one.u
    if one.shape is Shape.RECTANGULAR:
        part = random.uniform(-1, 1, count)
    elif one.shape is Shape.TRIANGULAR:
        part = random.uniform(-0.5, 0.5, count) + random.uniform(-0.5, 0.5, count)
    else:
        part = np.sin(2 * math.pi * random.uniform(0, 1, count))
    return one.value + half * part


def _require_normal(inputs: Sequence[Input], together: NDArray[np.bool_]) -> None:
    for index, (one, related) in enumerate(zip(inputs, together, strict=True)):
        if related and (one.shape is not Shape.NORMAL or math.isfinite(one.dof)):
            what = f"{one.shape}, of {one.dof:g} degrees of freedom"
            refuse(
                f"inputs[{index}]", what, "normal, of known uncertainty, where inputs go together"
            )


def _shortest(ordered: NDArray[np.float64], probability: float) -> tuple[float, float]:
    """The narrowest of all intervals that hold this share of the draws."""
    count = round(probability * len(ordered))
    widths = ordered[count:] - ordered[: len(ordered) - count]
    at = int(np.argmin(widths))
    return float(ordered[at]), float(ordered[at + count])
