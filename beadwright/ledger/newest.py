"""The newest entries that came of forms and sheets of one kind."""

from __future__ import annotations

import json

from beadwright.ledger import store
from beadwright.ledger.body import decode
from beadwright.ledger.draft import ReadingsDraft, StepDraft

__all__ = ["newest_of"]

_WINDOW = 4000
"""Entries looked through, from the end: what was usual longer ago than these says little today."""


def newest_of(plant: str, kind: str, number: int) -> list[StepDraft | ReadingsDraft]:
    """Give the newest steps and readings whose client key begins with ``kind/``, newest first.

    They are as they were first posted. At most ``number`` drafts, of the last 4,000 entries.
    """
    sql = (
        "SELECT kind, body FROM ledger_entry WHERE plant=%s"
        " AND seq > (SELECT max(seq) FROM ledger_entry WHERE plant=%s) - %s"
        " AND kind IN ('step','readings') AND body LIKE %s ORDER BY seq DESC LIMIT %s"
    )
    like = f'%"key":{json.dumps(kind)[:-1]}/%'
    rows = store.select(sql, [plant, plant, _WINDOW, like, number])
    drafts = (decode(name, json.loads(body)["draft"]) for name, body in rows)
    return [
        draft
        for draft in drafts
        if isinstance(draft, StepDraft | ReadingsDraft) and draft.key.startswith(f"{kind}/")
    ]
