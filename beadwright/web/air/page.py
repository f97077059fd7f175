"""What the page of the rooms' air shows: each room as words, a picture and its hours.

Read :func:`page`.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from zoneinfo import ZoneInfo

from beadwright.charts.room_hours import Across, HourBand, RoomHours, draw
from beadwright.charts.svg import Drawing
from beadwright.plant.air_words import (
    UNKNOWN,
    RoomWords,
    air,
    given_off,
    mass_rate,
    room_words,
    shares,
)
from beadwright.plant.figures import whole_mass
from beadwright.plant.fresh_blocks import FreshBlocks, FreshLot
from beadwright.plant.giving_off import Giver
from beadwright.plant.pentane_screen import Figure, Hour, PentaneScreen, RoomAnswer
from beadwright.plant.words import number
from beadwright.plant.worked import Line
from beadwright.plant.worked_words import Told, told_all
from beadwright.science.pentane import STRICTER_LIMIT, WIDER_LIMIT
from beadwright.units import System

__all__ = ["AirPage", "FreshPart", "GiverPart", "RoomPart", "page"]

_HOUR_MS = 3_600_000
_PER_CENT = 100.0


@dataclass(frozen=True, slots=True)
class GiverPart:
    """Something that gives off, with every number it rests on."""

    name: str
    mass: str
    ages: str
    missing: tuple[str, ...]
    lines: tuple[Told, ...]
    own: bool
    """Whether it is a place that has a page of its own."""


@dataclass(frozen=True, slots=True)
class RoomPart:
    """One room."""

    room: str
    at: str
    """Its id on the page."""
    words: RoomWords
    drawing: Drawing
    table: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    givers: tuple[GiverPart, ...]
    lines: tuple[Told, ...]
    not_counted: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class FreshPart:
    """The fresh blocks."""

    caution: str
    gates: tuple[tuple[str, str], ...]
    """What is done, and from when on: hours, or that it is not set."""
    columns: tuple[str, ...]
    rows: tuple[tuple[str, tuple[str, ...]], ...]
    """Lot, and its other cells."""
    older: str
    no_age: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class AirPage:
    """The page."""

    at_ms: int
    caution: str
    rooms: tuple[RoomPart, ...]
    in_no_room: tuple[str, ...]
    fresh: FreshPart


def page(screen: PentaneScreen, units: System, zone: ZoneInfo) -> AirPage:
    """Give what is shown of the screen."""
    # The science's caution ends with words that the page's part puts under every caution.
    caution = screen.caution.removesuffix(" Local code and licensed practice govern.")
    rooms = tuple(_room(one, n, screen.at_ms, (units, zone)) for n, one in enumerate(screen.rooms))
    return AirPage(screen.at_ms, caution, rooms, screen.in_no_room, _fresh(screen.fresh, zone))


def _room(one: RoomAnswer, n: int, at_ms: int, how: tuple[System, ZoneInfo]) -> RoomPart:
    units, zone = how
    at = f"room-{n}"
    return RoomPart(
        room=one.room,
        at=at,
        words=room_words(one, at_ms, lambda ms: _clock(ms, at_ms, zone)),
        drawing=_drawn(one, at, units, zone),
        table=f"Hours of {one.room}; air needed is of the high end, rounded up",
        columns=("hour from", "given off", "air needed", "share of the limit", "its high end"),
        rows=tuple(_row(it, units, zone, one.stated_share or 0.0) for it in one.hours),
        givers=tuple(
            _giver(it, at_ms, units, f"{at}-{i}")
            for i, it in enumerate(one.givers)
            if it.mg or it.missing
        ),
        lines=_lines(one.lines, units, at),
        not_counted=one.not_counted,
    )


def _giver(one: Giver, at_ms: int, units: System, at: str) -> GiverPart:
    ages = ""
    if one.oldest_ms is not None and one.youngest_ms is not None:
        oldest, youngest = ((at_ms - ms) / _HOUR_MS for ms in (one.oldest_ms, one.youngest_ms))
        ages = _age(oldest) if oldest - youngest < 1 else f"{_age(youngest)} to {_age(oldest)}"
    lines = _lines(one.lines, units, at)
    own = one.name != "blocks"
    return GiverPart(one.name, whole_mass(one.mg, units), ages, one.missing, lines, own)


def _age(hours: float) -> str:
    return f"{hours:.0f} h" if hours < 96 else f"{hours / 24:.0f} days"  # noqa: PLR2004 - four days


def _lines(lines: Sequence[Line], units: System, at: str) -> tuple[Told, ...]:
    """Give lines in words, each with a key that no other on the page has."""
    return tuple(replace(one, key=f"{at}-{one.key}") for one in told_all(lines, units))


def _row(hour: Hour, units: System, zone: ZoneInfo, stated: float) -> tuple[str, ...]:
    off, most = hour.given_off_kg_s, hour.limit_share
    needed = UNKNOWN if hour.needed_m3_s is None else air(hour.needed_m3_s.high, units)
    share = high = UNKNOWN
    if most is not None:
        low, value, end = shares(most)
        share = f"{value} % ({low} to {end})"
        high = f"{'above' if hour.above else 'below'} {_PER_CENT * stated:g} %"
    return (f"{datetime.fromtimestamp(hour.from_ms / 1000, zone):%m-%d %H:%M}",
            given_off(off, units), needed, share, high)  # fmt: skip


def _clock(ms: int, near_ms: int, zone: ZoneInfo) -> str:
    there, near = (datetime.fromtimestamp(it / 1000, zone) for it in (ms, near_ms))
    return f"{there:%H:%M}" if there.date() == near.date() else f"{there:%Y-%m-%d %H:%M}"


def _drawn(one: RoomAnswer, at: str, units: System, zone: ZoneInfo) -> Drawing:
    unit = mass_rate(0.0, units).partition(" ")[2]
    scale = 3600 / float(_KG_IN[unit])
    hours = tuple(
        HourBand(
            f"{datetime.fromtimestamp(it.from_ms / 1000, zone):%a %H:%M}",
            _scaled(it.given_off_kg_s, scale),
            _scaled(it.limit_share, _PER_CENT),
        )
        for it in one.hours
    )
    missing = "; ".join(one.missing)
    name = re.sub(r"[^a-z0-9]+", "-", at.lower())
    return draw(RoomHours(
        f"air-{name}", f"Pentane in {one.room}, hour by hour", hours,
        sum(it.past for it in one.hours), unit, (2, 2), _across(one), missing,
    ))  # fmt: skip


_KG_IN = {"kg/h": 1.0, "lb/h": 0.45359237}


def _scaled(one: Figure | None, scale: float) -> tuple[float, float, float] | None:
    return None if one is None else (one.low * scale, one.value * scale, one.high * scale)


def _across(one: RoomAnswer) -> tuple[Across, ...]:
    """Give the stated share of each published limit and of the plant's own, and the limits."""
    stated = one.stated_share or 0.0
    limits = [STRICTER_LIMIT, WIDER_LIMIT]
    if one.limit not in limits:
        limits.append(one.limit)
    lines = []
    for it in limits:
        taken = it == one.limit
        whole = _PER_CENT * it.share / one.limit.share
        vol = f"{_PER_CENT * it.share:g} vol %"
        part = f"{_PER_CENT * stated:g} % of {vol}{', the stated share' if taken else ''}"
        lines.append(Across(stated * whole, part, taken))
        lines.append(Across(whole, f"lower explosive limit {vol}", taken, always=False))
    return tuple(lines)


