"""Plans for a measured characteristic: far fewer pieces, if it is normally distributed.

Read :func:`design_variables` first.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import betainc, nctdtr, nctdtrit, ndtr, ndtri

from beadwright.errors import require_at_least, require_between
from beadwright.statistics.requirements import refuse, require_series, require_whole
from beadwright.statistics.sampling.design import TwoPoints

__all__ = [
    "VariablesJudged",
    "VariablesPlan",
    "accepts",
    "design_variables",
    "share_beyond",
    "variables_acceptance",
]

_MOST = 20_000


@dataclass(frozen=True, slots=True)
class VariablesPlan:
    """Measure n pieces; accept if the mean lies k standard deviations inside the limit."""

    size: int
    factor: float
    """k."""
    sigma: float | None = None
    """The standard deviation, where it is known, in the unit of the values; None: the sample's."""

    def __post_init__(self) -> None:
        """Refuse a plan that cannot be meant."""
        require_whole(1 if self.sigma is not None else 2, size=self.size)
        require_at_least(-math.inf, factor=self.factor)
        if self.sigma is not None:
            require_at_least(0, strict=True, sigma=self.sigma)


@dataclass(frozen=True, slots=True)
class VariablesJudged:
    """What a plan says of a sample, and by which figures."""

    accepted: bool
    mean: float
    spread: float
    """The standard deviation that was used: the known one, or the sample's."""
    inside_lower: float | None
    """Standard deviations from the lower limit to the mean; k is asked."""
    inside_upper: float | None
    beyond: float
    """Estimated share of pieces beyond the limits."""
    most_beyond: float
    """Largest such share that the plan accepts (M)."""


def design_variables(points: TwoPoints, sigma: float | None = None) -> VariablesPlan:
    r"""Smallest plan for one limit that keeps the producer's and the consumer's point.

    With the spread unknown, exactly by the non-central t distribution:

    .. math::
        P_a(p) = P\left(t'_{n-1}(\sqrt n \, z_{1-p}) \ge \sqrt n \, k\right);

    with it known, :math:`\sqrt n = (z_\alpha + z_\beta) / (z_{p_1} - z_{p_2})`.

    Parameters
    ----------
    points : TwoPoints
        Shares of pieces beyond the limit.
    sigma : float, optional
        The standard deviation, if it is known, in any unit; else it is estimated from the sample.
        [1]

    Returns
    -------
    plan : VariablesPlan
        n and k; k keeps the consumer's point exactly.

    Raises
    ------
    OutOfRange
        If no plan of twenty thousand pieces keeps both, or sigma is not above 0.

    Notes
    -----
    It rests on a normal distribution far out in its tail, where no sample of this size can show
    it. Check it on long records, and use a plan for pass and fail where it does not hold.

    References
    ----------
    .. [1] G. J. Resnikoff and G. J. Lieberman, "Tables of the Non-Central t-Distribution",
       Stanford, 1957. [from memory]

    Examples
    --------
    >>> plan = design_variables(TwoPoints(0.01, 0.06))
    >>> plan.size, round(plan.factor, 4)
    (42, 1.8976)
    """
    near, far = float(-ndtri(points.good)), float(-ndtri(points.bad))
    if sigma is not None:
        producer, consumer = -ndtri(points.producer_risk), -ndtri(points.consumer_risk)
        size = math.ceil(((producer + consumer) / (near - far)) ** 2 - 1e-9)
        return VariablesPlan(size, far + float(consumer) / math.sqrt(size), sigma)

    def keeps(size: int) -> bool:
        factor = _factor(size, far, points.consumer_risk)
        return _passes(size, factor, near) >= 1 - points.producer_risk

    high = 2
    while high <= _MOST and not keeps(high):
        high *= 2
    if high > _MOST:
        refuse("points", f"{points.good:g} and {points.bad:g}", "further apart")
    low = high // 2
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if keeps(middle) else (middle, high)
    return VariablesPlan(high, _factor(high, far, points.consumer_risk))


def variables_acceptance(plan: VariablesPlan, share: ArrayLike) -> NDArray[np.float64]:
    """Probability that a plan accepts, by the share of pieces beyond one limit.

    Parameters
    ----------
    plan : VariablesPlan
        n and k.
    share : array_like, shape (...)
        Share of pieces beyond the limit, between 0 and 1. [1]

    Returns
    -------
    probability : ndarray, shape (...)
        From 0 to 1. [1]

    Raises
    ------
    OutOfRange
        If a share is not between 0 and 1.

    Examples
    --------
    >>> float(variables_acceptance(VariablesPlan(30, 1.86), 0.05))
    0.258
    """
    shares = np.asarray(share, dtype=np.float64)
    require_between(0, 1, strict=True, share=shares)
    root, inside = math.sqrt(plan.size), -ndtri(shares)
    if plan.sigma is not None:
        return np.asarray(ndtr(root * (inside - plan.factor)))
    return np.asarray(1 - nctdtr(plan.size - 1, root * inside, root * plan.factor))


