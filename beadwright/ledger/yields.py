"""Questions about steps of one kind: what went in, what came out and as what, what was lost.

Read :func:`yields`. What a plant takes as its usual loss or scrap is worked out from these.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, field

from beadwright.ledger import store
from beadwright.ledger.fold import members

__all__ = ["Yield", "last_said", "yields"]

_RANKS = 32
"""The fold's order within one millisecond."""


@dataclass(frozen=True, slots=True)
class Yield:
    """A step, its masses in milligrams."""

    step: str
    at_ms: int
    place: str
    product: str
    facts: Mapping[str, str]
    grades: frozenset[str]
    """Of what went in."""
    in_mg: int
    out_mg: Mapping[str, int]
    """By kind of material."""
    lost_mg: int
    """Named losses."""
    remainder_mg: int
    in_from: Mapping[str, int] = field(default_factory=dict)
    """What went in, by kind of material."""


def yields(plant: int, kind: str, since_ms: int, most: int) -> tuple[Yield, ...]:
    """Give the newest steps of a kind since a time, newest first."""
    steps = store.select(
        "SELECT no, key, at_ms, place, product, facts, remainder_mg FROM ledger_step"
        " WHERE p=%s AND kind=%s AND k >= %s AND NOT reversed ORDER BY k DESC, tie DESC LIMIT %s",
        [plant, kind, since_ms * _RANKS, most],
    )
    moved: dict[int, list[store.Row]] = {}
    lost: dict[int, int] = {}
    for batch in store.parts([row[0] for row in steps]):
        marks = ",".join(["%s"] * len(batch))
        sql = (
            "SELECT t.step, t.sign, l.kind, t.moved_mg, t.grades FROM ledger_touch t"
            " JOIN ledger_lot l ON l.p=t.p AND l.no=t.lot"
            f" WHERE t.p=%s AND t.sign <> 0 AND t.step IN ({marks})"
        )
        for row in store.select(sql, [plant, *batch]):
            moved.setdefault(row[0], []).append(row[1:])
        sql = f"SELECT step, mg FROM ledger_loss WHERE p=%s AND step IN ({marks})"
        for step, mg in store.select(sql, [plant, *batch]):
            lost[step] = lost.get(step, 0) + mg
    return tuple(_yield(row, moved.get(row[0], []), lost.get(row[0], 0)) for row in steps)


def last_said(plant: int, product: str, name: str, before_ms: int) -> str:
    """Give what the newest step at a product that says something says of it, as its mould."""
    sql = (
        "SELECT facts FROM ledger_step WHERE p=%s AND product=%s AND k < %s AND NOT reversed"
        " AND facts LIKE %s ORDER BY k DESC, tie DESC LIMIT 1"
    )
    args = [plant, product, (before_ms + 1) * _RANKS, f'%"{name}"%']
    for (facts,) in store.select(sql, args):
        return str(json.loads(facts).get(name, ""))
    return ""


def _yield(row: store.Row, moved: list[store.Row], lost_mg: int) -> Yield:
    _, key, at_ms, place, product, facts, remainder = row
    went_in: dict[str, int] = {}
    came_out: dict[str, int] = {}
    grades: set[str] = set()
    for sign, kind, mg, of in moved:
        side = came_out if sign > 0 else went_in
        side[kind] = side.get(kind, 0) + mg
        if sign < 0:
            grades.update(members(of))
    return Yield(
        key, at_ms, place, product, json.loads(facts) if facts else {}, frozenset(grades),
        sum(went_in.values()), came_out, lost_mg, remainder, went_in,
    )  # fmt: skip
