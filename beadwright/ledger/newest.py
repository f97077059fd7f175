"""The newest entries that came of forms and sheets of one kind."""

from __future__ import annotations

import json

from beadwright.ledger import store
from beadwright.ledger.body import decode
from beadwright.ledger.draft import ReadingsDraft, StepDraft

__all__ = ["newest_of"]

_WINDOW = 4000
"""Entries looked through, from the end: what was usual longer ago than these says little today."""

_LATE = 4
"""Times as many are looked at as are asked for, because entries come late."""


def newest_of(plant: str, kind: str, number: int) -> list[StepDraft | ReadingsDraft]:
    """Give the newest steps and readings whose client key begins with ``kind/``, newest first.

    They are as they were first posted, and not as a correction restated them. At most ``number``
    drafts, of the last 4,000 entries, by when they happened: late entries are ordinary.
    """
    sql = (
        "SELECT kind, body FROM ledger_entry WHERE plant=%s"
        " AND seq > (SELECT max(seq) FROM ledger_entry WHERE plant=%s) - %s"
        " AND kind IN ('step','readings') AND body LIKE %s AND body NOT LIKE %s"
        " ORDER BY seq DESC LIMIT %s"
    )
    like = f'%"key":{json.dumps(kind)[:-1]}/%'
    restated = f"{like}/readings/%"
    rows = store.select(sql, [plant, plant, _WINDOW, like, restated, _LATE * number])
    drafts = (decode(name, json.loads(body)["draft"]) for name, body in rows)
    found = [
        draft
        for draft in drafts
        if isinstance(draft, StepDraft | ReadingsDraft) and draft.key.startswith(f"{kind}/")
    ]
    return sorted(found, key=lambda draft: -(draft.happened_at or 0))[:number]
