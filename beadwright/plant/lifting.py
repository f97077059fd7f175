"""A hold lifted where somebody looks at it: from the lots that they name, and no others.

Read :func:`lift_hold`.
"""

from __future__ import annotations

from dataclasses import dataclass

from beadwright.errors import Misuse
from beadwright.ledger.draft import Lift
from beadwright.plant.access import Who, allow
from beadwright.plant.door import Posted
from beadwright.plant.moment import moment_of
from beadwright.plant.opening import Plant, door_of

__all__ = ["Lifting", "lift_hold"]


@dataclass(frozen=True, slots=True)
class Lifting:
    """What is lifted: the hold, the lots that it is lifted from, and why."""

    hold: str
    lots: tuple[str, ...]
    reason: str


def lift_hold(plant: Plant, who: Who, what: Lifting, key: str) -> Posted:
    """Lift a hold from lots that it reaches. The same key lifts once.

    Raises
    ------
    Misuse
        If no lot is named, or no reason given.
    Refusal
        If the role may not lift, or a lot is not reached.
    """
    key = f"lift/{key}"
    at_ms = moment_of(plant, key)
    draft = Lift(key, at_ms, what.hold, what.reason.strip(), what.lots, by=who.account)
    allow(who, draft)
    if not draft.lots:
        message = "say from which lots the hold is lifted"
        raise Misuse(message)
    if not draft.reason:
        message = "a lift needs a reason: say what was looked into"
        raise Misuse(message)
    return door_of(plant.code).post(draft, who)
