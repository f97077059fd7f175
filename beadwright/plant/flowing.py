"""A lot with all it was made of before it and all that was made of it after, as one flow.

Read :func:`flowing`. The two traces are those of :mod:`beadwright.ledger.trace`; here they stand
in the order of the plant, joined by what went from one lot into another.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from beadwright.errors import Misuse
from beadwright.ledger import lots, settings
from beadwright.ledger.account import Account, account
from beadwright.ledger.came import came_into
from beadwright.ledger.lots import LotView
from beadwright.ledger.trace import Link, Trace, linked
from beadwright.ledger.walk import LotFacts, Reads
from beadwright.plant.mass_off import off_of
from beadwright.plant.opening import Plant

__all__ = ["FlowLink", "FlowLot", "Flowing", "Side", "flowing"]

Side = Literal["before", "asked", "after"]

_STAGES: tuple[frozenset[str], ...] = (
    frozenset({"scrap before"}),
    frozenset({"stripped before"}),
    frozenset({"bead", "regrind before"}),
    frozenset({"silo"}),
    frozenset({"content", "tie"}),
    frozenset({"mould run"}),
    frozenset({"bundle", "scrap", "sample"}),
    frozenset({"shipment", "stripped", "regrind", "densified"}),
)
"""What stands beside what, in the order of the plant."""

_WORDS: Mapping[str, str] = {
    "bead": "beads", "silo": "silos", "content": "hoppers", "tie": "ties",
    "mould run": "mould runs", "bundle": "bundles", "sample": "samples", "shipment": "shipments",
    "scrap": "scrap", "stripped": "scrap", "regrind": "regrind", "densified": "densified",
}  # fmt: skip
_SCRAP = frozenset({"scrap", "regrind", "densified"})
_EXACT_MG = 1.0
_ALL = 1e-9
"""Masses, and shares, that differ by less are the same."""


@dataclass(frozen=True, slots=True)
class FlowLot:
    """A lot of a flow: on which side of the lot asked about, how much, and what share."""

    key: str
    """Its side and its code: what goes round stands on both sides."""
    lot: LotFacts
    side: Side
    layer: int
    mg: float
    share: float
    least: float
    most: float
    step: str = ""
    step_kind: str = ""
    at_ms: int | None = None
    estimated: bool = False
    """Whether its mass is what a place, or a part of a mixed lot, may hold of it."""
    reclaimed: bool = False
    """Whether it has to do with the lot asked about through scrap and reclaim only."""


@dataclass(frozen=True, slots=True)
class FlowLink:
    """What went from one lot of a flow into another, by their keys."""

    source: str
    into: str
    mg: float
    estimated: bool


@dataclass(frozen=True, slots=True)
class Flowing:
    """The flow of one lot: both traces, their lots in layers, what went where, and the account."""

    lot: LotView
    mg: int
    """What ever came into the lot."""
    layers: tuple[str, ...]
    lots: tuple[FlowLot, ...]
    links: tuple[FlowLink, ...]
    before: Trace
    after: Trace
    account: Account
    """Where its material is now."""

    def of(self, side: Side) -> tuple[FlowLot, ...]:
        """Lots of one side, the heaviest first."""
        found = (one for one in self.lots if one.side == side)
        return tuple(sorted(found, key=lambda one: (-one.mg, one.lot.code)))


def flowing(plant: Plant, code: str) -> Flowing:
    """Follow a lot both ways.

    Raises
    ------
    Misuse
        If the lot is not in the record.
    """
    view = lots.get(plant.no, code)
    if view is None:
        message = f"lot {code} is not in the record: check the code, or search by its label"
        raise Misuse(message)
    reads = Reads()
    off = off_of(plant.no)
    traced = (
        linked(plant.no, code, "back", off=off),
        linked(plant.no, code, "forward", reads=reads, off=off),
    )
    places = _places(plant)
    asked = FlowLot(f"asked:{code}", traced[0][0].lot, "asked", 0, traced[0][0].mg, 1.0, 1.0, 1.0)
    links = [one for told in traced for one in _links(plant, asked, *told)]
    found = [asked, *(one for trace, _ in traced for one in _lots(trace, links))]
    what = {one.key: _what(one, places) for one in found}
    stages = {key: _stage(name) for key, name in what.items()}
    used = sorted(set(stages.values()))
    names = tuple(_named(what[key] for key in what if stages[key] == stage) for stage in used)
    layered = tuple(replace(one, layer=used.index(stages[one.key])) for one in found)
    (before, _), (after, _) = traced
    closing = account(plant.no, code, reads)
    return Flowing(view, before.mg, names, layered, tuple(links), before, after, closing)


def _places(plant: Plant) -> Mapping[str, str]:
    """Give what each place is by the settings: a silo, a hopper."""
    in_force = settings.load(plant.no)
    return {name: str(body.get("kind", "")) for name, body in in_force.all("place", 2**62)}


def _what(one: FlowLot, places: Mapping[str, str]) -> str:
    """Say what a lot is in the order of the plant; before the lot asked about, reclaim is early."""
    lot = one.lot
    if lot.what == "content":
        return "silo" if places.get(lot.code, "silo") == "silo" else "content"
    early = " before" if one.side == "before" else ""
    if lot.kind == "scrap":
        return f"{'scrap' if lot.what == 'bin' else 'stripped'}{early}"
    if lot.kind == "regrind":
        return f"regrind{early}"
    return lot.kind if lot.kind in {"bead", "tie", "densified"} else lot.what


def _stage(what: str) -> int:
    other = next(n for n, kinds in enumerate(_STAGES) if "bundle" in kinds)
    return next((n for n, kinds in enumerate(_STAGES) if what in kinds), other)


def _named(kinds: Iterable[str]) -> str:
    """Name a layer after what stands in it, in the order of :data:`_WORDS`."""
    there = {one.removesuffix(" before") for one in kinds}
    found = dict.fromkeys(words for kind, words in _WORDS.items() if kind in there)
    return ", ".join(found) or "lots"


def _lots(trace: Trace, links: Sequence[FlowLink]) -> list[FlowLot]:
    """Give the lots of a trace; the mass of one is an estimate where a link to it is."""
    side: Side = "before" if trace.direction == "back" else "after"
    kinds = {step.key: step.kind for step in trace.steps}
    guessed = {one.source if side == "before" else one.into for one in links if one.estimated}
    near = _without_reclaim(trace, side, links)
    found = []
    for one in trace.lots:
        key = f"{side}:{one.lot.code}"
        figures = (one.mg, one.share, one.least, one.most)
        joined = (one.step, kinds.get(one.step, ""), one.at_ms)
        marks = (key in guessed, key not in near)
        found.append(FlowLot(key, one.lot, side, 0, *figures, *joined, *marks))
    return found


def _without_reclaim(trace: Trace, side: Side, links: Sequence[FlowLink]) -> set[str]:
    """Give the keys that are joined to the lot asked about by a way that ends, at most, in scrap.

    Scrap itself is near; what lies beyond it was moulded before, or is made of it.
    """
    scrap = {f"{side}:{one.lot.code}" for one in trace.lots if one.lot.kind in _SCRAP}
    ways: dict[str, list[str]] = {}
    for one in links:
        ends = (one.into, one.source) if side == "before" else (one.source, one.into)
        ways.setdefault(ends[0], []).append(ends[1])
    near: set[str] = set()
    ask = [f"asked:{trace.lot.code}"]
    while ask:
        at = ask.pop()
        for key in ways.get(at, ()):
            if key not in near and (at not in scrap or key in scrap):
                near.add(key)
                ask.append(key)
    return near


def _links(plant: Plant, asked: FlowLot, trace: Trace, links: Sequence[Link]) -> Iterable[FlowLink]:
    """Give the links of a trace by key.

    What went straight into the lot asked about, or straight out of it, is as it was keyed. Farther
    off it is an estimate, unless the lot between has gone on whole, or is nothing but ours.
    """
    side: Side = "before" if trace.direction == "back" else "after"
    sure = _sure(plant, trace)

    def key(code: str) -> str:
        return asked.key if code == asked.lot.code else f"{side}:{code}"

    for one in links:
        between = one.into if side == "before" else one.source
        guess = between != asked.lot.code and between not in sure
        yield FlowLink(key(one.source), key(one.into), one.mg, guess)


def _sure(plant: Plant, trace: Trace) -> set[str]:
    """Give lots that went into the lot asked about whole, or that are nothing but of it."""
    if trace.direction == "forward":
        return {one.lot.code for one in trace.lots if one.least >= 1 - _ALL}
    came = came_into(plant.no, [one.lot.no for one in trace.lots])
    return {
        one.lot.code for one in trace.lots if abs(came.get(one.lot.no, 0) - one.mg) <= _EXACT_MG
    }
