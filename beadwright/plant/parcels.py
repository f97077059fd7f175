"""Beads of one place as parcels: each came in together, and left together if it left.

Read :func:`parcels`. Pure.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from beadwright.ledger.moves import Move

__all__ = ["Parcel", "parcels"]

_EMPTIES = frozenset({"ran_empty", "swept_empty"})


@dataclass(slots=True)
class Parcel:
    """Beads that came in at one time; ``gone_ms`` is None while they are there."""

    begun_ms: int
    mg: int
    gone_ms: int | None = None


def parcels(moved: Iterable[Move], until_ms: int) -> tuple[Parcel, ...]:
    """Give the parcels of a place up to a time, those that left too, the oldest first.

    The oldest leave first: a silo is filled at its top and drawn at its foot. A content that was
    weighed or counted is taken as said: what is missing left, what is over belongs to all alike.
    """
    here: list[Parcel] = []
    left: list[Parcel] = []
    for move in moved:
        if move.at_ms > until_ms:
            break
        if move.sign > 0:
            here.append(Parcel(_begun(move), move.mg))
        elif move.sign < 0:
            left += _draw(here, move.mg, move.at_ms)
        elif move.kind in _EMPTIES:
            left += _draw(here, sum(one.mg for one in here), move.at_ms)
        else:
            left += _state(here, move)
    return tuple(sorted((*left, *here), key=lambda one: one.begun_ms))


def _begun(move: Move) -> int:
    """Beads that came from another place have aged there; none is younger than the youngest."""
    return move.at_ms if move.youngest_ms is None else min(move.at_ms, move.youngest_ms)


def _draw(here: list[Parcel], mg: int, at_ms: int) -> list[Parcel]:
    left: list[Parcel] = []
    while mg > 0 and here:
        oldest = here[0]
        taken = min(mg, oldest.mg)
        left.append(Parcel(oldest.begun_ms, taken, at_ms))
        mg -= taken
        oldest.mg -= taken
        if not oldest.mg:
            here.pop(0)
    return left


def _state(here: list[Parcel], move: Move) -> list[Parcel]:
    booked = sum(one.mg for one in here)
    if move.after_mg < booked:
        return _draw(here, booked - move.after_mg, move.at_ms)
    if not here and move.after_mg:
        here.append(Parcel(_begun(move), move.after_mg))
    elif booked:
        for one in here:
            one.mg = round(one.mg * move.after_mg / booked)
    return []
