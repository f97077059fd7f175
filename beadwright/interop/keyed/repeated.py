"""Whether the record holds what a form says: the button was pressed twice, or the page sent again.

As planned or as happened, it is one and the same; so is the time that the record gave it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from beadwright.ledger.draft import Correction, Draft, StepDraft

__all__ = ["held_already", "says_so"]


def held_already(drafts: Sequence[Draft], posted: Callable[[str], Draft | None]) -> bool:
    """Return whether each of these drafts is in the record, saying the same."""
    return bool(drafts) and all(says_so(draft, posted(draft.key)) for draft in drafts)


def says_so(draft: Draft, posted: Draft | None) -> bool:
    """Return whether a draft holds the same keyed fields as the one posted under its key."""
    if isinstance(draft, StepDraft) and isinstance(posted, StepDraft):
        return _said(draft) == _said(posted)
    if isinstance(draft, Correction) and isinstance(posted, Correction):
        about = (draft.step, draft.reason, draft.by)
        was_about = (posted.step, posted.reason, posted.by)
        return about == was_about and _said(draft.restated) == _said(posted.restated)
    return draft == posted


def _said(step: StepDraft) -> tuple[object, ...]:
    return (step.key, step.kind, step.by, dict(step.facts))
