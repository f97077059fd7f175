"""Releases: the approvals that let block lots ship, and the lots that a bundle holds."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass

from beadwright.ledger import store
from beadwright.ledger.fold import moulded

__all__ = ["Approval", "approval", "mould_lots"]


@dataclass(frozen=True, slots=True)
class Approval:
    """One approval: of which lot, over which evidence, when, by whom."""

    lot: str
    evidence: str
    at_ms: int
    by: str
    seq: int
    account: str = ""
    """Who keyed it; empty where that was not asked."""
    note: str = ""
    """What who released wrote beside it; empty where nothing was."""


def approval(plant: int, lot: str) -> Approval | None:
    """Give the newest approval of a lot, or None."""
    row = store.one(
        "SELECT body, at_ms, by, seq FROM ledger_decision"
        " WHERE p=%s AND kind='release' AND about=%s ORDER BY seq DESC LIMIT 1",
        [plant, lot],
    )
    if row is None:
        return None
    body, at_ms, by, seq = json.loads(row[0]), *row[1:]
    return Approval(lot, body["evidence"], at_ms, by, seq, note=body.get("note", ""))


def mould_lots(plant: int, codes: Iterable[str]) -> dict[str, tuple[str, ...]]:
    """Give the lots that each lot's blocks were ever moulded into; itself where it has no mark."""
    asked = list(codes)
    marks: dict[str, str] = {}
    for batch in store.parts(asked):
        places = ",".join(["%s"] * len(batch))
        sql = f"SELECT code, causes FROM ledger_lot WHERE p=%s AND code IN ({places})"
        marks.update(store.select(sql, [plant, *batch]))
    return {code: moulded(marks[code]) or (code,) for code in asked if code in marks}
