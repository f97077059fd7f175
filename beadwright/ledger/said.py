"""What was said: drafts read back from the record, as first posted or in their newest version."""

from __future__ import annotations

import json
from collections.abc import Iterable

from beadwright.ledger import store
from beadwright.ledger.body import decode, digest_of
from beadwright.ledger.changes import used_keys
from beadwright.ledger.draft import Correction, Draft, ReadingsDraft, StepDraft
from beadwright.ledger.indexes import OF_RUN

__all__ = ["compare", "posted", "readings", "run_steps", "step"]


def _entry(plant: str, seq: int) -> Draft | None:
    sql = "SELECT kind, body FROM ledger_entry WHERE plant=%s AND seq=%s"
    row = store.one(sql, [plant, seq])
    return None if row is None else decode(row[0], json.loads(row[1])["draft"])


def posted(plant: str, no: int, key: str) -> Draft | None:
    """Give the draft that was posted under a client key, or None."""
    used = used_keys(no, [key]).get(key)
    return None if used is None else _entry(plant, used[0])


def step(plant: str, no: int, key: str, before: str = "") -> StepDraft | None:
    """Give the newest version of a step; with ``before``, the one that correction restated."""
    versions = [draft for draft in (posted(plant, no, key),) if isinstance(draft, StepDraft)]
    sql = (
        "SELECT body FROM ledger_entry WHERE plant=%s AND kind='correct' ORDER BY seq + 0"
        if versions
        else None
    )
    for (body,) in store.select(sql, [plant]) if sql else ():
        if f'"step":{json.dumps(key, ensure_ascii=False)}' not in body:
            continue
        draft = decode("correct", json.loads(body)["draft"])
        if isinstance(draft, Correction) and draft.step == key:
            if draft.key == before:
                return versions[-1]
            versions.append(draft.restated)
    if before:
        return None
    return versions[-1] if versions else None


def readings(plant: str, no: int, key: str) -> ReadingsDraft | None:
    """Give a readings draft as it was posted, voided since or not."""
    draft = posted(plant, no, key)
    return draft if isinstance(draft, ReadingsDraft) else None


def run_steps(plant: str, no: int, run: str, kind: str) -> list[StepDraft]:
    """Give the steps of a run, as they were first posted."""
    sql = (
        f"SELECT no FROM ledger_step WHERE p=%s AND run=%s AND {OF_RUN} AND kind=%s ORDER BY k, tie"
    )
    found = (_entry(plant, row[0]) for row in store.select(sql, [no, run, kind]))
    return [draft for draft in found if isinstance(draft, StepDraft)]


def compare(no: int, drafts: Iterable[Draft]) -> tuple[set[str], set[str]]:
    """Keys among the drafts that were posted before with the same content, and with other."""
    wanted = {draft.key: draft for draft in drafts}
    used = used_keys(no, wanted)
    same = {key for key, (_, digest) in used.items() if digest_of(wanted[key]) == digest}
    return same, set(used) - same