def share_beyond(size: int, inside: float, *, known: bool = False) -> float:
    r"""Estimate without bias of the share of pieces beyond a limit.

    .. math::
        \hat p = I_x(n/2 - 1, n/2 - 1), \qquad
        x = \max\left(0, \tfrac12 - \tfrac12 \, Q \frac{\sqrt n}{n - 1}\right)

    with the spread from the sample; :math:`\Phi(-Q \sqrt{n / (n - 1)})` with it known.

    Parameters
    ----------
    size : int
        Pieces measured, at least 3, or 2 with the spread known. [1]
    inside : float
        Q, standard deviations from the limit to the mean, above 0 inside. [1]
    known : bool, optional
        Whether the standard deviation is known.

    Returns
    -------
    share : float
        From 0 to 1. [1]

    Raises
    ------
    OutOfRange
        If there are too few pieces.

    References
    ----------
    .. [1] G. J. Lieberman and G. J. Resnikoff, "Sampling plans for inspection by variables",
       J. Amer. Statist. Assoc. 50 (1955) 457-516. [from memory]

    Examples
    --------
    >>> share_beyond(5, 1.59)
    0.0219
    """
    require_at_least(-math.inf, inside=inside)
    if known:
        require_whole(2, size=size)
        return float(ndtr(-inside * math.sqrt(size / (size - 1))))
    require_whole(3, size=size)
    at = 0.5 - 0.5 * inside * math.sqrt(size) / (size - 1)
    return float(betainc(size / 2 - 1, size / 2 - 1, min(1.0, max(0.0, at))))


def accepts(
    plan: VariablesPlan,
    values: ArrayLike,
    lower: float | None = None,
    upper: float | None = None,
) -> VariablesJudged:
    """Judge a sample by a plan: one limit by k, two by the estimated share beyond both.

    Parameters
    ----------
    plan : VariablesPlan
        n and k.
    values : array_like, shape (n,)
        The readings, just as many as the plan asks, in any unit. [1]
    lower : float, optional
        Lower limit, in the same unit. [1]
    upper : float, optional
        Upper limit, in the same unit. [1]

    Returns
    -------
    judged : VariablesJudged
        The verdict, and why.

    Raises
    ------
    OutOfRange
        If the number of readings is not the plan's, there is no limit, or no spread.

    References
    ----------
    .. [1] MIL-STD-414, example B-1 (one limit, k) and form 2 (share beyond). [from memory]

    Examples
    --------
    >>> found = accepts(VariablesPlan(5, 1.53), [197, 188, 184, 205, 201], upper=209)
    >>> found.accepted, round(found.inside_upper, 2)
    (True, 1.59)
    """
    series = require_series(plan.size, values=values)
    if len(series) != plan.size:
        refuse("values", f"a row of {len(series)}", f"{plan.size} readings, as the plan asks")
    if lower is None and upper is None:
        refuse("lower", lower, "a limit, or upper one")
    mean = float(series.mean())
    spread = plan.sigma if plan.sigma is not None else float(series.std(ddof=1))
    require_at_least(0, strict=True, spread=spread)
    below = None if lower is None else (mean - lower) / spread
    above = None if upper is None else (upper - mean) / spread
    known = plan.sigma is not None
    both = [q for q in (below, above) if q is not None]
    enough = plan.size >= (2 if known else 3)
    beyond = sum(share_beyond(plan.size, q, known=known) for q in both) if enough else math.nan
    most = share_beyond(plan.size, plan.factor, known=known) if enough else math.nan
    by_factor = len(both) == 1 or not enough
    accepted = min(both) >= plan.factor if by_factor else beyond <= most
    return VariablesJudged(accepted, mean, spread, below, above, beyond, most)


def _factor(size: int, far: float, risk: float) -> float:
    root = math.sqrt(size)
    return float(nctdtrit(size - 1, root * far, 1 - risk)) / root


def _passes(size: int, factor: float, inside: float) -> float:
    root = math.sqrt(size)
    return 1 - float(nctdtr(size - 1, root * inside, root * factor))
