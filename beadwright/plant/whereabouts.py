"""Where the pieces of block lots stand: in the plant, or at which receiver.

Read :func:`whereabouts` first. Pieces are counted, so what left a lot is exact; in a bundle of
several lots nobody knows whose pieces were taken first, and there the number has two bounds; what
was put in after pieces were taken is not among those.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from beadwright.ledger import lots
from beadwright.ledger.account import OUTSIDE
from beadwright.plant.mingled import Heap, mingled
from beadwright.quality import standing

__all__ = ["Stand", "Whereabouts", "elsewhere", "followed", "reached_from", "whereabouts"]

_FEW = 3
"""Bundles that are named; more are counted."""


@dataclass(frozen=True, slots=True)
class Stand:
    """Pieces of a lot that stand together: in which lot, at which place."""

    lot: str
    """The lot itself, or the bundle or shipment that holds them."""
    what: str
    place: str
    at_least: int
    at_most: int

    @property
    def receiver(self) -> str:
        """Who has them; empty while they are in the plant."""
        return self.place.removeprefix(OUTSIDE) if self.place.startswith(OUTSIDE) else ""

    @property
    def pieces(self) -> str:
        """Number of pieces in words."""
        few, many = self.at_least, self.at_most
        return f"{many}" if few == many else f"{few} to {many}"


@dataclass(frozen=True, slots=True)
class Whereabouts:
    """Where a lot's pieces are now."""

    made: int
    in_stock: tuple[Stand, ...]
    shipped: tuple[Stand, ...]
    gone: int
    """Pieces that are neither: rejected, sampled, counted less."""


def elsewhere(lot: str, found: Whereabouts) -> tuple[str, ...]:
    """Say where those pieces of a lot are that no longer stand in it: packed, with receivers."""
    packed = [one for one in found.in_stock if one.lot != lot]
    names = sorted({one.lot for one in packed})
    within = ", ".join(names) if len(names) <= _FEW else f"{len(names)} bundles and parts"
    told = [f"{_sum(packed)} in {within}"] if packed else []
    return (*told, *([f"{_sum(found.shipped)} shipped"] if found.shipped else []))


def _sum(some: Sequence[Stand]) -> str:
    few, many = sum(one.at_least for one in some), sum(one.at_most for one in some)
    return f"{many}" if few == many else f"{few} to {many}"


@dataclass(slots=True)
class _Flow:
    """What flows out of the lots asked about, with everything that follows them."""

    views: Mapping[str, lots.LotView]
    makings: Mapping[str, Sequence[lots.Making]]
    followers: Mapping[str, Sequence[str]]


def followed(plant_no: int, codes: Iterable[str]) -> dict[str, tuple[str, ...]]:
    """Give what took pieces straight out of each lot, of each of those too, and so on to the end.

    Lots that nothing took of are in it too, with nothing.
    """
    into: dict[str, tuple[str, ...]] = {}
    ask = list(codes)
    while ask:
        found = standing.followers(plant_no, ask)
        into.update({code: found.get(code, ()) for code in ask})
        ask = sorted({code for codes in found.values() for code in codes} - into.keys())
    return into


def whereabouts(
    plant_no: int,
    views: Mapping[str, lots.LotView],
    makings: Mapping[str, Sequence[lots.Making]],
    into: Mapping[str, tuple[str, ...]] | None = None,
) -> dict[str, Whereabouts]:
    """Give where the pieces of each lot are.

    ``makings`` are those lots' own; ``into`` what followed them, where that is known.
    """
    into = followed(plant_no, views) if into is None else into
    new = into.keys() - views.keys()
    flow = _Flow(
        {**lots.get_many(plant_no, new), **views},
        {**lots.makings(plant_no, new), **makings},
        into,
    )
    return {code: _of(code, flow) for code in views}


def _of(code: str, flow: _Flow) -> Whereabouts:
    made = sum(one.pieces for one in flow.makings.get(code, ()))
    # Only what follows the lot may hold any of it, whatever else is asked about with it.
    into = reached_from(code, flow.followers)
    heaps = mingled(code, {one: flow.views[one].pieces for one in into}, flow.makings)
    stands = [
        stand for reached in into if (stand := _stand(reached, heaps[reached], flow)) is not None
    ]
    shipped = tuple(one for one in stands if one.receiver)
    here = tuple(one for one in stands if not one.receiver)
    return Whereabouts(made, here, shipped, max(0, made - sum(one.at_most for one in stands)))


def reached_from(code: str, followers: Mapping[str, Sequence[str]]) -> list[str]:
    """Give a lot and everything that took of it, straight or by another."""
    reached = {code: None}
    ask = [code]
    while ask:
        ask = [into for one in ask for into in followers.get(one, ()) if into not in reached]
        reached.update(dict.fromkeys(ask))
    return list(reached)


def _stand(code: str, heap: Heap, flow: _Flow) -> Stand | None:
    view = flow.views[code]
    least, most = heap.of(view.pieces)
    return Stand(code, view.what, view.place, least, most) if most > 0 else None
