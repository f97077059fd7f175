"""What a plan protects against, in plain words.

Read :func:`plan_words` first.
"""

from __future__ import annotations

import numpy as np

from beadwright.statistics.sampling.attributes import DoublePlan, Model, SinglePlan, acceptance
from beadwright.statistics.sampling.curves import share_accepted_with
from beadwright.statistics.sampling.variables import VariablesPlan, variables_acceptance

__all__ = ["plan_words"]

_OFTEN, _HALF, _SELDOM = 0.95, 0.5, 0.10


def plan_words(
    plan: SinglePlan | DoublePlan | VariablesPlan, lot: int | None = None
) -> tuple[str, ...]:
    """Say what a plan does, what it protects against, and what it does not.

    Parameters
    ----------
    plan : SinglePlan or DoublePlan or VariablesPlan
        The plan.
    lot : int, optional
        Pieces in the lot: then it is told in pieces of this lot. [1]

    Returns
    -------
    words : tuple of str
        One sentence or two each.

    Examples
    --------
    >>> plan_words(SinglePlan(32, 0), 270)[0]
    'Look at 32 pieces drawn at random. Accept if none is bad.'
    """
    if isinstance(plan, VariablesPlan):
        return _measured(plan)
    found = [_does(plan)]
    if lot is None:
        often, seldom = (share_accepted_with(plan, chance) for chance in (_OFTEN, _SELDOM))
        found.append(
            f"A process that makes {_percent(often)} bad pieces passes 95 times in 100; "
            f"one that makes {_percent(seldom)} still passes 10 times in 100."
        )
    else:
        found += _of_the_lot(plan, lot)
    found.append(
        "An accepted lot is not a lot without bad pieces, and bad pieces that are found do not "
        "go out whatever the plan says."
    )
    return tuple(found)


def _does(plan: SinglePlan | DoublePlan) -> str:
    if isinstance(plan, SinglePlan):
        limit = _limit(plan.accept)
        gap = ""
        if plan.refused_from > plan.accept + 1:
            gap = (
                f" With {plan.accept + 1} to {plan.refused_from - 1} bad the lot is accepted, and "
                "the next lot gets normal inspection."
            )
        return f"Look at {_pieces(plan.size)} drawn at random. Accept if {limit}.{gap}"
    first = _limit(plan.first_accept)
    return (
        f"Look at {_pieces(plan.first)} drawn at random. Accept if {first}; do not accept from "
        f"{plan.first_reject} on. In between look at {plan.second} more, and accept if at most "
        f"{plan.accept} of all {plan.first + plan.second} are bad."
    )


def _of_the_lot(plan: SinglePlan | DoublePlan, lot: int) -> list[str]:
    if sum(plan.sizes) >= lot:
        return [f"That is every piece of the lot of {lot}: what is accepted was seen."]
    found = []
    passes = acceptance(plan, np.arange(lot + 1) / lot, Model.LOT, lot)
    often = int(np.flatnonzero(passes >= _OFTEN)[-1])
    half, seldom = (int(np.flatnonzero(passes < chance)[0]) for chance in (_HALF, _SELDOM))
    found.append(
        f"Of lots of {lot} pieces, one with {_bad(often)} passes at least 95 times in 100, "
        f"and one with {_bad(seldom)} ({_percent(seldom / lot)}) at most 10 times in 100."
    )
    found.append(f"With {_bad(half)} a lot is more likely stopped than passed.")
    return found


def _measured(plan: VariablesPlan) -> tuple[str, ...]:
    spread = "the known standard deviation" if plan.sigma is not None else "their own spread"
    often, seldom = (_share(plan, chance) for chance in (_OFTEN, _SELDOM))
    return (
        (
            f"Measure {_pieces(plan.size)} drawn at random. Accept if their mean lies at least "
            f"{plan.factor:.3f} times {spread} inside the limit."
        ),
        (
            f"A process with {_percent(often)} of its pieces beyond the limit passes 95 times in "
            f"100; one with {_percent(seldom)} still passes 10 times in 100."
        ),
        (
            "This holds only if the values are normally distributed far out in the tail, which so "
            "few readings cannot show. It says nothing of a lot that is mixed of two kinds."
        ),
    )


def _share(plan: VariablesPlan, chance: float) -> float:
    """Share beyond the limit at which a plan for measured values passes with a chance."""
    low, high = 1e-12, 1 - 1e-12
    for _ in range(100):
        middle = (low + high) / 2
        if float(variables_acceptance(plan, middle)) > chance:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def _pieces(count: int) -> str:
    return "1 piece" if count == 1 else f"{count} pieces"


def _limit(accept: int) -> str:
    if accept == 0:
        return "none is bad"
    return f"at most {accept} {'is' if accept == 1 else 'are'} bad"


def _bad(count: int) -> str:
    if count == 0:
        return "no bad piece"
    return "1 bad piece" if count == 1 else f"{count} bad pieces"


def _percent(share: float) -> str:
    return f"{100 * share:.2g} %"
