"""Whether a light block is one that lacks ties: what it weighs is then no slip of the hand.

Read :func:`lacks_ties`. Such a row is read as keyed; the ties are asked about when the lot is
assessed.
"""

from __future__ import annotations

import statistics
from collections.abc import Sequence

from beadwright.interop.sheets.cells import Row
from beadwright.interop.sheets.register import Register

__all__ = ["lacks_ties"]

_NEAR = 0.25
"""Of a tie: nearer than this to whole ties is short of ties. Common practice, no source."""

_SAME_SIZE = 0.03
_SIZES = ("length", "width", "height")


def lacks_ties(row: Row, alike: Sequence[Row], register: Register) -> bool:
    """Say whether a piece, as large as others of its lot, is lighter than those by whole ties."""
    lot = register.lot(row.text("lot")) if row.kind == "inspections" else None
    if lot is None or not row.mg("mass"):
        return False
    product = register.product(lot.product, row.number_of("at"))
    others = [
        one
        for one in alike
        if one is not row and one.text("lot") == row.text("lot") and one.mg("mass")
    ]
    if product is None or not product.ties or not product.foam_mg or not others:
        return False
    if not all(_as_large(row, others, name) for name in _SIZES):
        return False
    tie_mg = (lot.unit_mg - product.foam_mg) / product.ties
    if tie_mg <= 0:
        return False
    short = (statistics.median(one.mg("mass") for one in others) - row.mg("mass")) / tie_mg
    return 1 <= round(short) <= product.ties and abs(short - round(short)) <= _NEAR


def _as_large(row: Row, others: Sequence[Row], name: str) -> bool:
    here = row.measure(name)
    there = [size.si for one in others if (size := one.measure(name)) is not None]
    if here is None or not there:
        return here is None
    usual = float(statistics.median(there))
    return abs(float(here.si) - usual) <= _SAME_SIZE * usual
