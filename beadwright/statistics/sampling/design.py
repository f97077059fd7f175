"""The smallest plan that keeps two promises: one to the producer, one to the consumer.

Read :func:`design_single` first.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from beadwright.errors import OutOfRange, require_between
from beadwright.statistics.requirements import refuse, require_whole
from beadwright.statistics.sampling.attributes import (
    DoublePlan,
    Model,
    SinglePlan,
    acceptance,
    second_sample,
)

__all__ = ["TwoPoints", "design_double", "design_single"]

_MOST = 2_000_000
_MOST_ACCEPT = 400
_MOST_DOUBLE = 16


@dataclass(frozen=True, slots=True)
class TwoPoints:
    """What a plan must do: accept good lots nearly always, and bad ones nearly never."""

    good: float
    """Share of bad pieces of a lot that should pass: the producer's point."""
    bad: float
    """Share of bad pieces of a lot that should not: the consumer's point."""
    producer_risk: float = 0.05
    """How often a lot at the first point may be turned away."""
    consumer_risk: float = 0.10
    """How often a lot at the second may pass."""

    def __post_init__(self) -> None:
        """Refuse points that no plan can keep apart."""
        require_between(0, 1, strict=True, good=self.good, bad=self.bad)
        require_between(
            0, 1, strict=True, producer_risk=self.producer_risk, consumer_risk=self.consumer_risk
        )
        if self.bad <= self.good:
            refuse("bad", self.bad, f"above the share of a good lot, {self.good}")
        if self.producer_risk + self.consumer_risk >= 1:
            refuse("consumer_risk", self.consumer_risk, "below what the producer's risk leaves")


def design_single(
    points: TwoPoints, model: Model = Model.PROCESS, lot: int | None = None
) -> SinglePlan:
    """Smallest single plan that keeps both points.

    For each acceptance number the smallest sample that keeps the consumer's point is found; the
    first that keeps the producer's point too is the plan.

    Parameters
    ----------
    points : TwoPoints
        The two points.
    model : Model, optional
        As in :func:`~beadwright.statistics.sampling.attributes.acceptance`.
    lot : int, optional
        Pieces in the lot, for the hypergeometric. A good lot then has at most the whole number of
        bad pieces below its share, a bad one at least that above. [1]

    Returns
    -------
    plan : SinglePlan
        The plan.

    Raises
    ------
    OutOfRange
        If no plan of the lot, or of two million pieces, keeps both.

    References
    ----------
    .. [1] NIST/SEMATECH e-Handbook of Statistical Methods, 6.2.3.1: the two equations, solved
       here exactly. [read in: a second source that cites it]

    Examples
    --------
    >>> design_single(TwoPoints(0.01, 0.06))
    SinglePlan(size=110, accept=3, reject=None)
    """
    good, bad = _shares(points, model, lot)
    limit = lot if model is Model.LOT and lot is not None else _MOST
    for accept in range(_MOST_ACCEPT):

        def passes(size: int, *, share: float = bad, accept: int = accept) -> float:
            return float(acceptance(SinglePlan(size, accept), share, model, lot))

        size = _least(lambda n: passes(n) <= points.consumer_risk, accept + 1, limit)
        if size is None:
            break
        if passes(size, share=good) >= 1 - points.producer_risk:
            return SinglePlan(size, accept)
    raise _too_near(points, model, lot)


def design_double(
    points: TwoPoints, model: Model = Model.PROCESS, lot: int | None = None
) -> DoublePlan:
    """Double plan with two equal samples that keeps both points and looks at fewest pieces.

    Of all acceptance numbers it is the one that needs fewest pieces on the average from lots at
    the producer's point. Lots at neither point may need more than a single plan would.

    Parameters
    ----------
    points : TwoPoints
        The two points.
    model : Model, optional
        As in :func:`design_single`.
    lot : int, optional
        As in :func:`design_single`. [1]

    Returns
    -------
    plan : DoublePlan
        The plan; its first rejection number is Ac + 1 of both samples.

    Raises
    ------
    OutOfRange
        If no such plan keeps both.

    Examples
    --------
    >>> design_double(TwoPoints(0.01, 0.06))
    DoublePlan(first=67, first_accept=1, first_reject=4, second=67, accept=3)
    """
    good, bad = _shares(points, model, lot)
    limit = lot // 2 if model is Model.LOT and lot is not None else _MOST
    best: tuple[float, DoublePlan] | None = None
    for accept in range(1, _MOST_DOUBLE):
        for first in range(accept):

            def plan(size: int, *, first: int = first, accept: int = accept) -> DoublePlan:
                return DoublePlan(size, first, accept + 1, size, accept)

            def holds(size: int, *, of: object = plan) -> bool:
                made = of(size)  # type: ignore[operator]
                return float(acceptance(made, bad, model, lot)) <= points.consumer_risk

            size = _least(holds, accept + 1, limit)
            if size is None:
                continue
            found = plan(size)
            if float(acceptance(found, good, model, lot)) < 1 - points.producer_risk:
                continue
            looked = size * (1 + float(second_sample(found, good, model, lot)))
            if best is None or looked < best[0]:
                best = looked, found
        if best is not None and accept > best[1].accept + 3:
            break
    if best is None:
        raise _too_near(points, model, lot)
    return best[1]


def _shares(points: TwoPoints, model: Model, lot: int | None) -> tuple[float, float]:
    """Both points; in a lot, as whole pieces on the safe side."""
    if model is not Model.LOT:
        return points.good, points.bad
    if lot is None:
        refuse("lot", lot, "the number of pieces in the lot, for the hypergeometric")
    require_whole(1, lot=lot)
    good = math.floor(points.good * lot + 1e-9)
    bad = max(math.ceil(points.bad * lot - 1e-9), good + 1)
    return good / lot, bad / lot


def _least(test: Callable[[int], bool], low: int, limit: int) -> int | None:
    """Smallest number from ``low`` to ``limit`` for which it holds, given that it then stays so."""
    high = low
    while high <= limit and not test(high):
        low, high = high + 1, high * 2
    if high > limit:
        if low > limit or not test(limit):
            return None
        high = limit
    while low < high:
        middle = (low + high) // 2
        low, high = (low, middle) if test(middle) else (middle + 1, high)
    return low


def _too_near(points: TwoPoints, model: Model, lot: int | None) -> OutOfRange:
    size = f"of {lot} pieces" if model is Model.LOT else "that is practical"
    said, wanted = f"{points.good:g} and {points.bad:g}", f"further apart: no plan {size} does"
    return OutOfRange("points", said, valid=wanted)
