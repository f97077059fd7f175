"""Whether a row read again says what it said the first time.

A step's masses rest on what its lots weigh a piece, and that is restated by corrections and
weighings. A row whose keyed cells are the same says the same, whatever has been learnt since.
"""

from __future__ import annotations

from dataclasses import replace

from beadwright.ledger.draft import Correction, Draft, SettingDraft, StepDraft

__all__ = ["says_the_same"]


def says_the_same(draft: Draft, posted: Draft | None) -> bool:
    """Return whether a draft holds the same keyed cells as the one posted under its key."""
    if isinstance(draft, StepDraft) and isinstance(posted, StepDraft):
        return _said(draft) == _said(posted)
    if isinstance(draft, Correction) and isinstance(posted, Correction):
        about = (draft.step, draft.reason, draft.happened_at, draft.by)
        was_about = (posted.step, posted.reason, posted.happened_at, posted.by)
        return about == was_about and says_the_same(draft.restated, posted.restated)
    if isinstance(draft, SettingDraft) and isinstance(posted, SettingDraft):
        return draft == replace(posted, by=draft.by)  # who signs for it is said of each import
    return draft == posted


def _said(step: StepDraft) -> tuple[object, ...]:
    return (step.key, step.kind, step.happened_at, step.by, dict(step.facts))
