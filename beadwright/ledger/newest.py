"""The newest entries that came of forms and sheets of one kind."""

from __future__ import annotations

import json
from dataclasses import dataclass, replace

from beadwright.ledger import store
from beadwright.ledger.body import decode
from beadwright.ledger.draft import ReadingsDraft, StepDraft

__all__ = ["newest_of"]

_WINDOW = 4000
"""Entries looked through, from the end: what was usual longer ago than these says little today."""

_LATE = 4
"""Times as many are looked at as are asked for, because entries come late."""


_MOST = 64
"""Questions of which the answers are kept."""

_Draft = StepDraft | ReadingsDraft


@dataclass(frozen=True, slots=True)
class _Read:
    """What a question has read, the newest first, and up to which entry."""

    seq: int
    hash: str
    drafts: tuple[tuple[int, _Draft | None], ...] = ()
    """By their entries; None where an entry only says somewhere what a key begins with."""


_kept: dict[tuple[str, str, int], _Read] = {}


def newest_of(plant: str, kind: str, number: int) -> list[StepDraft | ReadingsDraft]:
    """Give the newest steps and readings whose client key begins with ``kind/``, newest first.

    They are as they were first posted, and not as a correction restated them. At most ``number``
    drafts, of the last 4,000 entries, by when they happened: late entries are ordinary. What was
    read once is kept, for the entries of a record do not change: only those after it are read.
    """
    row = store.one("SELECT seq, hash FROM ledger_head WHERE plant=%s", [plant])
    if row is None:
        return []
    key = (plant, kind, number)
    now = _Read(*row)
    before = _still(plant, _kept.pop(key, None), now)
    first = now.seq - _WINDOW
    found = _drafts(plant, kind, (max(first, before.seq), now.seq), _LATE * number)
    found += [one for one in before.drafts if one[0] > first]
    del found[_LATE * number :]
    _kept[key] = replace(now, drafts=tuple(found))
    while len(_kept) > _MOST:
        _kept.pop(next(iter(_kept)), None)
    drafts = [draft for _, draft in found if draft is not None]
    return sorted(drafts, key=lambda draft: -(draft.happened_at or 0))[:number]


def _still(plant: str, before: _Read | None, now: _Read) -> _Read:
    """Give what was read, where it ended at an entry of this record; else nothing."""
    if before is not None and before.seq <= now.seq:
        sql = "SELECT hash FROM ledger_entry WHERE plant=%s AND seq=%s"
        if store.one(sql, [plant, before.seq]) == (before.hash,):
            return before
    return _Read(0, "")


def _drafts(
    plant: str, kind: str, between: tuple[int, int], most: int
) -> list[tuple[int, _Draft | None]]:
    """Read the drafts of a kind after one entry and up to another, the newest first."""
    sql = (
        "SELECT seq, kind, body FROM ledger_entry WHERE plant=%s AND seq > %s AND seq <= %s"
        " AND kind IN ('step','readings') AND body LIKE %s AND body NOT LIKE %s"
        " ORDER BY seq DESC LIMIT %s"
    )
    like = f'%"key":{json.dumps(kind)[:-1]}/%'
    rows = store.select(sql, [plant, *between, like, f"{like}/readings/%", most])
    drafts = ((seq, decode(name, json.loads(body)["draft"])) for seq, name, body in rows)
    return [
        (seq, draft if isinstance(draft, _Draft) and draft.key.startswith(f"{kind}/") else None)
        for seq, draft in drafts
    ]
