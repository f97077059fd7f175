"""Leave or change: cups of beads against the target of their place, by a plain dead-band.

Read :func:`aims`, then :func:`advised`. Within the band a setting is left; one cup outside asks
for a second; two in a row on the same side say change. Chasing every cup makes density worse
(common practice, no source). Nothing here steers: no set point is written to a machine.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from beadwright.ledger.settings import Settings
from beadwright.plant.listing import not_listed
from beadwright.plant.products import quantity
from beadwright.quality.characteristics import CUP_PLACES

__all__ = [
    "IN_A_ROW",
    "Advice",
    "Aim",
    "Aims",
    "Side",
    "Taken",
    "advised",
    "aims",
    "listed_for",
    "side_of",
]

IN_A_ROW = 2
"""Cups on the same side outside the band that say change. Common practice, no source."""

Side = Literal["inside", "above", "below", ""]
"""Heavier than the band, lighter than it; empty where there is no target."""

_ROUNDING = 1e-9
_ORDER = ("change", "again", "leave", "no_target", "no_cup")


@dataclass(frozen=True, slots=True)
class Aim:
    """What a cup at one place should be, and how far off is left alone, in kg/m3."""

    density_kg_m3: float
    band_kg_m3: float
    products: tuple[str, ...]
    """Whose it is: the run's; of a run that names none, every product its beads are listed for."""

    def off(self, density_kg_m3: float) -> float:
        """Give the logarithm of a density over the target: cups of several targets make one row."""
        return math.log(density_kg_m3 / self.density_kg_m3)


@dataclass(frozen=True, slots=True)
class Aims:
    """Targets by the place where a cup is taken."""

    by_place: Mapping[str, Aim]
    unclear: tuple[str, ...] = ()
    """Products whose targets differ, of a run that does not say for which of them it is."""

    def same_as(self, other: Aims) -> bool:
        """Whether targets and bands are the same, whosever they are."""
        mine, others = (
            {place: (aim.density_kg_m3, aim.band_kg_m3) for place, aim in one.by_place.items()}
            for one in (self, other)
        )
        return mine == others


@dataclass(frozen=True, slots=True)
class Taken:
    """A cup: where and when, what it weighed as keyed, and on which side of its band it lies."""

    seq: int
    where: str
    at_ms: int
    density_kg_m3: float
    keyed: str
    volume: str
    by: str
    run: str
    instrument: str
    side: Side


@dataclass(frozen=True, slots=True)
class Advice:
    """Leave or change, and on which cups that rests."""

    word: Literal["leave", "again", "change", "no_cup", "no_target"]
    """``again``: one cup outside, so take a second before anything is changed."""
    last: Taken | None = None
    aim: Aim | None = None
    count: int = 0
    """How many cups in a row say so."""


def aims(in_force: Settings, product: str, grades: Sequence[str], at_ms: int) -> Aims:
    """Give the targets of a run: of its product, else what all products of its beads share.

    Where those share a target and not its band, the narrowest counts.
    """
    if product:
        body = in_force.at("cup", product, at_ms)
        return Aims({} if body is None else dict(_read(body, (product,))))
    found = [
        (name, body)
        for name, body in in_force.all("cup", at_ms)
        if listed_for(in_force, name, grades, at_ms)
    ]
    names = tuple(name for name, _ in found)
    each = [dict(_read(body, names)) for _, body in found]
    if not each:
        return Aims({})
    shared: dict[str, Aim] = {}
    for place in each[0]:
        some = [one[place] for one in each if place in one]
        if len(some) == len(each) and len({one.density_kg_m3 for one in some}) == 1:
            shared[place] = min(some, key=lambda one: one.band_kg_m3)
    return Aims(shared, () if shared else names)


def listed_for(in_force: Settings, product: str, grades: Sequence[str], at_ms: int) -> bool:
    """Whether grades may go into a product, by its approved list; without one, nothing forbids."""
    listing = in_force.at("approved", product, at_ms)
    if listing is None or not grades:
        return True
    return next(not_listed("", product, grades, (listing, in_force, at_ms)), None) is None


def _read(body: Mapping[str, object], products: tuple[str, ...]) -> Iterator[tuple[str, Aim]]:
    band = quantity(body["band"], "density")
    for place in CUP_PLACES:
        if body.get(place):
            yield place, Aim(quantity(body[place], "density"), band, products)


def side_of(aim: Aim | None, density_kg_m3: float) -> Side:
    """Say on which side of its band a cup lies; the edges are within."""
    if aim is None:
        return ""
    off = density_kg_m3 - aim.density_kg_m3
    if abs(off) <= aim.band_kg_m3 + _ROUNDING:
        return "inside"
    return "above" if off > 0 else "below"


def advised(cups: Iterable[Taken], by_place: Mapping[str, Aim]) -> Advice:
    """Judge the cups of a run, oldest first, each place by itself; the most urgent word counts.

    A cup of a hopper is taken hours later at another machine: nobody changes a setting by it.
    """
    lanes: dict[str, list[Taken]] = {}
    for one in cups:
        if one.where != "hopper":
            lanes.setdefault(one.where, []).append(one)
    found = [_of_place(lane, by_place.get(where)) for where, lane in lanes.items()]
    if not found:
        return Advice("no_cup")
    newest = {id(one): -(one.last.at_ms if one.last else 0) for one in found}
    return min(found, key=lambda one: (_ORDER.index(one.word), newest[id(one)]))


def _of_place(cups: Sequence[Taken], aim: Aim | None) -> Advice:
    last = cups[-1]
    if aim is None:
        return Advice("no_target", last)
    count = 0
    for one in reversed(cups):
        if one.side != last.side:
            break
        count += 1
    if last.side == "inside":
        return Advice("leave", last, aim, count)
    return Advice("change" if count >= IN_A_ROW else "again", last, aim, count)
