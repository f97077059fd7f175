"""Holds that people placed: which still hold something, what they reach, and who has it already.

Read :func:`holds_of`. A hold that reaches no lot any more, by lifts or because its content was
swept out, holds nothing.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby

from beadwright.errors import Fault
from beadwright.ledger import holds, lots, marked
from beadwright.ledger.account import OUTSIDE
from beadwright.ledger.draft import MOULDED, Lift
from beadwright.ledger.marked import Marked
from beadwright.plant.whereabouts import followed, whereabouts
from beadwright.plant.words import number

__all__ = [
    "Held",
    "Left",
    "Reach",
    "counted",
    "few",
    "held_already",
    "holds_of",
    "lift_faults",
    "reach_of",
    "reached_by",
]

_RUN, _PLACE = "mould run", "content"
_FEW = 12
"""Lots that a refusal names before it counts the others."""


@dataclass(frozen=True, slots=True)
class Left:
    """Blocks that a hold reaches and a receiver has.

    Where a bundle mixed lots, nobody knows whose blocks were taken first.
    """

    receiver: str
    shipment: str
    at_least: int
    at_most: int


@dataclass(frozen=True, slots=True)
class Reach:
    """What a hold, or a nonconformity, reaches now."""

    lots: tuple[str, ...]
    """Every lot that carries it, in order of entry."""
    made: tuple[str, ...]
    """Those of them that are no bundle, shipment or part of a block lot."""
    runs: int
    """How many of them are block lots of mould runs."""
    bundles: int
    """Other lots of blocks in the plant: bundles, parts of lots, samples."""
    places: tuple[str, ...]
    """Places whose content it holds."""
    moulded: tuple[str, ...]
    """Those of the mould runs, by code."""
    pieces: int
    """Blocks in the plant."""
    mg: int
    """Mass in the plant of what is no block."""
    shipped: tuple[Left, ...]
    """Its own blocks that have left, whatever else is in the same shipment."""

    @property
    def empty(self) -> bool:
        """Whether nothing that it reaches is anywhere."""
        return not self.pieces and not self.mg and not self.shipped

    @property
    def receivers(self) -> tuple[tuple[str, str], ...]:
        """Each receiver with how many of its own blocks are there, of all shipments, in words."""
        return tuple(
            (receiver, counted(sum(x.at_least for x in left), sum(x.at_most for x in left)))
            for receiver, some in groupby(self.shipped, key=lambda one: one.receiver)
            for left in (tuple(some),)
        )


@dataclass(frozen=True, slots=True)
class Held:
    """A hold, and what it reaches."""

    hold: str
    reason: str
    at_ms: int
    by: str
    named: tuple[str, ...]
    """Lots that it was placed on."""
    lifted: tuple[str, ...]
    """Lots that it was lifted from."""
    reach: Reach

    @property
    def open(self) -> bool:
        """Whether any lot carries it still."""
        return bool(self.reach.lots)


def holds_of(plant_no: int) -> tuple[Held, ...]:
    """Give every hold, in order of entry."""
    carried = marked.marked(plant_no)
    return tuple(
        Held(
            one.hold, one.reason, one.at_ms, one.by, one.lots, one.lifted,
            _reach(plant_no, carried.get(one.hold, ())),
        )
        for one in holds.placed(plant_no)
    )  # fmt: skip


def reach_of(plant_no: int, hold: str) -> Reach:
    """Give what one hold reaches now; of an id that is none, nothing."""
    return _reach(plant_no, marked.marked(plant_no).get(hold, ()))


def reached_by(plant_no: int, causes: Iterable[str]) -> dict[str, Reach]:
    """Give what each cause of nonconformities reaches now."""
    carried = marked.carrying(plant_no, causes)
    return {cause: _reach(plant_no, some) for cause, some in carried.items()}


def held_already(plant_no: int, codes: Sequence[str]) -> str:
    """Say which holds reach lots already, and how many of them; empty where none does."""
    asked, told = frozenset(codes), []
    for hold, carrying in sorted(marked.marked(plant_no).items()):
        count = len(asked.intersection(one.code for one in carrying))
        if count:
            told.append(f"{hold} ({'all' if count == len(asked) else count} of them)")
    return f"On hold already: {', '.join(told)}." if told else ""


def lift_faults(plant_no: int, draft: Lift) -> list[Fault]:
    """Faults of a lift that names lots which its hold does not reach now.

    A late entry may yet make the hold reach them: then nobody would have looked at what it cleared.
    A hold that was never placed is left to the record to say.
    """
    before = {one.hold: one.lifted for one in holds.placed(plant_no)}
    if draft.hold not in before:
        return []
    reached = reach_of(plant_no, draft.hold).lots
    return [
        Fault(
            "hold_not_reached",
            f"hold {draft.hold} does not reach {code}"
            + (", from which it was lifted before" if code in before[draft.hold] else ""),
            code,
            draft.key,
            f"Name lots that it reaches: {few(reached)}." if reached else "It reaches no lot now.",
        )
        for code in draft.lots
        if code not in reached
    ]


def few(reached: tuple[str, ...]) -> str:
    """Name the lots that a hold reaches, or the first of many and how many they are."""
    if len(reached) <= _FEW:
        return ", ".join(reached)
    return f"{', '.join(reached[:_FEW])} … ({number(len(reached), 'lot')}; `holds` counts them)"


def _reach(plant_no: int, carrying: Iterable[Marked]) -> Reach:
    all_ = tuple(carrying)
    here = [one for one in all_ if not one.place.startswith(OUTSIDE)]
    blocks = [one for one in here if one.kind == "block"]
    return Reach(
        lots=tuple(one.code for one in all_),
        made=tuple(one.code for one in all_ if one.kind != "block" or one.what == _RUN),
        runs=sum(one.what == _RUN for one in all_),
        bundles=sum(one.what != _RUN for one in blocks),
        places=tuple(one.code for one in all_ if one.what == _PLACE),
        moulded=tuple(one.code for one in all_ if one.what == _RUN),
        pieces=sum(one.pieces for one in blocks),
        mg=sum(one.mg for one in here if one.kind != "block"),
        shipped=_shipped(plant_no, [one for one in all_ if one.kind in MOULDED]),
    )


def _shipped(plant_no: int, carrying: Sequence[Marked]) -> tuple[Left, ...]:
    """Count what left of the lots that carry it first: a shipment carries it for all its blocks."""
    gone = {one.code: one for one in carrying if one.place.startswith(OUTSIDE) and one.pieces}
    if not gone:
        return ()
    into = followed(plant_no, (one.code for one in carrying))
    after = {code for some in into.values() for code in some}
    views = lots.get_many(plant_no, [one.code for one in carrying if one.code not in after])
    stands = whereabouts(plant_no, views, lots.makings(plant_no, views), into)
    few, many = Counter[str](), Counter[str]()
    for stand in (each for one in stands.values() for each in one.shipped):
        few[stand.lot] += stand.at_least
        many[stand.lot] += stand.at_most
    left = (
        Left(one.place.removeprefix(OUTSIDE), code, few[code], min(many[code], one.pieces))
        for code, one in gone.items()
        if many[code]
    )
    return tuple(sorted(left, key=lambda one: (one.receiver, one.shipment)))


def counted(few: int, many: int) -> str:
    """Say how many blocks, where two bounds are known."""
    return number(many, "block") if few == many else f"{few} to {number(many, 'block')}"
