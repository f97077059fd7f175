"""The plant's floor: what is truly where, and what happens to it.

Read :class:`Floor` first. The simulated plant runs on it, and what happened in the demonstration is
replayed on it.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field

from beadwright.demo.contents import Content, Mix, added, scaled, shares, weight
from beadwright.demo.description import TIES

__all__ = ["Floor", "Ties", "true_contents"]


@dataclass(frozen=True)
class Ties:
    """Ties of one stretch: carton, what one truly weighs (kg), how many are in, how many broke."""

    carton: str
    unit_kg: float
    put_in: int
    broken: int


@dataclass
class Floor:
    """True contents by place, bin, bag and lot."""

    silos: Collection[str]
    newest: float
    """Share of a draw from a silo or hopper that comes from what came in last."""
    inside: dict[str, Content] = field(default_factory=dict)
    """What is truly in each of them now."""
    came: dict[str, Mix] = field(default_factory=dict)
    """What truly came into each lot of blocks, by source, from first to last."""
    pieces: dict[str, int] = field(default_factory=dict)
    """Pieces of each lot of blocks that are in the plant."""
    bundles: dict[str, Mix] = field(default_factory=dict)
    """What is truly in each bundle."""
    left: dict[str, list[float]] = field(default_factory=dict)
    """By place, what truly stayed in it each time it was written down as empty, in kilograms."""

    def place(self, name: str) -> Content:
        """Give what is in a place; a silo, hopper and line each flow in their own way."""
        if name not in self.inside:
            newest = self.newest if name in self.silos or name.startswith("H") else None
            if name.startswith("L"):
                newest = 0.0  # a line gives out what came in first
            self.inside[name] = Content(newest)
        return self.inside[name]

    def moved(self, source: str, to: str, kg: float) -> None:
        """Move so much from one place into another; all there is, where there is no more."""
        self.place(to).put(self.place(source).draw(kg))

    def moulded(
        self, where: tuple[str, str], count: tuple[int, int], beads: Mix, ties: Ties | None
    ) -> Mix:
        """Put good blocks into their lot, scrap and broken ties into their bin; give one block.

        ``where`` is lot and bin, ``count`` pieces in all and those that are scrap.
        """
        (lot, bin_), (pieces, scrap) = where, count
        whole = beads
        if ties is not None:
            whole = added([beads, {ties.carton: ties.put_in * ties.unit_kg}])
        piece, good = scaled(whole, 1 / pieces), pieces - scrap
        if good:
            blocks = scaled(piece, good)
            self.inside.setdefault(lot, Content(0.0)).put(blocks)
            self.came[lot] = added([self.came.get(lot, {}), blocks])
            self.pieces[lot] = self.pieces.get(lot, 0) + good
        if bin_:
            self.place(bin_).put(scaled(whole, scrap / pieces))
            if ties is not None and ties.broken:
                self.place(bin_).put({ties.carton: ties.broken * ties.unit_kg})
        return piece

    def taken(self, lot: str, pieces: int) -> Mix:
        """Take pieces out of a lot, in the order in which they were moulded."""
        there = self.inside[lot]
        took = there.draw(there.kg * pieces / self.pieces[lot])
        self.pieces[lot] -= pieces
        return took

    def turned_down(self, lot: str, pieces: int, bin_: str) -> None:
        """Put pieces of a lot into a bin."""
        self.place(bin_).put(self.taken(lot, pieces))

    def bundled(self, bundle: str, lot: str, pieces: int) -> None:
        """Put pieces of a lot into a bundle."""
        self.bundles[bundle] = added([self.bundles.get(bundle, {}), self.taken(lot, pieces)])

    def stripped(self, bin_: str, foam: str) -> None:
        """Part what is in a bin: foam into one lot, ties into another."""
        whole = self.place(bin_).empty()
        for tie, to in ((True, f"{foam}-T"), (False, foam)):
            part = {source: kg for source, kg in whole.items() if _is_tie(source) is tie}
            if part:
                self.place(to).put(part)

    def foam_and_ties(self, bin_: str) -> tuple[float, float]:
        """Kilograms of foam and of ties in a bin."""
        whole = added(self.place(bin_).parcels)
        ties = weight({source: kg for source, kg in whole.items() if _is_tie(source)})
        return weight(whole) - ties, ties

    def said_empty(self, name: str) -> None:
        """Note what truly is in a place when it is written down as empty."""
        self.left.setdefault(name, []).append(self.place(name).kg)


def true_contents(
    came: Mapping[str, Mix], bundles: Mapping[str, Mix], left: Mapping[str, Sequence[float]]
) -> dict[str, object]:
    """Write down for an answer sheet what is truly in lots and bundles, and what stayed where."""
    return {
        "lots": {lot: shares(mix) for lot, mix in came.items()},
        "bundles": {bundle: shares(mix) for bundle, mix in bundles.items()},
        "kg": {lot: round(weight(mix), 6) for lot, mix in {**came, **bundles}.items()},
        "left": {place: [round(kg, 6) for kg in of] for place, of in left.items()},
    }


def _is_tie(source: str) -> bool:
    return source.split("-", maxsplit=1)[0] in TIES
