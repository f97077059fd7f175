"""Holds on a lot, or on what it was made of, that were lifted: by whom, when, from what, and why.

Read :func:`lifted`. A hold that is lifted stops nothing, so no answer rests on it; whoever relies
on the lot should know of it all the same.
"""

from __future__ import annotations

from beadwright.ledger import entered, restated
from beadwright.ledger.draft import Lift
from beadwright.plant.held import few
from beadwright.plant.opening import Plant
from beadwright.plant.upstream import local
from beadwright.quality import standing

__all__ = ["lifted"]


def lifted(plant: Plant, lot: str) -> list[str]:
    """Say of each lift on a lot's way back what it cleared, who lifted which hold, and why."""
    cleared = restated.lifted_on(plant.no, [lot]).get(lot, {})
    placed = standing.holds_placed(plant.no) if cleared else {}
    found = []
    for seq, one in sorted(entered.by_number(plant.code, cleared).items()):
        draft = one.draft
        hold = placed.get(draft.hold) if isinstance(draft, Lift) else None
        if not isinstance(draft, Lift) or hold is None:
            continue
        by = draft.by or one.account
        found.append(
            f"hold {hold.name} on {few(hold.lots)}, placed {local(hold.at_ms, plant.zone)}"
            f" by {hold.by or 'nobody named'} ({hold.reason}), was lifted from"
            f" {few(cleared[seq])} {local(draft.happened_at, plant.zone)} by {by}:"
            f" {draft.reason} (entry {seq})"
        )
    return found
