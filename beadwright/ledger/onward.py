"""Questions about where lots went on to, and when places were swept, asked for many at once."""

from __future__ import annotations

from collections.abc import Iterable

from beadwright.ledger import store
from beadwright.ledger.account import OUTSIDE
from beadwright.ledger.projection import order_k

__all__ = ["followers", "in_plant", "moulded_between", "sweeps"]

_FIRST = "swept_empty"
"""The kind of step that comes first within one instant."""


def followers(plant_no: int, codes: Iterable[str]) -> dict[str, tuple[str, ...]]:
    """Block lots that took pieces straight out of each lot: bundles, shipments, parts of it."""
    found: dict[str, list[str]] = {}
    for batch in store.parts(codes):
        marks = ",".join(["%s"] * len(batch))
        sql = (
            # CROSS JOIN keeps SQLite to this order: without statistics it reads every movement.
            "SELECT DISTINCT s.code, l.code FROM ledger_lot s CROSS JOIN ledger_touch i"
            " CROSS JOIN ledger_touch o CROSS JOIN ledger_lot l"
            " WHERE i.p=s.p AND i.lot=s.no AND i.sign < 0"
            " AND o.p=i.p AND o.step=i.step AND o.sign > 0 AND o.lot <> i.lot"
            " AND l.p=o.p AND l.no=o.lot AND l.kind=s.kind"
            f" AND s.p=%s AND s.code IN ({marks}) ORDER BY s.code, l.code"
        )
        for source, code in store.select(sql, [plant_no, *batch]):
            found.setdefault(source, []).append(code)
    return {source: tuple(into) for source, into in found.items()}


def moulded_between(plant_no: int, spans: Iterable[tuple[int, int]]) -> tuple[str, ...]:
    """Block lots of mould runs begun in any of some spans of time, their ends not included."""
    found: set[str] = set()
    for batch in store.parts(spans, 100):
        within = " OR ".join(["(s.k >= %s AND s.k < %s)"] * len(batch))
        sql = (
            "SELECT DISTINCT l.code FROM ledger_step s CROSS JOIN ledger_touch t"
            " CROSS JOIN ledger_lot l WHERE t.p=s.p AND t.step=s.no AND t.sign > 0"
            " AND l.p=t.p AND l.no=t.lot AND l.kind='block' AND l.what='mould run'"
            f" AND s.p=%s AND NOT s.reversed AND ({within})"
        )
        ends = [order_k(at_ms, _FIRST) for span in batch for at_ms in span]
        found.update(row[0] for row in store.select(sql, [plant_no, *ends]))
    return tuple(sorted(found))


def in_plant(plant_no: int) -> tuple[str, ...]:
    """Block lots of mould runs of which pieces may be in the plant still: loose, or in bundles."""
    sql = (
        "WITH RECURSIVE up(no) AS ("
        " SELECT no FROM ledger_lot WHERE p=%s AND kind='block' AND pieces > 0"
        " AND place NOT LIKE %s"
        " UNION SELECT i.lot FROM up CROSS JOIN ledger_touch o CROSS JOIN ledger_touch i"
        " CROSS JOIN ledger_lot l WHERE o.p=%s AND o.lot=up.no AND o.sign > 0"
        " AND i.p=o.p AND i.step=o.step AND i.sign < 0"
        " AND l.p=i.p AND l.no=i.lot AND l.kind='block')"
        " SELECT l.code FROM up CROSS JOIN ledger_lot l"
        " WHERE l.p=%s AND l.no=up.no AND l.what='mould run' ORDER BY l.no"
    )
    rows = store.select(sql, [plant_no, f"{OUTSIDE}%", plant_no, plant_no])
    return tuple(row[0] for row in rows)


def sweeps(plant_no: int) -> dict[str, list[int]]:
    """When each place was swept empty, in order."""
    found: dict[str, list[int]] = {}
    sql = (
        "SELECT l.code, s.at_ms FROM ledger_step s CROSS JOIN ledger_touch t"
        " CROSS JOIN ledger_lot l WHERE t.p=s.p AND t.step=s.no AND l.p=t.p AND l.no=t.lot"
        " AND s.p=%s AND s.kind='swept_empty' AND NOT s.reversed ORDER BY s.k, s.tie"
    )
    for code, at_ms in store.select(sql, [plant_no]):
        found.setdefault(code, []).append(at_ms)
    return found
