"""Lots that are there by the books, and how they stand together."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from beadwright.ledger import lots
from beadwright.ledger.account import OUTSIDE
from beadwright.ledger.draft import Material
from beadwright.ledger.lots import LotView

__all__ = ["Together", "contents", "stock", "together"]


@dataclass(frozen=True, slots=True)
class Together:
    """Lots of one kind and product at one place."""

    place: str
    kind: str
    what: str
    product: str
    lots: int
    pieces: int
    mg: int


def stock(plant_no: int) -> tuple[LotView, ...]:
    """Every lot in the plant with something in it, and every place that holds beads."""
    return tuple(
        lot
        for kind in Material
        for lot in lots.of_kind(plant_no, kind)
        if not lot.place.startswith(OUTSIDE) and _is_there(lot)
    )


def _is_there(lot: LotView) -> bool:
    """Whether a lot counts: of one kept in pieces none may be left, whatever its mass rounds to."""
    return lot.what == "content" or bool(lot.pieces if lot.unit_mg else lot.mg)


def contents(found: Iterable[LotView]) -> list[LotView]:
    """Give the places that hold beads, by code."""
    return sorted((lot for lot in found if lot.what == "content"), key=lambda lot: lot.code)


def together(found: Iterable[LotView]) -> list[Together]:
    """Sum the other lots by place, kind and product."""
    sums: dict[tuple[str, str, str, str], list[int]] = {}
    for lot in found:
        if lot.what != "content":
            key = (lot.kind, lot.what, lot.product or " + ".join(lot.grades), lot.place)
            row = sums.setdefault(key, [0, 0, 0])
            row[0] += 1
            row[1] += lot.pieces
            row[2] += lot.mg
    return [
        Together(place, kind, what, product, *row)
        for (kind, what, product, place), row in sorted(sums.items())
    ]
