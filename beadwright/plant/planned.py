"""What stands in the way of a step that has not happened yet, beyond the judge's rules.

Once it has happened it is recorded whatever these say; before, they refuse it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from beadwright.errors import Fault
from beadwright.ledger.draft import StepDraft
from beadwright.ledger.fold import FoldLot, State
from beadwright.ledger.holds import open_causes
from beadwright.plant.assessment import LotAssessment
from beadwright.plant.release import assess
from beadwright.plant.words import code_words

__all__ = ["planned"]

_ANSWERS = {
    "may_not_ship": "may not ship",
    "not_enough_evidence": "is not released, for want of evidence",
}
_STOPPED = frozenset({"expand", "fill", "draw", "mould", "produce", "bundle", "ship"})


def planned(
    plant: int, draft: StepDraft, lots: Mapping[str, FoldLot], states: Mapping[int, State]
) -> list[Fault]:
    """Faults of a planned step: an input on hold, blocks shipped of which no release stands."""
    if draft.kind not in _STOPPED:
        return []
    taken = [lots[line.lot] for line in draft.lines if line.sign < 0]
    faults = [fault for lot in taken for fault in _on_hold(plant, draft, lot, states)]
    blocks = [lot.code for lot in taken if lot.kind == "block"]
    if draft.kind == "ship" and blocks:
        faults += _not_released(plant, draft, blocks)
    return faults


def _on_hold(
    plant: int, draft: StepDraft, lot: FoldLot, states: Mapping[int, State]
) -> Iterator[Fault]:
    state = states.get(lot.no)
    for cause in open_causes(plant, state.causes) if state else ():
        what = f"{lot.code} is on hold: {_of(cause)}"
        remedy = "An engineer lifts the hold or gives a concession, with a reason."
        yield Fault("on_hold", what, lot.code, draft.key, remedy)


def _of(cause: str) -> str:
    """Say what holds a lot: a hold by its number, or what should not have happened, and to what."""
    code, _, about = cause.partition(":")
    if code == "hold":
        return about.rpartition("@")[0]
    return f"{code_words(code)}, {about}" if about else code_words(code)


def _not_released(plant: int, draft: StepDraft, codes: Sequence[str]) -> Iterator[Fault]:
    """One fault for each lot taken, and mould lot in it, of which no release stands now."""
    found = assess(plant, codes)
    by_lot = {one.lot: one for one in found.lots}
    for asked in found.asked:
        for told in (by_lot[code] for code in asked.lots):
            if not told.released:
                inside = "" if asked.code == told.lot else f", and {asked.code} holds pieces of it"
                remedy = f"Its page, or at the shell: assess {told.lot}, lists why."
                what = f"{_why(told)}{inside}"
                yield Fault("not_released", what, asked.code, draft.key, remedy)


def _why(told: LotAssessment) -> str:
    if told.suspended:
        return f"the release of {told.lot} is suspended: {told.reasons[0].sentence}"
    if told.to_sign < told.persons:
        return f"{told.lot} is approved by one of two, and not released"
    if told.answer == "may_ship":
        return f"{told.lot} is not released"
    return f"{told.lot} {_ANSWERS[told.answer]}: {told.reasons[0].sentence}"
