"""Blocks in the plant, and those that left: how old they are, and for which gates too young.

Read :func:`fresh_of`. Ages are those that the judge goes by: of the newest blocks of a lot. It
says what the gates ask for, and permits nothing: whether a lot may leave is the release's answer.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from beadwright.ledger import lots, present, stock
from beadwright.ledger.draft import MOULDED
from beadwright.ledger.fold import Dated
from beadwright.plant.young import CAUTION, GATES

__all__ = ["Blocks", "FreshBlocks", "FreshLot", "Gate", "blocks_gone", "blocks_here", "fresh_of"]

_HOUR_MS = 3_600_000
_DAYS_H = 72.0
"""Blocks younger than this are listed where the plant has set no gate: they give off for days."""
_BLOCK, _BUNDLE, _WRAP = "block", "bundle", "wrap"


@dataclass(frozen=True, slots=True)
class Blocks:
    """Some blocks that are, or were, in the plant."""

    code: str
    kind: str
    what: str
    product: str
    pieces: int
    place: str
    """Where they stand; empty where nobody said, or they left."""
    moulded_ms: int | None
    """When the youngest of them were; None where the record does not say."""
    gone_ms: int | None = None


@dataclass(frozen=True, slots=True)
class Gate:
    """What blocks must have aged before something is done to them."""

    name: str
    done: str
    min_h: float | None
    """None where the plant has not set it."""


@dataclass(frozen=True, slots=True)
class FreshLot:
    """Blocks that are too young for some gate."""

    code: str
    what: str
    product: str
    pieces: int
    place: str
    moulded_ms: int
    age_h: float
    from_ms: tuple[int | None, ...]
    """For each gate, from when they are old enough; None where it was not set, or is behind."""


@dataclass(frozen=True, slots=True)
class FreshBlocks:
    """The fresh blocks of a plant, the youngest first."""

    at_ms: int
    gates: tuple[Gate, ...]
    lots: tuple[FreshLot, ...]
    """Younger than the longest gate; where none is set, than three days."""
    younger_than_h: float
    no_age: tuple[str, ...]
    """Lots of which the record does not say when they were moulded: taken as too young."""
    older_pieces: int
    caution: str = CAUTION


def blocks_here(plant_no: int) -> tuple[Blocks, ...]:
    """Give the blocks that are in the plant, packaging too."""
    found = [one for one in present.present(plant_no, MOULDED, page=(100_000, 0)) if one.pieces]
    views = lots.get_many(plant_no, [one.code for one in found])
    return tuple(
        Blocks(
            one.code, one.kind, one.what, one.product, one.pieces, one.place,
            one.first if (view := views.get(one.code)) is None or view.last is None else view.last,
        )
        for one in found
    )  # fmt: skip


def blocks_gone(plant_no: int, since_ms: int) -> tuple[Blocks, ...]:
    """Give the blocks that were shipped since a time, each when its shipment first left."""
    left = stock.shipped(plant_no, since_ms)
    views = lots.get_many(plant_no, [one.shipment for one in left])
    return tuple(
        Blocks(view.code, view.kind, view.what, view.product, one.pieces, "", view.last, one.at_ms)
        for one in left
        if (view := views.get(one.shipment)) is not None
    )


def fresh_of(here: Iterable[Blocks], in_force: Dated, at_ms: int) -> FreshBlocks:
    """Give which of the blocks that are here are younger than the plant's gates."""
    gates = tuple(Gate(one.name, one.done, _hours(in_force, one.name, at_ms)) for one in GATES)
    longest = max((one.min_h for one in gates if one.min_h is not None), default=_DAYS_H)
    some = [one for one in here if one.kind == _BLOCK]
    aged = [(one, one.moulded_ms) for one in some if one.moulded_ms is not None]
    young = [(one, at) for one, at in aged if at_ms - at < longest * _HOUR_MS]
    young.sort(key=lambda one: (-one[1], one[0].code))
    return FreshBlocks(
        at_ms,
        gates,
        tuple(_lot(one, moulded, gates, at_ms) for one, moulded in young),
        longest,
        tuple(sorted(one.code for one in some if one.moulded_ms is None)),
        sum(one.pieces for one, _ in aged) - sum(one.pieces for one, _ in young),
    )


def _lot(one: Blocks, moulded: int, gates: Sequence[Gate], at_ms: int) -> FreshLot:
    waits = tuple(
        None
        if gate.min_h is None or (gate.name == _WRAP and one.what == _BUNDLE)
        else moulded + round(gate.min_h * _HOUR_MS)
        for gate in gates
    )
    age = (at_ms - moulded) / _HOUR_MS
    return FreshLot(one.code, one.what, one.product, one.pieces, one.place, moulded, age, waits)


def _hours(in_force: Dated, gate: str, at_ms: int) -> float | None:
    rule = in_force.at("age_gate", gate, at_ms)
    return None if rule is None else float(str(rule["min_h"]))
