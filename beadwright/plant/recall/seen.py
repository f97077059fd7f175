"""What a stage of a recall found, kept beside it: the record goes on, and this says what was known.

Read :func:`seen`.
"""

from __future__ import annotations

from beadwright.plant.figures import mass
from beadwright.plant.recall.on_record import Recall
from beadwright.plant.recall.scope import Scope, scope
from beadwright.plant.recall.stages import CLOSED, HELD, KNOWN, READY
from beadwright.plant.recall.told import ACCOUNT, account_masses, pieces_of
from beadwright.plant.words import number

__all__ = ["seen"]


def seen(plant_no: int, about: Recall, stage: str) -> str:
    """Say what the record has for a stage at the time it is done; masses in kg.

    Of stock that is held: how much, which the door takes only if all of it is on hold. Of a
    rehearsal: that nothing was held for it.
    """
    found = scope(plant_no, about.starts, about.narrowing)
    if stage == KNOWN:
        left = f", {number(len(found.out), 'block lot')} left out" if about.narrowing.body else ""
        return f"{number(len(found.lots), 'lot')} in scope{left}"
    if stage == HELD:
        pieces = sum(stand.at_most for _, stand in found.here)
        other = mass(sum(one.lot.mg for one in found.stock), "si")
        much = f"{number(pieces, 'piece')} and {other} of other material in the plant"
        how = "a rehearsal: nothing was held for it" if about.rehearsed else "all of it on hold"
        return f"{much}; {how}" if found.here or found.stock else "nothing of it in the plant"
    if stage == READY:
        told = ", ".join(f"{name} {pieces_of(some)}" for name, some in found.receivers)
        return f"to tell: {told or 'nobody'}"
    return _accounts(found) if stage == CLOSED else ""


def _accounts(found: Scope) -> str:
    return "; ".join(
        f"{one.lot}: "
        + ", ".join(
            f"{name} {mass(round(mg), 'si')}"
            for name, mg in zip(ACCOUNT, account_masses(one), strict=True)
        )
        for one in found.accounts
    )
