"""Releases: the approvals that let block lots ship, and the lots a bundle was made of."""

from __future__ import annotations

import json
from dataclasses import dataclass

from beadwright.ledger import store

__all__ = ["Approval", "approval", "mould_lots"]


@dataclass(frozen=True, slots=True)
class Approval:
    """One approval: of which lot, over which evidence, when, by whom."""

    lot: str
    evidence: str
    at_ms: int
    by: str
    seq: int


def approval(plant: int, lot: str) -> Approval | None:
    """Give the newest approval of a lot, or None."""
    row = store.one(
        "SELECT body, at_ms, by, seq FROM ledger_decision"
        " WHERE p=%s AND kind='release' AND about=%s ORDER BY seq DESC LIMIT 1",
        [plant, lot],
    )
    return None if row is None else Approval(lot, json.loads(row[0])["evidence"], *row[1:])


def mould_lots(plant: int, lot: str) -> tuple[str, ...]:
    """Give the block lots a lot holds pieces of: itself where it was moulded, else its sources."""
    rows = store.select(
        "WITH RECURSIVE up(no) AS ("
        " SELECT no FROM ledger_lot WHERE p=%s AND code=%s"
        " UNION SELECT i.lot FROM up JOIN ledger_touch o ON o.p=%s AND o.lot=up.no AND o.sign > 0"
        " JOIN ledger_touch i ON i.p=o.p AND i.step=o.step AND i.sign < 0"
        " JOIN ledger_lot l ON l.p=i.p AND l.no=i.lot AND l.kind='block')"
        " SELECT l.code FROM up JOIN ledger_lot l ON l.p=%s AND l.no=up.no"
        " WHERE NOT EXISTS (SELECT 1 FROM ledger_touch o JOIN ledger_touch i ON i.p=o.p"
        " AND i.step=o.step AND i.sign < 0 JOIN ledger_lot s ON s.p=i.p AND s.no=i.lot"
        " AND s.kind='block' WHERE o.p=%s AND o.lot=up.no AND o.sign > 0) ORDER BY l.code",
        [plant, lot, plant, plant, plant],
    )
    return tuple(row[0] for row in rows)
