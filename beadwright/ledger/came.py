"""The mass that ever came into lots."""

from __future__ import annotations

from collections.abc import Iterable

from beadwright.ledger import store

__all__ = ["came_into"]


def came_into(plant: int, lots: Iterable[int]) -> dict[int, int]:
    """Give the mass that ever came into some lots, by number."""
    found: dict[int, int] = {}
    for batch in store.parts(lots):
        marks = ",".join(["%s"] * len(batch))
        sql = f"SELECT no, came_mg FROM ledger_lot WHERE p=%s AND no IN ({marks})"
        found.update(store.select(sql, [plant, *batch]))
    return found
