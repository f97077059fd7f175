"""Trace: everything a lot was made of, everything made of it, with masses, shares and bounds.

Read :func:`trace` first. A place is no pipe: what a draw may contain lies between the smallest and
the largest share that came in since the place was swept empty; the well-mixed share is the
estimate. Both directions use the same linear rule, so a lot is in the trace forward of another
where that one is in its trace back.
"""

from __future__ import annotations

from beadwright.errors import Misuse
from beadwright.ledger import store
from beadwright.ledger.back import back
from beadwright.ledger.forward import forward
from beadwright.ledger.traced import BEAD_MG, RESIDUE_MG, Direction, Trace, TraceLot
from beadwright.ledger.undisturbed import undisturbed
from beadwright.ledger.walk import LotFacts

__all__ = ["BEAD_MG", "RESIDUE_MG", "Direction", "Trace", "TraceLot", "asked", "trace"]


def trace(plant: int, code: str, direction: Direction, *, cut_mg: float = BEAD_MG) -> Trace:
    """Trace a lot back to what it was made of, or forward to what was made of it.

    Raises
    ------
    Misuse
        If the lot is not in the record.
    """
    lot, mass = asked(plant, code)
    with undisturbed():
        return _traced(plant, lot, mass, (direction, cut_mg))


def _traced(plant: int, lot: LotFacts, mass: int, how: tuple[Direction, float]) -> Trace:
    # A function of its own, so that all rows are gone before the collector looks for garbage.
    direction, cut_mg = how
    walk = forward(plant, lot, cut_mg) if direction == "forward" else back(plant, lot, cut_mg)
    walk.run()
    return walk.trace(mass)


def asked(plant: int, code: str) -> tuple[LotFacts, int]:
    """Give a lot, and the mass that ever came into it; Misuse if it is not in the record."""
    row = store.one(
        "SELECT no, code, kind, what, product, place, mg FROM ledger_lot WHERE p=%s AND code=%s",
        [plant, code],
    )
    if row is None:
        message = f"lot {code} is not in the record: check the code, or search by its label"
        raise Misuse(message)
    came = store.one(
        "SELECT coalesce(sum(moved_mg), 0) FROM ledger_touch WHERE p=%s AND lot=%s AND sign > 0",
        [plant, row[0]],
    )
    return LotFacts(*row), int(came[0]) if came else 0
