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
from beadwright.ledger.came import came_into
from beadwright.ledger.forward import How, forward
from beadwright.ledger.listed import listed
from beadwright.ledger.listed import reached as every
from beadwright.ledger.traced import BEAD_MG, RESIDUE_MG, Direction, Link, Reached, Trace, TraceLot
from beadwright.ledger.undisturbed import undisturbed
from beadwright.ledger.unlike import EXACT, Off
from beadwright.ledger.walk import LotFacts, Reads

__all__ = [
    "BEAD_MG",
    "RESIDUE_MG",
    "Direction",
    "Link",
    "Reached",
    "Trace",
    "TraceLot",
    "asked",
    "came_into",
    "linked",
    "made_of",
    "reached",
    "trace",
]


def trace(
    plant: int, code: str, direction: Direction, *, cut_mg: float = BEAD_MG, off: Off = EXACT
) -> Trace:
    """Trace a lot back to what it was made of, or forward to what was made of it.

    The bounds are as wide as masses may be ``off``.

    Raises
    ------
    Misuse
        If the lot is not in the record.
    """
    lot, mass = asked(plant, code)
    with undisturbed():
        return _traced(plant, lot, mass, (direction, cut_mg, off))


def made_of(plant: int, code: str) -> list[tuple[LotFacts, float]]:
    """Give all that a lot was made of, each with the share that is expected, and no bounds.

    Bounds are some twenty times the work. A share is that of the trace back, but that of what came
    back to a lot on the way is counted each time: so it is of silos and bins, never of bags.

    Raises
    ------
    Misuse
        If the lot is not in the record.
    """
    lot, mass = asked(plant, code)
    with undisturbed():
        walk = back(plant, lot, BEAD_MG)
        walk.run()
        return walk.shares(mass)


def reached(plant: int, code: str, *, reads: Reads | None = None, off: Off = EXACT) -> Reached:
    """Trace a lot forward, and name no step: the same lots, masses, shares and bounds in columns.

    ``reads`` takes what is read on the way, for the closing account.

    Raises
    ------
    Misuse
        If the lot is not in the record.
    """
    lot, mass = asked(plant, code)
    with undisturbed():
        return every(plant, forward(plant, lot, How(BEAD_MG, off), reads), mass)


def linked(
    plant: int,
    code: str,
    direction: Direction,
    *,
    reads: Reads | None = None,
    off: Off = EXACT,
) -> tuple[Trace, tuple[Link, ...]]:
    """Trace a lot, and say how much of what is traced went from each lot into which.

    ``reads`` takes what is read on the way forward, for the closing account.

    Raises
    ------
    Misuse
        If the lot is not in the record.
    """
    lot, mass = asked(plant, code)
    links: dict[tuple[int, int], float] = {}
    with undisturbed():
        found = _traced(plant, lot, mass, (direction, BEAD_MG, off), (links, reads))
    codes = {lot.no: code} | {one.lot.no: one.lot.code for one in found.lots}
    told = [
        Link(codes[source], codes[into], mg)
        for (source, into), mg in links.items()
        if source in codes and into in codes
    ]
    return found, tuple(told)


def _traced(
    plant: int,
    lot: LotFacts,
    mass: int,
    how: tuple[Direction, float, Off],
    into: tuple[dict[tuple[int, int], float] | None, Reads | None] = (None, None),
) -> Trace:
    # A function of its own, so that all rows are gone before the collector looks for garbage.
    direction, cut_mg, off = how
    if direction == "back":
        walk = back(plant, lot, cut_mg)
        walk.links, walk.off = into[0], off
        walk.run()
        return walk.trace(mass)
    ahead = forward(plant, lot, How(cut_mg, off), into[1], into[0])
    return listed(plant, every(plant, ahead, mass), ahead.used)


def asked(plant: int, code: str) -> tuple[LotFacts, int]:
    """Give a lot, and the mass that ever came into it; Misuse if it is not in the record."""
    row = store.one(
        "SELECT no, code, kind, what, product, place, mg FROM ledger_lot WHERE p=%s AND code=%s",
        [plant, code],
    )
    if row is None:
        message = f"lot {code} is not in the record: check the code, or search by its label"
        raise Misuse(message)
    return LotFacts(*row), came_into(plant, [row[0]]).get(row[0], 0)
