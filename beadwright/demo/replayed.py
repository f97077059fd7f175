"""What truly happened in a story, replayed on the floor on which the simulated plant runs.

Read :func:`replayed` first. Nothing is read of what the sheets say wrongly: a scale that drifts, a
figure that was corrected later, a run that nobody entered, ties that are not in.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from beadwright.demo.contents import Mix, added, scaled, weight
from beadwright.demo.description import FORM_SILOS, LB, PACKAGING_SILOS, PRODUCTS
from beadwright.demo.floor import Floor, Ties
from beadwright.demo.presses import Made
from beadwright.demo.sheets import Bundling, Expansion, Inspection, Reclaim, Row, SiloMove
from beadwright.demo.story import Story

__all__ = ["Replayed", "replayed"]

_NOT_ENTERED = "?"
"""Marks beads of a run that nobody entered, behind the code of their bag."""

_BEAD_KG = 0.4e-6

_FROM_NEWEST = 0.65
"""Share of a draw from a silo or hopper that comes from what came in last. Invented."""

_RESIDUE_KG = 0.6
"""What stays behind where a place ran empty, until it is swept. Invented."""

_SWEPT, _EXPANDED, _MOVED, _MOULDED, _LOOKED_AT, _BUNDLED, _RECLAIMED, _EMPTIED = range(8)
"""What comes first within a minute: along the plant, and empty last."""

_ORDERS = {"transfer": _MOVED, "swept_empty": _SWEPT, "ran_empty": _EMPTIED}

_Happened = tuple[int, int, int, Row | Made]
"""Minute, order within it, number; and what happened."""


@dataclass(frozen=True)
class Replayed:
    """What truly is in lots and bundles, and what stayed in places that were said to be empty."""

    came: dict[str, Mix]
    bundles: dict[str, Mix]
    left: dict[str, list[float]]
    not_entered: dict[str, list[str]]
    """By bag of which nobody entered a run, lots and bundles with a bead of that run or more."""


def replayed(story: Story) -> Replayed:
    """Let happen what truly did, in order of time."""
    floor = Floor((*FORM_SILOS, *PACKAGING_SILOS), _FROM_NEWEST)
    replay = _Replay(floor, _not_put_in(story))
    for _, _, _, one in sorted(_happened(story), key=lambda one: one[:3]):
        replay.let(one)
    mixes, not_entered = {**floor.came, **floor.bundles}, {}
    for bag in sorted({run.bag for run in story.unentered}):
        beads = {lot: mix.get(bag + _NOT_ENTERED, 0.0) for lot, mix in mixes.items()}
        not_entered[bag] = sorted(lot for lot, kg in beads.items() if kg >= _BEAD_KG)
    return Replayed(_by_bag(floor.came), _by_bag(floor.bundles), floor.left, not_entered)


def _by_bag(mixes: Mapping[str, Mix]) -> dict[str, Mix]:
    """Put the beads of a bag together, whether they were entered or not."""
    return {
        lot: added({source.removesuffix(_NOT_ENTERED): kg} for source, kg in mix.items())
        for lot, mix in mixes.items()
    }


def _happened(story: Story) -> Iterator[_Happened]:
    """Everything that moved something; of the presses what was true, not what they wrote."""
    for number, made in enumerate(story.made):
        yield made.row.at, _MOULDED, number, made
    rows = [row for of in story.sheets.values() for _, row in of]
    for number, row in enumerate([*rows, *story.unentered]):
        match row:
            case Expansion():
                yield row.ended, _EXPANDED, number, row
            case SiloMove():
                yield row.at, _ORDERS[row.what], number, row
            case Inspection(rejected=int(rejected)) if rejected:
                yield row.at, _LOOKED_AT, number, row
            case Bundling():
                yield row.at, _BUNDLED, number, row
            case Reclaim():
                yield row.at, _RECLAIMED, number, row


def _not_put_in(story: Story) -> dict[str, int]:
    """Ties that are truly not in the pieces, by lot."""
    return {
        lot: sum(pieces.values())
        for fault in story.faults
        for lot, pieces in fault.ties_missing.items()
    }


@dataclass
class _Replay:
    """The floor, and the ties of each lot that are still to be left out."""

    floor: Floor
    not_put_in: dict[str, int]
    _like: dict[str, Mix] = field(default_factory=dict)
    """By place, what was drawn of it last."""

    def let(self, one: Row | Made) -> None:
        """Let one thing happen."""
        floor = self.floor
        match one:
            case Made():
                self._mould(one)
            case Expansion():
                bag = one.bag if one.run else one.bag + _NOT_ENTERED
                floor.place(one.silo).put({bag: one.mass - one.loss})
            case SiloMove(what="transfer", mass=float(kg)):
                floor.place(one.to).put(self._out_of(one.source, kg))
            case SiloMove(what="swept_empty"):
                floor.place(one.source).empty()
            case SiloMove():
                self._ran_empty(one.source)
            case Inspection(rejected=int(pieces)):
                floor.turned_down(one.lot, pieces, one.scrap_bin)
            case Bundling():
                floor.bundled(one.bundle, one.lot, one.pieces)
            case Reclaim():
                self._reclaim(one)

    def _mould(self, made: Made) -> None:
        """Mould one stretch of what its blocks truly weigh."""
        row, ties = made.row, None
        beads = self._out_of(row.source, row.shots * made.foam_kg)
        if made.carton is not None and row.ties_used is not None:
            whole = row.shots * PRODUCTS[row.product].ties
            put_in = whole - self.not_put_in.pop(row.lot, 0)
            ties = Ties(made.carton.code, made.carton.true_kg, put_in, row.ties_used - whole)
        self.floor.moulded((row.lot, row.scrap_bin), (row.shots, row.scrap), beads, ties)

    def _out_of(self, name: str, kg: float) -> Mix:
        """Draw so much.

        What a silo was filled with and what was drawn of it differ a little in the story, to either
        side: where there is less than was drawn, all of it is like what there was.
        """
        drawn = self.floor.place(name).draw(kg)
        there = weight(drawn)
        if there > 0:
            self._like[name] = drawn
        like = self._like[name]
        return scaled(like, kg / weight(like)) if there < kg else drawn

    def _ran_empty(self, name: str) -> None:
        """Let a place run empty: a little stays; what else the figures left was not there."""
        self.floor.said_empty(name)
        there = self.floor.place(name)
        there.draw(there.kg - _RESIDUE_KG)

    def _reclaim(self, row: Reclaim) -> None:
        """Strip a bin, turn foam into something else, or let it go."""
        if row.what == "strip":
            self.floor.stripped(row.source, row.to)
        elif row.to:
            self.floor.moved(row.source, row.to, row.mass * LB)
        else:
            self.floor.place(row.source).empty()
