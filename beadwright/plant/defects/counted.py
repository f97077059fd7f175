"""What was moulded, scrapped and looked over, lot by lot, and what each lot was made of.

Read :func:`counted`.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from beadwright.ledger import lots, settings
from beadwright.ledger.lots import Making
from beadwright.plant.bead_bags import came_from
from beadwright.plant.costs.moulded import Moulded, moulded
from beadwright.plant.defects.cavities import UNSAID, of_cavities
from beadwright.plant.machines import places_of
from beadwright.plant.moment import moment
from beadwright.plant.opening import Plant
from beadwright.plant.press_counts import of_ties
from beadwright.plant.spans import Span
from beadwright.quality import readings
from beadwright.quality.characteristics import DEFECTS

__all__ = ["UNSAID", "Counted", "counted", "with_beads"]

_LOOKED = ("checked", *(f"defective_{kind}" for kind in DEFECTS))


@dataclass(frozen=True, slots=True)
class Counted:
    """One lot of blocks, or what of it is of one shift and one cavity, or of none that was said."""

    lot: str
    origin: Mapping[str, str]
    """Product, press, shift, tie lot, cavity, and by their traces bead bag and silo: of several,
    the one that gave most."""
    moulded: int
    scrap: Mapping[str, int]
    """Blocks scrapped at the press, by cause."""
    checked: int
    """Pieces looked over."""
    bad: Mapping[str, int]
    """Of those, found bad, by kind."""
    ties: bool = True
    """Whether its pieces have ties: else none of them can be out of place."""

    def may_have(self, kind: str) -> bool:
        """Whether its pieces can have a kind of defect at all, or are said to."""
        return self.ties or not of_ties(kind) or kind in self.scrap or kind in self.bad


def counted(plant: Plant, span: Span) -> tuple[Counted, ...]:
    """Give every lot that was moulded in a span, in parts by shift and by cavity.

    What was looked over is of a whole lot: it is counted under the shift that moulded most of it.
    """
    by_lot: dict[str, list[Moulded]] = {}
    for one in moulded(plant.no, plant.zone, span.from_ms, span.to_ms):
        if one.lot:
            by_lot.setdefault(one.lot, []).append(one)
    makings, now = lots.makings(plant.no, by_lot), moment(plant)
    seen, in_force = readings.of_lots(plant.no, by_lot, only=_LOOKED), settings.load(plant.no)
    found = []
    for lot, some in by_lot.items():
        origin = _origin(some, makings.get(lot, ()))
        looked = [one for one in seen.get(lot, ()) if one.at_ms <= now]
        by_shift: dict[str, list[Moulded]] = {}
        for one in some:
            by_shift.setdefault(one.shift or UNSAID, []).append(one)
        most = max(by_shift, key=lambda shift: (sum(map(_pieces, by_shift[shift])), shift))
        for shift, its in by_shift.items():
            parts = of_cavities(its, looked if shift == most else [], in_force)
            for cavity, part in parts.items():
                apart = {**origin, "shift": shift, "cavity": cavity}
                found.append(
                    Counted(lot, apart, part.moulded, dict(part.scrap), part.checked, part.bad,
                            origin["tie lot"] != UNSAID)
                )  # fmt: skip
    return tuple(found)


def with_beads(plant: Plant, every: Iterable[Counted]) -> tuple[Counted, ...]:
    """Add to each lot the bead bag and the silo that most of its foam comes from."""
    silos = tuple(places_of(plant.no, "silo", moment(plant)))
    found, of = [], {}
    for one in every:
        if one.lot not in of:
            of[one.lot] = came_from(plant.no, plant.head, one.lot, silos)
        bag, silo = of[one.lot]
        origin = {**one.origin, "silo": silo or UNSAID, "bead bag": bag or UNSAID}
        found.append(replace(one, origin=origin))
    return tuple(found)


def _origin(some: Sequence[Moulded], makings: Iterable[Making]) -> dict[str, str]:
    ties: Counter[str] = Counter()
    for making in makings:
        for one in making.inputs:
            if one.kind == "tie":
                ties[one.lot] += one.pieces
    presses: Counter[str] = Counter()
    for count in some:
        presses[count.press] += _pieces(count)
    return {
        "product": some[0].product or UNSAID,
        "press": _most(presses),
        "tie lot": _most(ties),
    }


def _pieces(one: Moulded) -> int:
    return one.good + one.scrap


def _most(found: Counter[str]) -> str:
    return (max(found, key=lambda name: (found[name], name)) if found else "") or UNSAID
