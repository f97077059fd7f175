"""Questions about presses: what was moulded on each, changed at it, and approved, in order."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from beadwright.ledger import store
from beadwright.ledger.draft import MOULDED, Material
from beadwright.ledger.fold import members
from beadwright.ledger.projection import RANKS

__all__ = ["TOLD", "PressStep", "press_steps"]

TOLD = frozenset({"mould", "produce", "mould_change", "first_piece"})
"""Kinds of step that tell of a press."""


@dataclass(frozen=True, slots=True)
class PressStep:
    """A step at a press: blocks made, a mould changed, a first piece approved."""

    step: str
    kind: str
    at_ms: int
    place: str
    run: str
    product: str
    facts: Mapping[str, str]
    by: str
    lots: Mapping[str, int]
    """Lots of blocks or packaging it brought pieces into, or that it names; pieces."""
    beads: frozenset[str]
    """Grades of the foam it drew."""
    ties: frozenset[str]
    """Grades of the ties it drew."""
    packaging: frozenset[str] = frozenset()
    """Those of its lots that are packaging."""


def press_steps(plant_no: int, places: Iterable[str], since: int) -> tuple[PressStep, ...]:
    """Steps since a time: what was moulded at some places, and every change and approval."""
    at = sorted(set(places))
    if not at:
        return ()
    marks = ",".join(["%s"] * len(at))
    where = (
        # By the place in the order, which has an index, and not by the time, which has none.
        " WHERE s.p=%s AND NOT s.reversed AND s.k >= %s AND (s.kind IN ('mould_change',"
        f" 'first_piece') OR (s.kind IN ('mould', 'produce') AND s.place IN ({marks})))"
    )
    args = [plant_no, since * RANKS, *at]
    touched: dict[int, list[store.Row]] = {}
    sql = (
        "SELECT t.step, t.sign, l.code, l.kind, t.moved_pieces, t.grades FROM ledger_step s"
        " CROSS JOIN ledger_touch t CROSS JOIN ledger_lot l"
        f"{where} AND t.p=s.p AND t.step=s.no AND l.p=t.p AND l.no=t.lot"
    )
    for row in store.select(sql, args):
        touched.setdefault(row[0], []).append(row[1:])
    sql = f"SELECT no, key, kind, at_ms, place, run, product, facts, by FROM ledger_step s{where}"
    return tuple(
        _step(row, touched.get(row[0], ()))
        for row in store.select(f"{sql} ORDER BY s.k, s.tie", args)
    )


def _step(row: store.Row, touched: Iterable[store.Row]) -> PressStep:
    _, key, kind, at_ms, place, run, product, facts, by = row
    lots: dict[str, int] = {}
    packaging: set[str] = set()
    beads: set[str] = set()
    ties: set[str] = set()
    for sign, code, material, pieces, grades in touched:
        if material in MOULDED and sign >= 0:
            lots[code] = lots.get(code, 0) + pieces
            packaging |= {code} if material == Material.PACKAGING else set()
        elif sign < 0 and material == "tie":
            ties.update(members(grades))
        elif sign < 0:
            beads.update(members(grades))
    said = json.loads(facts) if facts else {}
    return PressStep(
        key, kind, at_ms, place, run, product, said, by, lots, frozenset(beads), frozenset(ties),
        frozenset(packaging),
    )  # fmt: skip
