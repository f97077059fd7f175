"""What a plan does over all shares: what passes, what goes out, how much is looked at.

Read :func:`averages` first.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.optimize import brentq, minimize_scalar

from beadwright.errors import require_between
from beadwright.statistics.requirements import refuse, require_whole
from beadwright.statistics.sampling.attributes import (
    DoublePlan,
    Model,
    SinglePlan,
    acceptance,
    second_sample,
)

__all__ = ["Averages", "averages", "outgoing_limit", "share_accepted_with"]

_Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Averages:
    """Of each share of bad pieces: what a plan does on the average."""

    share: _Floats
    acceptance: _Floats
    """Probability that the lot is accepted."""
    outgoing: _Floats
    """Share of bad pieces in what goes out, where lots not accepted are looked through piece by
    piece and the bad ones replaced (AOQ)."""
    inspected: _Floats
    """Pieces looked at for each lot, those of looking through included (ATI)."""
    sampled: _Floats
    """Pieces looked at to decide on a lot (ASN)."""


def averages(
    plan: SinglePlan | DoublePlan,
    share: ArrayLike,
    lot: int,
    model: Model = Model.PROCESS,
) -> Averages:
    r"""Operating characteristic, outgoing quality, and numbers of pieces looked at.

    .. math::
        AOQ = p \, P_a \frac{N - n}{N}, \qquad ATI = n + (1 - P_a)(N - n), \qquad
        ASN = n_1 + n_2 \, P(Ac_1 < d_1 < Re_1)

    of a single plan; of a double one each way of accepting leaves its own number of pieces unseen.

    Parameters
    ----------
    plan : SinglePlan or DoublePlan
        What is done.
    share : array_like, shape (n,)
        Shares of bad pieces in what comes in. [1]
    lot : int
        Pieces in a lot. [1]
    model : Model, optional
        As in :func:`~beadwright.statistics.sampling.attributes.acceptance`.

    Returns
    -------
    averages : Averages
        Of each share.

    Raises
    ------
    OutOfRange
        If a share is out of range, or the lot smaller than the samples.

    References
    ----------
    .. [1] NIST/SEMATECH e-Handbook of Statistical Methods, 6.2.3.2 and 6.2.4. [read in: a second
       source that cites it]

    Examples
    --------
    >>> found = averages(SinglePlan(52, 3), [0.03], 10000)
    >>> round(float(found.inspected[0])), round(float(found.outgoing[0]), 4)
    (753, 0.0278)
    """
    shares = np.atleast_1d(np.asarray(share, dtype=np.float64))
    require_whole(sum(plan.sizes), lot=lot)
    passed = acceptance(plan, shares, model, lot)
    if isinstance(plan, SinglePlan):
        unseen = passed * (lot - plan.size)
        sampled = np.full_like(shares, plan.size)
    else:
        at_once = acceptance(SinglePlan(plan.first, plan.first_accept), shares, model, lot)
        later = passed - at_once
        unseen = at_once * (lot - plan.first) + later * (lot - plan.first - plan.second)
        sampled = plan.first + plan.second * second_sample(plan, shares, model, lot)
    return Averages(shares, passed, shares * unseen / lot, lot - unseen, sampled)


def outgoing_limit(
    plan: SinglePlan | DoublePlan, lot: int, model: Model = Model.PROCESS
) -> tuple[float, float]:
    """Worst average share of bad pieces that goes out, and the share coming in at which it does.

    It holds on the average over many lots, and only if lots not accepted are looked through piece
    by piece and every bad piece is found and replaced.

    Parameters
    ----------
    plan : SinglePlan or DoublePlan
        What is done.
    lot : int
        Pieces in a lot. [1]
    model : Model, optional
        As in :func:`averages`; the hypergeometric is not taken, for it has no slope.

    Returns
    -------
    outgoing : float
        The limit, AOQL. [1]
    incoming : float
        Where it lies. [1]

    Raises
    ------
    OutOfRange
        If the lot is smaller than the samples, or the model is of one lot.

    References
    ----------
    .. [1] NIST/SEMATECH e-Handbook of Statistical Methods, 6.2.3.2. [read in: a second source
       that cites it]

    Examples
    --------
    >>> outgoing_limit(SinglePlan(52, 3), 10000)
    (0.0372, 0.0559)
    """
    if model is Model.LOT:
        refuse("model", model.value, "binomial or poisson: the limit is one of many lots")
    grid = np.geomspace(1e-5, 1.0, 400)
    out = averages(plan, grid, lot, model).outgoing
    top = int(np.argmax(out))
    span = (float(grid[max(0, top - 1)]), float(grid[min(len(grid) - 1, top + 1)]))
    found = minimize_scalar(
        lambda p: -float(averages(plan, [p], lot, model).outgoing[0]),
        bounds=span, method="bounded", options={"xatol": 1e-10},
    )  # fmt: skip
    return float(-found.fun), float(found.x)


def share_accepted_with(
    plan: SinglePlan | DoublePlan, probability: float, model: Model = Model.PROCESS
) -> float:
    """Share of bad pieces at which a plan accepts with a given probability.

    Parameters
    ----------
    plan : SinglePlan or DoublePlan
        What is done.
    probability : float
        Of acceptance, between 0 and 1. [1]
    model : Model, optional
        Binomial or Poisson; of one lot the share goes in steps.

    Returns
    -------
    share : float
        The share. [1]

    Raises
    ------
    OutOfRange
        If the probability is not between 0 and 1, or the model is of one lot.

    Examples
    --------
    >>> share_accepted_with(SinglePlan(80, 2), 0.10)
    0.06516
    """
    require_between(0, 1, strict=True, probability=probability)
    if model is Model.LOT:
        refuse("model", model.value, "binomial or poisson: of one lot the share goes in steps")
    high = 1.0
    if model is Model.COUNTS:
        while float(acceptance(plan, high, model)) > probability:
            high *= 2
    elif float(acceptance(plan, high, model)) > probability:
        refuse("plan", plan, "one that turns away a lot of bad pieces only")
    found = brentq(lambda p: float(acceptance(plan, p, model)) - probability, 0.0, high, xtol=1e-13)
    return float(found)
