"""Lots that carry the mark of a hold, and what lots were moulded as, asked for many at once."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from beadwright.ledger import store
from beadwright.ledger.fold import moulded, reaching
from beadwright.ledger.indexes import HELD

__all__ = ["Marked", "Reached", "carrying", "marked", "moulded_into", "reached_holders"]

_HOLD = "hold:"


@dataclass(frozen=True, slots=True)
class Marked:
    """A lot that a hold or a nonconformity reaches."""

    code: str
    kind: str
    what: str
    place: str
    pieces: int
    mg: int


@dataclass(frozen=True, slots=True)
class Reached:
    """What reaches a bundle, a shipment or another lot of blocks, and what it was packed of."""

    causes: tuple[str, ...]
    """Closed ones included."""
    inside: tuple[str, ...]
    """Lots that its blocks were moulded into."""


def marked(plant: int) -> dict[str, tuple[Marked, ...]]:
    """Give the lots that each hold reaches now, by the id of the hold."""
    found: dict[str, list[Marked]] = {}
    sql = (
        "SELECT code, kind, what, place, pieces, mg, causes FROM ledger_lot"
        f" WHERE p=%s AND {HELD} ORDER BY no"
    )
    for *lot, causes in store.select(sql, [plant]):
        names = (one[len(_HOLD) :] for one in reaching(causes) if one.startswith(_HOLD))
        for name in dict.fromkeys(name.rpartition("@")[0] for name in names):
            found.setdefault(name, []).append(Marked(*lot))
    return {name: tuple(some) for name, some in found.items()}


def carrying(plant: int, causes: Iterable[str]) -> dict[str, tuple[Marked, ...]]:
    """Give the lots that each of some causes reaches, closed or not; of none, nothing."""
    asked = frozenset(causes)
    found: dict[str, list[Marked]] = {}
    sql = (
        "SELECT code, kind, what, place, pieces, mg, causes FROM ledger_lot"
        " WHERE p=%s AND causes <> '' ORDER BY no"
    )
    for *lot, marks in store.select(sql, [plant]) if asked else ():
        for cause in asked.intersection(reaching(marks)):
            found.setdefault(cause, []).append(Marked(*lot))
    return {cause: tuple(some) for cause, some in found.items()}


def reached_holders(plant: int, among: Iterable[str] | None = None) -> dict[str, Reached]:
    """Bundles, shipments and other lots of blocks that any cause reaches, not empty, as entered.

    Of all lots, or of those named.
    """
    kind = "kind" if among is None else "kind || ''"
    sql = (
        # An expression keeps SQLite from the index of kinds where it has the lots' codes.
        "SELECT code, causes, no FROM ledger_lot WHERE p=%s"
        f" AND {kind}='block'"
        # Most carry one mark, of the lot they were moulded as: these need not be looked at.
        " AND what <> 'mould run' AND pieces > 0 AND (causes LIKE %s OR causes NOT LIKE %s)"
    )
    args = [plant, "%|%", "of:%"]
    if among is None:
        rows = store.select(f"{sql} ORDER BY no", args)
    else:
        rows = []
        for batch in store.parts(among):
            marks = ",".join(["%s"] * len(batch))
            rows += store.select(f"{sql} AND code IN ({marks})", [*args, *batch])
        rows.sort(key=lambda row: int(row[2]))
    return {
        code: Reached(found, moulded(causes))
        for code, causes, _ in rows
        if (found := reaching(causes))
    }


def moulded_into(plant: int, codes: Iterable[str]) -> dict[str, tuple[str, ...]]:
    """Give the lots that the blocks of each lot were moulded into; of none, nothing."""
    found: dict[str, tuple[str, ...]] = {}
    for batch in store.parts(codes):
        marks = ",".join(["%s"] * len(batch))
        sql = f"SELECT code, causes FROM ledger_lot WHERE p=%s AND code IN ({marks})"
        found.update((code, moulded(text)) for code, text in store.select(sql, [plant, *batch]))
    return {code: lots for code, lots in found.items() if lots}
