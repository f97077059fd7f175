"""What stands over lots, asked for many at once: holds placed, concessions, approvals, followers.

Each question is one query, or one for some hundred lots: an assessment asks for a whole plant.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass

from beadwright.ledger import store
from beadwright.ledger.releases import Approval

__all__ = ["Decided", "approvals", "concessions", "followers", "holds_placed", "sweeps"]


@dataclass(frozen=True, slots=True)
class Decided:
    """A hold or a concession: what it is called, why, on which lots, when, by whom."""

    name: str
    reason: str
    lots: tuple[str, ...]
    at_ms: int
    by: str


def holds_placed(plant_no: int) -> dict[str, Decided]:
    """Every hold that people have placed, lifted since or not, by its id."""
    return {one.name: one for one in _decided(plant_no, "hold")}


def concessions(plant_no: int) -> dict[str, Decided]:
    """The newest concession on each cause."""
    return {one.name: one for one in _decided(plant_no, "concession")}


def approvals(plant_no: int, codes: Iterable[str]) -> dict[str, Approval]:
    """The newest approval of each lot that has one."""
    found: dict[str, Approval] = {}
    for batch in store.parts(codes):
        marks = ",".join(["%s"] * len(batch))
        sql = (
            "SELECT about, body, at_ms, by, seq FROM ledger_decision"
            f" WHERE p=%s AND kind='release' AND about IN ({marks}) ORDER BY seq"
        )
        for lot, body, at_ms, by, seq in store.select(sql, [plant_no, *batch]):
            found[lot] = Approval(lot, json.loads(body)["evidence"], at_ms, by, seq)
    return found


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


def _decided(plant_no: int, kind: str) -> list[Decided]:
    sql = "SELECT about, body, at_ms, by FROM ledger_decision WHERE p=%s AND kind=%s ORDER BY seq"
    found = []
    for about, text, at_ms, by in store.select(sql, [plant_no, kind]):
        body = json.loads(text)
        found.append(Decided(about, body.get("reason", ""), tuple(body.get("lots", ())), at_ms, by))
    return found


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
