"""The bead bag that most of a lot's foam comes from: what a lot is counted under.

Read :func:`most_of`.
"""

from __future__ import annotations

from beadwright.ledger.trace import trace

__all__ = ["most_of"]


def most_of(plant_no: int, lot: str) -> str:
    """Give the bag, by the well-mixed shares of the trace; empty where no bag is known."""
    bags = [one for one in trace(plant_no, lot, "back").lots if one.lot.kind == "bead"]
    return max(bags, key=lambda one: (one.share, one.lot.code)).lot.code if bags else ""