def _fresh(fresh: FreshBlocks, zone: ZoneInfo) -> FreshPart:
    gates = tuple(
        (one.done, "not set: unknown" if one.min_h is None else f"from {one.min_h:g} h")
        for one in fresh.gates
    )
    placed = any(one.place for one in fresh.lots)
    at = ("at",) if placed else ()
    columns = ("lot", "product", "blocks", *at, "age", *(one.done for one in fresh.gates))
    return FreshPart(
        fresh.caution,
        gates,
        columns,
        tuple((one.code, _fresh_row(one, fresh, zone, placed=placed)) for one in fresh.lots),
        f"Older than {fresh.younger_than_h:g} h: {number(fresh.older_pieces, 'block')}.",
        fresh.no_age,
    )


def _fresh_row(
    one: FreshLot, fresh: FreshBlocks, zone: ZoneInfo, *, placed: bool
) -> tuple[str, ...]:
    waits = []
    for gate, at in zip(fresh.gates, one.from_ms, strict=True):
        if gate.min_h is None:
            waits.append(UNKNOWN)
        elif at is None:
            waits.append("bundled")
        else:
            there = datetime.fromtimestamp(at / 1000, zone)
            waits.append("age reached" if at <= fresh.at_ms else f"not before {there:%m-%d %H:%M}")
    place = (one.place or "–",) if placed else ()
    return (one.product, str(one.pieces), *place, f"{one.age_h:.1f}\u00a0h", *waits)
