"""What the floors above hand down to the record: rules it applies without knowing them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TypeGuard

from beadwright.errors import Fault
from beadwright.ledger.draft import Decision, Draft, Lift, ReadingsDraft, Release, StepDraft, Void
from beadwright.ledger.fold import FoldLot, Judge, State
from beadwright.ledger.projection import Projector

__all__ = ["DecisionCheck", "PlannedCheck", "ReadingsCheck", "Rules"]

PlannedCheck = Callable[[int, StepDraft, Mapping[str, FoldLot], Mapping[int, State]], list[Fault]]
"""``planned(plant number, draft, lots by code, states by number)``: faults."""

ReadingsCheck = Callable[[int, ReadingsDraft | Void], list[Fault]]
"""``unread(plant number, draft)``: why the projection of readings would not take it."""

DecisionCheck = Callable[[int, Release | Lift | Decision, int], list[Fault]]
"""``undecidable(plant number, draft, now)``: why a lot may not be released, a hold not be lifted
from it, or a decision not be entered, as the record stands."""


@dataclass(frozen=True, slots=True)
class Rules:
    """What the floors above hand down: the judge of steps, and projections of readings."""

    judge: Judge
    readings: Projector
    planned: PlannedCheck
    """What else stands in the way of a step that has not happened yet."""
    unread: ReadingsCheck
    """Asked before anything is posted, of what ``readings`` refuses under the lock."""
    undecidable: DecisionCheck
    """Asked under the lock, with all that came before in the same append."""
    weighed: frozenset[str] = frozenset()
    """Kinds of decisions that ``undecidable`` is asked of."""
    judged: frozenset[str] = frozenset()
    """Topics of settings that the judge reads: one dated in the past folds again from there."""
    notices: frozenset[str] = frozenset()
    """Codes that the judge finds and that stand in the way of nothing."""

    def asks(self, draft: Draft) -> TypeGuard[Release | Lift | Decision]:
        """Whether ``undecidable`` is asked of a draft."""
        if isinstance(draft, Decision):
            return draft.kind in self.weighed
        return isinstance(draft, Release | Lift)
