"""What stands in the way of a step that has not happened yet, beyond the judge's rules.

Once it has happened it is recorded whatever these say; before, they refuse it.
"""

from __future__ import annotations

from collections.abc import Mapping

from beadwright.errors import Fault
from beadwright.ledger.draft import StepDraft
from beadwright.ledger.fold import FoldLot, State
from beadwright.ledger.holds import open_causes
from beadwright.ledger.releases import is_released

__all__ = ["planned"]

_STOPPED = frozenset({"expand", "fill", "draw", "mould", "produce", "bundle", "ship"})


def planned(
    plant: int, draft: StepDraft, lots: Mapping[str, FoldLot], states: Mapping[int, State]
) -> list[Fault]:
    """Faults of a planned step: an input on hold, a block lot shipped that is not released."""
    if draft.kind not in _STOPPED:
        return []
    faults: list[Fault] = []
    for line in draft.lines:
        if line.sign >= 0:
            continue
        lot = lots[line.lot]
        state = states.get(lot.no)
        for cause in open_causes(plant, state.causes) if state else ():
            what = f"{lot.code} is on hold: {cause}"
            remedy = "An engineer lifts the hold or gives a concession, with a reason."
            faults.append(Fault("on_hold", what, lot.code, draft.key, remedy))
        if draft.kind == "ship" and lot.kind == "block" and not is_released(plant, lot.code):
            what = f"{lot.code} is not released"
            remedy = f"Assess {lot.code}; what is missing is listed there."
            faults.append(Fault("not_released", what, lot.code, draft.key, remedy))
    return faults
