"""Readings in the tables held against their entries, of some lots and some characteristics.

Read :func:`differs`. Nothing is written.
"""

from __future__ import annotations

import json
from collections.abc import Iterable

from beadwright.errors import Fault
from beadwright.ledger import store
from beadwright.ledger.body import decode
from beadwright.ledger.draft import ReadingsDraft, Void
from beadwright.quality.projection import COLUMNS, rows_of

__all__ = ["differs"]

_LOT, _CHARACTERISTIC, _VOIDED = (
    COLUMNS.split(", ").index("lot"), COLUMNS.split(", ").index("characteristic"), -1,
)  # fmt: skip


def differs(plant: str, no: int, lots: Iterable[str], characteristics: Iterable[str]) -> bool:
    """Whether the readings of some lots, or of some characteristics of any, are not as entered."""
    of, about = frozenset(lots), frozenset(characteristics)
    likes = [f'%"lot":"{code}"%' for code in sorted(of)]
    likes += [f'%"characteristic":"{name}"%' for name in sorted(about)]
    if not likes:
        return False
    return _said(plant, no, likes, (of, about)) != _stored(no, of, about)


def _said(
    plant: str, no: int, likes: list[str], asked: tuple[frozenset[str], frozenset[str]]
) -> set[store.Row]:
    """Rows as the entries give them, with the entry that took each out, or none."""
    voided: dict[str, int] = {}
    sql = "SELECT seq, body FROM ledger_entry WHERE plant=%s AND kind='void'"
    for seq, body in sorted(store.select(sql, [plant])):
        draft = decode("void", json.loads(body)["draft"])
        if isinstance(draft, Void):
            voided.setdefault(draft.readings, seq)
    either = " OR ".join(["body LIKE %s"] * len(likes))
    sql = f"SELECT seq, body FROM ledger_entry WHERE plant=%s AND kind='readings' AND ({either})"
    found: set[store.Row] = set()
    faults: list[Fault] = []
    for seq, body in store.select(sql, [plant, *likes]):
        said = decode("readings", json.loads(body)["draft"])
        if isinstance(said, ReadingsDraft):
            rows = rows_of(no, seq, said, faults)
            found |= {
                (*row, voided.get(said.key))
                for row in rows
                if row[_LOT] in asked[0] or row[_CHARACTERISTIC] in asked[1]
            }
    return found


def _stored(no: int, of: frozenset[str], about: frozenset[str]) -> set[store.Row]:
    found: set[store.Row] = set()
    for column, names in (("lot", of), ("characteristic", about)):
        marks = ",".join(["%s"] * len(names))
        sql = (
            f"SELECT {COLUMNS}, voided_by FROM quality_reading WHERE p=%s AND {column} IN ({marks})"
        )
        found.update(store.select(sql, [no, *sorted(names)]) if names else ())
    return found
