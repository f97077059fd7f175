"""The bead bag and the silo that most of a lot's foam comes from: what a lot is counted under.

Read :func:`most_of` and :func:`came_from`.
"""

from __future__ import annotations

from collections.abc import Collection
from functools import lru_cache
from typing import NamedTuple

from beadwright.ledger.trace import made_of

__all__ = ["CameFrom", "came_from", "most_of"]

_KEPT = 4096
"""Lots whose traces are kept in memory while the record stands."""


class CameFrom(NamedTuple):
    """Where most of a lot's foam comes from; empty where that is not known."""

    bag: str
    silo: str


def most_of(plant_no: int, lot: str) -> str:
    """Give the bag, by the well-mixed shares of the trace; empty where no bag is known."""
    bags = [(share, one.code) for one, share in made_of(plant_no, lot) if one.kind == "bead"]
    return max(bags)[1] if bags else ""


def came_from(plant_no: int, head: tuple[int, str], lot: str, silos: Collection[str]) -> CameFrom:
    """Give bag and silo as the record stands at a head; ``silos`` are the places that are some."""
    return _came_from(plant_no, head, lot, frozenset(silos))


@lru_cache(maxsize=_KEPT)
def _came_from(plant_no: int, head: tuple[int, str], lot: str, silos: frozenset[str]) -> CameFrom:
    del head  # says for which record it is kept
    bag = silo = (0.0, "")
    for one, share in made_of(plant_no, lot):
        if one.kind == "bead":
            bag = max(bag, (share, one.code))
        elif one.code in silos:
            silo = max(silo, (share, one.code))
    return CameFrom(bag[1], silo[1])
