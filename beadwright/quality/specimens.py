"""Whose pieces specimens are: the lots that readings name them with.

Read :func:`lots_of`.
"""

from __future__ import annotations

from collections.abc import Iterable

from beadwright.ledger import store

__all__ = ["lots_of"]


def lots_of(plant_no: int, specimens: Iterable[str]) -> dict[str, tuple[str, ...]]:
    """Give the lots that standing readings name each specimen with, in the order first named."""
    found: dict[str, dict[str, None]] = {}
    for batch in store.parts(sorted(set(specimens))):
        marks = ", ".join(["%s"] * len(batch))
        sql = (
            "SELECT specimen, lot FROM quality_reading WHERE p=%s AND lot <> '' AND voided_by"
            f" IS NULL AND specimen IN ({marks}) ORDER BY at_ms, seq, line"
        )
        for specimen, lot in store.select(sql, [plant_no, *batch]):
            found.setdefault(specimen, {}).setdefault(lot)
    return {specimen: tuple(lots) for specimen, lots in found.items()}
