"""The two pictures of a lot as specs: its readings against their limits, and its flow.

Read :func:`against_limits` and :func:`flow`. Here figures get the units a person chose, and lots
the addresses of their pages; what is drawn is said in ``charts``.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from decimal import Decimal

from beadwright.charts.against_limits import AgainstLimits, Bound, Strip
from beadwright.charts.flow import Flow, Link, Node, told
from beadwright.plant.flowing import Flowing, FlowLot
from beadwright.plant.measured import Measured, Pieces
from beadwright.plant.verdicts import LimitResult
from beadwright.plant.words import KIND_WORDS, place_of
from beadwright.units import System, from_si, show, shown_unit

__all__ = ["against_limits", "flow", "said"]

_WAYS = {"min": "at least", "max": "at most", "within": "within"}
_DIGITS = {"mass": (3, 3), "density": (2, 3), "length": (1, 3)}
_OTHER = (1, 2)
"""Digits shown, in SI and in US customary units."""

_MOST_DIGITS = 6

_TONES = {"bead": "bead", "prefoam": "prefoam", "tie": "tie", "block": "block",
          "packaging": "packaging"}  # fmt: skip


def against_limits(lot: str, at: int, one: Measured, units: System) -> AgainstLimits:
    """Give the picture of one characteristic, its limits in the same unit."""
    unit = shown_unit(one.kind, units)
    digits = _DIGITS.get(one.kind, _OTHER)[units == "us"]
    strips = tuple(
        Strip(
            pieces.words,
            tuple(_shown(value.si, one, unit) for value in pieces.values),
            _shown(pieces.mean_si, one, unit),
            _note(one, pieces),
            pieces.judged,
        )
        for pieces in one.pieces
    )
    digits = _enough(digits, one, unit, strips)
    bounds: dict[tuple[float, str, str], Bound] = {}
    for result in sorted(one.limits, key=lambda each: each.limit.value_si):
        bound = _bound(result, one, unit, (units, digits))
        bounds.setdefault((bound.value, bound.way, bound.of), bound)
    title = f"{one.words.capitalize()} of {lot}"
    what = "cup" if one.characteristic.startswith("cup_") else "piece"
    limits = tuple(bounds.values())
    return AgainstLimits(f"measured-{at}", title, unit, strips, limits, digits, what)


def _note(one: Measured, pieces: Pieces) -> str:
    """Say why no limit judges some pieces; of wet blocks, that they screen."""
    if pieces.judged:
        return ""
    return "screens only" if one.limits else "no limit judges it"


def _shown(si: float, one: Measured, unit: str) -> float:
    return float(from_si(Decimal(repr(float(si))), unit, one.kind))


def _enough(digits: int, one: Measured, unit: str, strips: Iterable[Strip]) -> int:
    """Give the digits by which nothing that misses a limit reads as if it met it."""
    values = [v for strip in strips for v in (*strip.values, strip.mean) if v is not None]
    missed = []
    for each in one.limits:
        bound, way = _shown(float(each.limit.value_si), one, unit), each.limit.bound
        sizes = [abs(value) if way == "within" else value for value in values]
        missed += [(v, bound) for v in sizes if (v < bound if way == "min" else v > bound)]
    return next(
        (more for more in range(digits, digits + _MOST_DIGITS)
         if all(round(value, more) != round(bound, more) for value, bound in missed)),
        digits,
    )  # fmt: skip


def _bound(result: LimitResult, one: Measured, unit: str, shown_in: tuple[System, int]) -> Bound:
    limit, (units, digits) = result.limit, shown_in
    value = _shown(float(limit.value_si), one, unit)
    said = show(limit.value_si, one.kind, system=units, digits=digits)
    words = f"{_WAYS[limit.bound]} {said}, {limit.statistic}"
    return Bound(value, limit.bound, words, limit.statistic)


def flow(found: Flowing, units: System, address: Callable[[str], str], opens: str) -> Flow:
    """Give the flow of a lot; what lies beyond scrap is left to the table."""
    unit = shown_unit("mass", units)
    near = [one for one in found.lots if not one.reclaimed]
    keys = {one.key for one in near}
    links = (one for one in found.links if one.source in keys and one.into in keys)
    return Flow(
        "flow",
        f"What {found.lot.code} was made of, and what was made of it",
        unit,
        found.layers,
        tuple(_node(one, unit, address) for one in near),
        tuple(Link(x.source, x.into, _mass(x.mg, unit), estimated=x.estimated) for x in links),
        opens,
    )


def _mass(mg: float, unit: str) -> float:
    return float(from_si(Decimal(repr(float(mg))) / 1_000_000, unit, "mass"))


def _node(one: FlowLot, unit: str, address: Callable[[str], str]) -> Node:
    lot = one.lot
    what = KIND_WORDS.get(lot.what or lot.kind, lot.what or lot.kind)
    parts: Iterable[str] = (what, lot.product, place_of(lot.place))
    return Node(
        one.key,
        one.layer,
        lot.code,
        _mass(one.mg, unit),
        _TONES.get(lot.kind, "scrap"),
        ", ".join(filter(None, parts)),
        estimated=one.estimated,
        asked=one.side == "asked",
        href="" if one.side == "asked" else address(lot.code),
    )


def said(one: FlowLot, units: System) -> str:
    """Give the mass of a lot of a flow as its drawing says it."""
    unit = shown_unit("mass", units)
    return told(_mass(one.mg, unit), unit, estimated=one.estimated)
