"""What beads and fresh blocks give off hour by hour, against the air of the room they stand in.

Read :func:`pentane_screen`. It is calculated from what the books have in each place, forward as if
nothing more came or went. With anything missing a room's answer is *unknown*: it says what is
missing and never reassures. It holds nothing, releases nothing and permits nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import cast

import numpy as np
from numpy.typing import NDArray

from beadwright.errors import OutOfRange
from beadwright.ledger import settings
from beadwright.ledger.settings import Settings
from beadwright.plant.fans import FanSaid, air_through, fan_said
from beadwright.plant.fresh_blocks import (
    Blocks,
    FreshBlocks,
    blocks_gone,
    blocks_here,
    fresh_of,
)
from beadwright.plant.giving_off import Giver, blocks_giver, rate_of, silo_giver
from beadwright.plant.physical import physical
from beadwright.plant.room_levels import Levels, StandsStill, levels
from beadwright.plant.silos import silos
from beadwright.plant.worked import Line, Working
from beadwright.science.pentane import (
    CAUTION,
    STRICTER_LIMIT,
    LowerLimit,
    Room,
    screen_room,
)
from beadwright.science.steam import local_atmosphere
from beadwright.science.trust import Banded, Standing, Trust, standing_of

__all__ = [
    "NOT_COUNTED",
    "Figure",
    "Hour",
    "PentaneScreen",
    "RoomAnswer",
    "Standstill",
    "pentane_screen",
]

NOT_COUNTED = (
    "what pre-expanders and presses give off while they run",
    "what is spilt, cut, ground or wrapped",
    "blocks that became scrap or samples, while they were in the room",
    "what draughts bring in or take out: only the stated air flow is counted",
    "how unevenly a room is mixed: low places and the air next to the beads are worse",
)
"""What no number here holds; shown beside them."""

_HOUR_MS, _STEP_MS = 3_600_000, 900_000
_STEPS = _HOUR_MS // _STEP_MS
_BACK_H = 24
_WINDOW_H = 72
"""So far back it is worked out, so that where it begins does not matter to what is shown."""
_DAY_MS = 24 * _HOUR_MS
_STORE = "store"
_NONE: Mapping[str, object] = {}


@dataclass(frozen=True, slots=True)
class Figure:
    """A number in SI with the ends of its band."""

    value: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Hour:
    """One hour of a room; what is not known is None."""

    from_ms: int
    past: bool
    given_off_kg_s: Figure | None
    """Mean over the hour."""
    needed_m3_s: Figure | None
    """Fresh air that holds this, kept up, at the stated share of the limit: to be rounded up."""
    limit_share: Figure | None
    """Most of the lower explosive limit that the room's mean air reaches within the hour."""
    above: bool | None
    """Whether the high end is above the stated share."""


@dataclass(frozen=True, slots=True)
class Standstill:
    """What would come of a room if its fan stood still from now on."""

    above_ms: int | None
    """When the high end is first above the stated share; None: not in the hours looked at."""
    at_end: Figure
    """Share of the limit at the end of those hours."""


@dataclass(frozen=True, slots=True)
class RoomAnswer:
    """A room with what gives off pentane in it, hour by hour."""

    room: str
    places: tuple[str, ...]
    givers: tuple[Giver, ...]
    hours: tuple[Hour, ...]
    """A day back and as long forward as was asked."""
    missing: tuple[str, ...]
    lines: tuple[Line, ...]
    """What the room's answer rests on, each with its source and trust."""
    limit: LowerLimit
    stated_share: float | None
    """Share of the limit that nothing should be above: the plant's, or a tenth."""
    fan: FanSaid
    still: Standstill | None
    """None where nothing may be concluded, or the fan stands still already."""
    standing: Standing
    trust: Trust
    caution: str = CAUTION
    not_counted: tuple[str, ...] = NOT_COUNTED

    @property
    def unknown(self) -> bool:
        """Whether nothing may be concluded of this room."""
        return bool(self.missing) or self.worst is None

    @property
    def worst(self) -> Hour | None:
        """The hour to come whose high end is nearest to the limit; None where it is unknown."""
        known = [one for one in self.hours if one.limit_share is not None and not one.past]
        return max(known, key=lambda one: cast("Figure", one.limit_share).high, default=None)


@dataclass(frozen=True, slots=True)
class PentaneScreen:
    """Every room of a plant, and what gives off pentane and stands in no room."""

    at_ms: int
    rooms: tuple[RoomAnswer, ...]
    in_no_room: tuple[str, ...]
    """Places with beads, and blocks, that no room lists: nothing is said of the air there."""
    fresh: FreshBlocks
    caution: str = CAUTION


