"""What the projections of a plant say, read with plain SQL: as they stand, or by codes and keys.

Read :func:`as_stored` (for a rebuild, which must give the very rows) and :func:`by_name` (for two
records of the same entries in another order, where numbers may differ).
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any

from django.db import connection

from beadwright.ledger import rebuild
from beadwright.ledger.body import decode
from beadwright.ledger.draft import Draft
from tests.ledger.twin import Said

__all__ = ["Row", "as_stored", "by_name", "drafts", "entries", "rows", "said"]

Row = tuple[Any, ...]

_STATE = "mg, pieces, in_mg, first, last, grades, causes, place, reclaim"
_TABLES = {
    "ledger_lot": "no, id, code, kind, what, product, own, unit_mg, seq, last_k, last_tie, came_mg,"
    f" {_STATE}",
    "ledger_step": "no, key, kind, k, tie, at_ms, seq, reversed, product, place, run, by, facts,"
    " remainder_mg",
    "ledger_touch": "lot, k, tie, line, step, sign, moved_mg, moved_pieces, how, goes, differ_mg,"
    f" differ_pieces, {_STATE}",
    "ledger_finding": "step, code, lot, cause, detail",
    "ledger_loss": "step, name, mg",
    "ledger_label": "lot, issuer, text, since, until",
    "ledger_setting": "seq, topic, name, since, body",
    "ledger_decision": "seq, kind, about, at_ms, by, body",
    "ledger_posted": "key, seq, digest",
    "quality_reading": "seq, line, lot, step, characteristic, value, unit, si, u_si, instrument,"
    " method, specimen, replicate, facts, parents, at_ms, by, voided_by",
}
_NUMBERS = {"no": "", "seq": "", "id": "", "voided_by": ""}
"""Columns that say in which order entries came."""


def rows(sql: str, args: Sequence[Any] = ()) -> list[Row]:
    """Rows of a query."""
    with connection.cursor() as cursor:
        cursor.execute(sql, args)
        return list(cursor.fetchall())


def as_stored(no: int) -> dict[str, list[Row]]:
    """Every row of every projection, without numbers that the store gives of itself."""
    found = {
        table: sorted(rows(f"SELECT {columns} FROM {table} WHERE p=%s", [no]), key=repr)
        for table, columns in _TABLES.items()
    }
    found["ledger_head"] = rows("SELECT seq, hash, lots, rules FROM ledger_head WHERE no=%s", [no])
    return found


def by_name(no: int) -> dict[str, list[Row]]:
    """The same with lots by code and steps by key, and nothing of the order of entries."""
    lots: dict[Any, Any] = dict(rows("SELECT no, code FROM ledger_lot WHERE p=%s", [no]))
    steps: dict[Any, Any] = dict(rows("SELECT no, key FROM ledger_step WHERE p=%s", [no]))
    found: dict[str, list[Row]] = {}
    for table, columns in _TABLES.items():
        names = columns.split(", ")
        keep = [i for i, name in enumerate(names) if name not in _NUMBERS]
        read = []
        for row in rows(f"SELECT {columns} FROM {table} WHERE p=%s", [no]):
            named = dict(zip(names, row, strict=True))
            if isinstance(named.get("lot"), int):
                named["lot"] = lots[named["lot"]]
            if isinstance(named.get("step"), int):
                named["step"] = steps[named["step"]]
            read.append(tuple(named[names[i]] for i in keep))
        found[table] = sorted(read, key=repr)
    return found


def entries(plant: str) -> list[tuple[int, str, str]]:
    """Every entry: seq, kind, body."""
    return [(e.seq, e.kind, e.body) for e in rebuild.entries(plant)]


def said(plant: str) -> list[Said]:
    """Every entry with what was drafted, as JSON."""
    return [(seq, kind, json.loads(body)["draft"]) for seq, kind, body in entries(plant)]


def drafts(plant: str) -> list[Draft]:
    """Every entry as the draft it was, with what the record filled in."""
    return [decode(kind, draft) for _, kind, draft in said(plant)]
