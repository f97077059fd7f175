"""The order in which drafts are handed over: by time, but nothing before what it stands on.

A minute stamp, or two clocks on two walls, can put a draft before the step that brings its lot
into the record, and a cup before the end of the run it was taken at. Such a draft waits for that
step; everything else keeps the order of time, rank, file and row.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from beadwright.ledger.draft import (
    RANK,
    Correction,
    Draft,
    NewLot,
    ReadingsDraft,
    Reversal,
    StepDraft,
    Void,
)

__all__ = ["Placed", "in_order"]

_AFTER_STEPS = 1 + max(RANK.values())


class Placed(NamedTuple):
    """A draft and the row it comes from."""

    draft: Draft
    file: int
    row: int


def in_order(placed: Iterable[Placed], last: Sequence[Placed]) -> tuple[list[Draft], list[Draft]]:
    """Return the drafts in posting order, and those that wait for each other in a circle.

    ``last`` (corrections) follow all others, in the order given.
    """
    queue = sorted(placed, key=_place)
    drafts = [*(one.draft for one in queue), *(one.draft for one in last)]
    coming = {token for draft in drafts for token in _provides(draft)}
    ready: list[Draft] = []
    waiting: dict[str, list[Draft]] = {}
    stuck: dict[int, Draft] = {}
    for draft in drafts:
        turn = [draft]
        while turn:
            each = turn.pop()
            lacking = next((token for token in _needs(each) if token in coming), None)
            if lacking is not None:
                waiting.setdefault(lacking, []).append(each)
                stuck[id(each)] = each
                continue
            stuck.pop(id(each), None)
            ready.append(each)
            for token in _provides(each):
                coming.discard(token)
                turn += reversed(waiting.pop(token, []))
    return ready, list(stuck.values())


def _place(placed: Placed) -> tuple[int, int, int, int]:
    draft = placed.draft
    rank = RANK.get(draft.kind, 0) if isinstance(draft, StepDraft) else _AFTER_STEPS
    return (draft.happened_at or 0, rank, placed.file, placed.row)


def _provides(draft: Draft) -> Iterable[str]:
    """Names of what later drafts may stand on."""
    if isinstance(draft, StepDraft):
        yield f"step {draft.key}"
        yield from _brought(draft.new_lots)
    elif isinstance(draft, ReadingsDraft):
        yield f"readings {draft.key}"
    elif isinstance(draft, Correction):
        yield from _brought(draft.restated.new_lots)


def _brought(lots: Iterable[NewLot]) -> Iterable[str]:
    return (f"lot {lot.code}" for lot in lots)


def _needs(draft: Draft) -> Iterable[str]:
    """Names of what a draft stands on, its own lots left out."""
    if isinstance(draft, StepDraft):
        yield from _used(draft)
    elif isinstance(draft, ReadingsDraft):
        for reading in draft.readings:
            yield f"lot {reading.lot}"
            yield f"step {reading.step}"
    elif isinstance(draft, Correction):
        yield f"step {draft.step}"
        yield from _used(draft.restated)
    elif isinstance(draft, Reversal):
        yield f"step {draft.step}"
    elif isinstance(draft, Void):
        yield f"readings {draft.readings}"


def _used(step: StepDraft) -> Iterable[str]:
    own = {lot.code for lot in step.new_lots}
    return (f"lot {line.lot}" for line in step.lines if line.lot not in own)