def pentane_screen(
    plant_no: int, at_ms: int, in_force: Settings | None = None, *, ahead_h: int = 24
) -> PentaneScreen:
    """Give each room with what is given off in it, a day back and some hours ahead."""
    in_force = settings.load(plant_no) if in_force is None else in_force
    asked = (in_force, at_ms)
    start = _begun(at_ms) - _WINDOW_H * _HOUR_MS
    givers = {
        one.place: giver
        for one in silos(plant_no, at_ms, in_force)
        if (giver := silo_giver(plant_no, one, asked, start)).parcels
    }
    rooms = dict(in_force.all("room", at_ms))
    here = blocks_here(plant_no)
    blocks, astray = _by_room((*here, *blocks_gone(plant_no, start)), rooms, asked)
    edges = _edges(at_ms, ahead_h)
    found = []
    for name, body in rooms.items():
        places = _places(body)
        inside = [givers[place] for place in places if place in givers]
        if blocks.get(name):
            inside.append(blocks_giver(blocks[name], asked))
        found.append(_room(name, tuple(inside), edges, asked))
    listed = {place for body in rooms.values() for place in _places(body)}
    left_out = [place for place in givers if place not in listed]
    if astray:
        left_out.append(f"{sum(one.pieces for one in astray)} blocks")
    return PentaneScreen(at_ms, tuple(found), tuple(left_out), fresh_of(here, in_force, at_ms))


def _begun(at_ms: int) -> int:
    """Give the quarter of an hour that has begun: the hours are told from there."""
    return at_ms - at_ms % _STEP_MS


def _edges(at_ms: int, ahead_h: int) -> tuple[int, ...]:
    """Give the ends of the intervals: hours until a day back, quarters of an hour from there on."""
    now = _begun(at_ms)
    shown = now - _BACK_H * _HOUR_MS
    run_in = range(now - _WINDOW_H * _HOUR_MS, shown, _HOUR_MS)
    return (*run_in, *range(shown, now + ahead_h * _HOUR_MS + 1, _STEP_MS))


def _places(body: Mapping[str, object]) -> tuple[str, ...]:
    return tuple(cast("Sequence[str]", body.get("places", ())))


def _by_room(
    blocks: Iterable[Blocks],
    rooms: Mapping[str, Mapping[str, object]],
    asked: tuple[Settings, int],
) -> tuple[dict[str, list[Blocks]], list[Blocks]]:
    """Give the blocks of each room, and those in the plant that are in none.

    Blocks of which nobody said where they stand, or stood before they left, are in the store where
    the rooms list only one.
    """
    in_force, at_ms = asked
    room_of = {place: name for name, body in rooms.items() for place in _places(body)}
    stores = [
        name
        for place, name in room_of.items()
        if (in_force.at("place", place, at_ms) or _NONE).get("kind") == _STORE
    ]
    found: dict[str, list[Blocks]] = {}
    astray: list[Blocks] = []
    for one in blocks:
        room = room_of.get(one.place)
        if room is None and not one.place and len(stores) == 1:
            room = stores[0]
        if room is not None:
            found.setdefault(room, []).append(one)
        elif one.gone_ms is None:
            astray.append(one)
    return found, astray


def _room(
    name: str, givers: tuple[Giver, ...], edges: Sequence[int], asked: tuple[Settings, int]
) -> RoomAnswer:
    in_force, at_ms = asked
    fan = fan_said(in_force, name, at_ms)
    sheet, room = _said(name, fan, asked)
    rate = _sum([rate_of(giver, edges) for giver in givers], len(edges) - 1)
    missing = [what for giver in givers for what in giver.missing]
    needed, reached, lacking = _screened(room, rate, edges, (in_force, name, at_ms))
    missing = [*(what for what in lacking if what != _GIVEN_OFF or not missing), *missing]
    still = None if missing else reached.still
    return RoomAnswer(
        room=name,
        places=_places(in_force.at("room", name, at_ms) or _NONE),
        givers=givers,
        hours=tuple(_hours(edges, _begun(at_ms), (rate, needed, reached.limit_share), room.share)),
        missing=tuple(dict.fromkeys(missing)),
        lines=sheet.lines,
        limit=room.limit,
        stated_share=room.share,
        fan=fan,
        still=None if still is None else _standstill(still),
        standing=standing_of(screen_room),
        trust=Trust.ESTIMATE,
    )


_GIVEN_OFF = "what is given off"


