"""What came into a place that holds beads and went out of it, one by one, since it was empty.

Read :func:`moves`. Sums of the same are :mod:`beadwright.ledger.places`'.
"""

from __future__ import annotations

from dataclasses import dataclass

from beadwright.ledger import store

__all__ = ["Move", "moves"]

_EMPTIES = "('ran_empty', 'swept_empty')"
_ALWAYS = (-1, -1)


@dataclass(frozen=True, slots=True)
class Move:
    """Something came in (sign 1), went out (-1), or was stated of the content (0)."""

    at_ms: int
    kind: str
    sign: int
    mg: int
    after_mg: int
    """What the books have in the place then."""
    youngest_ms: int | None
    """When the youngest bead in it then began to age; None where nothing in it ages."""
    how: str


def moves(plant: int, code: str, since_ms: int) -> list[Move]:
    """Give what moved at a place since it was last empty before some time, in the fold's order."""
    row = store.one("SELECT no FROM ledger_lot WHERE p=%s AND code=%s", [plant, code])
    if row is None:
        return []
    lot = int(row[0])
    sql = (
        "SELECT s.at_ms, s.kind, t.sign, t.moved_mg, t.mg, t.last, t.how"
        " FROM ledger_touch t CROSS JOIN ledger_step s"
        " WHERE t.p=%s AND t.lot=%s AND (t.k, t.tie) > (%s, %s) AND s.p=t.p AND s.no=t.step"
        " ORDER BY t.k, t.tie, t.line"
    )
    after = _emptied(plant, lot, since_ms)
    return [Move(*found) for found in store.select(sql, [plant, lot, *after])]


def _emptied(plant: int, lot: int, before_ms: int) -> tuple[int, int]:
    """Find where in the order a place was last empty before a time."""
    sql = (
        # CROSS pins SQLite's join order: newest touch of the lot first, and no further.
        "SELECT t.k, t.tie FROM ledger_touch t CROSS JOIN ledger_step s"
        " WHERE t.p=%s AND t.lot=%s AND t.sign=0 AND t.first IS NULL AND s.p=t.p AND s.no=t.step"
        f" AND s.kind IN {_EMPTIES} AND s.at_ms <= %s ORDER BY t.k DESC, t.tie DESC LIMIT 1"
    )
    row = store.one(sql, [plant, lot, before_ms])
    return _ALWAYS if row is None else (int(row[0]), int(row[1]))