def _screened(
    room: Room, rate: Banded | None, edges: Sequence[int], of: tuple[Settings, str, int]
) -> tuple[Banded | None, Levels, tuple[str, ...]]:
    """Give the air needed, what the room reaches, and what is missing for it."""
    in_force, name, at_ms = of
    seconds = np.asarray(edges, dtype=float) / 1000
    try:
        screen = screen_room(room, rate, seconds)
        if screen.unknown or rate is None:
            return None, Levels(None), screen.missing
        marks = (edges.index(edges[0] + _DAY_MS), edges.index(_begun(at_ms)))
        flows = air_through(in_force, name, edges, at_ms)
        if None in flows[marks[1] : marks[1] + _STEPS]:
            return screen.needed_m3_s, Levels(None), ("whether the fan runs",)
        found = levels(room, flows, rate, seconds, marks)
    except OutOfRange as error:
        return None, Levels(None), (str(error),)
    lacking = (found.missing,) if found.missing else ()
    return screen.needed_m3_s, found, lacking


def _standstill(found: StandsStill) -> Standstill:
    above = None if found.above_s is None else round(found.above_s * 1000)
    return Standstill(above, Figure(*found.at_end))


def _said(name: str, fan: FanSaid, asked: tuple[Settings, int]) -> tuple[Working, Room]:
    """Give what was said of a room: as lines, and as the physics takes it."""
    in_force, at_ms = asked
    said = {
        key: physical(in_force, "room", name, key, at_ms)
        for key in ("volume", "air_flow", "mixing", "share", "lower_limit")
    }
    sheet = Working()
    own = f"room {name}"
    sheet.given("volume", ("volume of the room", "volume"), said["volume"], ("set", own))
    sheet.given("air_flow", ("air flow", "volume_flow"), said["air_flow"], ("set", own))
    sheet.given("mixing", ("mixing factor", "1"), said["mixing"], ("set", own))
    share = Room().share if said["share"] is None else said["share"]
    origin = "default" if said["share"] is None else "set"
    source = "a tenth: where a space counts as hazardous" if origin == "default" else own
    sheet.given(
        "share", ("share of the lower explosive limit", "fraction"), share,
        ("default" if said["share"] is None else "set", source),
    )  # fmt: skip
    limit = STRICTER_LIMIT
    if said["lower_limit"] is not None:
        limit = LowerLimit(said["lower_limit"], f"set by the plant for {own}")
    sheet.given(
        "limit", ("lower explosive limit", "fraction"), limit.share,
        ("default" if said["lower_limit"] is None else "set", limit.source),
    )  # fmt: skip
    pressure = _atmosphere(sheet, asked)
    return sheet, Room(
        said["volume"], said["air_flow"], fan.running, pressure, said["mixing"], share, limit
    )


def _atmosphere(sheet: Working, asked: tuple[Settings, int]) -> float | None:
    """Put the local atmosphere: a barometer's, else that of the altitude."""
    title = ("local atmosphere", "pressure")
    in_force, at_ms = asked
    shown = physical(in_force, "air", "outside", "barometer", at_ms)
    if shown is not None:
        sheet.given("atmosphere", title, shown, ("set", "barometer on the site"))
        return shown
    altitude = physical(in_force, "air", "outside", "altitude", at_ms)
    sheet.given("altitude", ("altitude", "length"), altitude, ("set", "air outside"))
    return sheet.work("atmosphere", title, local_atmosphere, {"altitude_m": "altitude"}).value


def _sum(rates: Sequence[Banded | None], count: int) -> Banded | None:
    """Add rates up; all are off the same way, for they rest on one diffusivity."""
    known = [one for one in rates if one is not None]
    if len(known) < len(rates):
        return None
    nothing = np.zeros(count)
    return Banded.of(
        sum((one.value for one in known), nothing),
        sum((one.low for one in known), nothing),
        sum((one.high for one in known), nothing),
    )


def _hours(
    edges: Sequence[int],
    now_ms: int,
    of: tuple[Banded | None, Banded | None, Banded | None],
    share: float | None,
) -> Iterator[Hour]:
    rate, needed, reached = of
    first = edges.index(now_ms - _BACK_H * _HOUR_MS)
    for i in range(first, len(edges) - 1, _STEPS):
        part = slice(i, i + _STEPS)
        most = _figure(reached, part, most=True)
        above = None if most is None else most.high > (share or 0.0)
        yield Hour(
            edges[i],
            edges[i] < now_ms,
            _figure(rate, part, most=False),
            _figure(needed, part, most=False),
            most,
            above,
        )


def _figure(band: Banded | None, part: slice, *, most: bool) -> Figure | None:
    """Give the mean of an hour's parts, or the most of them; None where one is not known."""
    if band is None or np.isnan(band.value[part]).any():
        return None

    def one(values: NDArray[np.float64]) -> float:
        return float(values[part].max() if most else values[part].mean())

    return Figure(one(band.value), one(band.low), one(band.high))
