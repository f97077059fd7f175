"""What beads and fresh blocks give off hour by hour, against the air of the room they stand in.

Read :func:`pentane_screen`. It is calculated from what the books have in each place, forward as if
nothing more came or went. With anything missing a room's answer is *unknown*: it says what is
missing and never reassures. It holds nothing, releases nothing and permits nothing.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import cast

import numpy as np
from numpy.typing import NDArray

from beadwright.errors import OutOfRange
from beadwright.ledger import present, settings
from beadwright.ledger.present import Present
from beadwright.ledger.settings import Settings
from beadwright.plant.giving_off import Giver, blocks_giver, rate_of, silo_giver
from beadwright.plant.physical import physical
from beadwright.plant.silos import silos
from beadwright.plant.worked import Line, Working
from beadwright.science.pentane import (
    CAUTION,
    STRICTER_LIMIT,
    LowerLimit,
    Room,
    RoomScreen,
    screen_room,
)
from beadwright.science.steam import local_atmosphere
from beadwright.science.trust import Banded, Standing, Trust, standing_of

__all__ = ["NOT_COUNTED", "Figure", "Hour", "PentaneScreen", "RoomAnswer", "pentane_screen"]

NOT_COUNTED = (
    "what pre-expanders and presses give off while they run",
    "what is spilt, cut, ground or wrapped",
    "blocks that have left the plant since",
    "what was in the air of the room a day before: where no air goes through, it is still there",
    "how unevenly a room is mixed: low places and the air next to the beads are worse",
)
"""What no number here holds; shown beside them."""

_HOUR_MS, _STEP_MS = 3_600_000, 900_000
_STEPS = _HOUR_MS // _STEP_MS
_BACK_H = 24
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
    fan: str
    """``running`` or ``stopped`` as it was said, empty where nobody said."""
    fan_since_ms: int | None
    standing: Standing
    trust: Trust
    caution: str = CAUTION
    not_counted: tuple[str, ...] = NOT_COUNTED

    @property
    def unknown(self) -> bool:
        """Whether nothing may be concluded of this room."""
        return bool(self.missing)

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
    caution: str = CAUTION


def pentane_screen(
    plant_no: int, at_ms: int, in_force: Settings | None = None, *, ahead_h: int = 24
) -> PentaneScreen:
    """Give each room with what is given off in it, a day back and some hours ahead."""
    in_force = settings.load(plant_no) if in_force is None else in_force
    asked = (in_force, at_ms)
    start = at_ms - _BACK_H * _HOUR_MS
    givers = {
        one.place: giver
        for one in silos(plant_no, at_ms, in_force)
        if (giver := silo_giver(plant_no, one, asked, start)).parcels
    }
    rooms = dict(in_force.all("room", at_ms))
    blocks, astray = _blocks(plant_no, rooms, asked)
    edges = range(start, at_ms + ahead_h * _HOUR_MS + 1, _STEP_MS)
    found = []
    for name, body in rooms.items():
        places = _places(body)
        inside = [givers[place] for place in places if place in givers]
        if blocks.get(name):
            inside.append(blocks_giver(plant_no, blocks[name], asked))
        found.append(_room(name, tuple(inside), edges, asked))
    listed = {place for body in rooms.values() for place in _places(body)}
    left_out = [place for place in givers if place not in listed]
    if astray:
        left_out.append(f"{sum(one.pieces for one in astray)} blocks")
    return PentaneScreen(at_ms, tuple(found), tuple(left_out))


def _places(body: Mapping[str, object]) -> tuple[str, ...]:
    return tuple(cast("Sequence[str]", body.get("places", ())))


def _blocks(
    plant_no: int, rooms: Mapping[str, Mapping[str, object]], asked: tuple[Settings, int]
) -> tuple[dict[str, list[Present]], list[Present]]:
    """Give the blocks of each room, and those in none.

    Blocks of which nobody said where they stand are in the store where the rooms list only one.
    """
    in_force, at_ms = asked
    room_of = {place: name for name, body in rooms.items() for place in _places(body)}
    stores = [
        name
        for place, name in room_of.items()
        if (in_force.at("place", place, at_ms) or _NONE).get("kind") == _STORE
    ]
    found: dict[str, list[Present]] = {}
    astray: list[Present] = []
    for one in present.present(plant_no, ("block", "packaging"), page=(100_000, 0)):
        room = room_of.get(one.place)
        if room is None and not one.place and len(stores) == 1:
            room = stores[0]
        if not one.pieces:
            continue
        if room is None:
            astray.append(one)
        else:
            found.setdefault(room, []).append(one)
    return found, astray


def _room(
    name: str, givers: tuple[Giver, ...], edges: Sequence[int], asked: tuple[Settings, int]
) -> RoomAnswer:
    in_force, at_ms = asked
    sheet, room = _said(name, asked)
    missing = [what for giver in givers for what in giver.missing]
    rate = _sum([rate_of(giver, edges) for giver in givers], len(edges) - 1)
    seconds = np.asarray(edges, dtype=float) / 1000
    try:
        screen = screen_room(room, rate, seconds)
    except OutOfRange as error:
        missing.append(str(error))
        screen = RoomScreen((), None, None, room.share, room.limit)
    missing = [*(what for what in screen.missing if what != _GIVEN_OFF or not missing), *missing]
    body = in_force.at("room", name, at_ms) or _NONE
    return RoomAnswer(
        room=name,
        places=_places(body),
        givers=givers,
        hours=tuple(_hours(edges, at_ms, rate, screen)),
        missing=tuple(dict.fromkeys(missing)),
        lines=sheet.lines,
        limit=room.limit,
        fan=str(body.get("fan", "")),
        fan_since_ms=_since(in_force, name, at_ms),
        standing=standing_of(screen_room),
        trust=Trust.ESTIMATE,
    )


_GIVEN_OFF = "what is given off"


def _said(name: str, asked: tuple[Settings, int]) -> tuple[Working, Room]:
    """Give what was said of a room: as lines, and as the physics takes it."""
    in_force, at_ms = asked
    body = in_force.at("room", name, at_ms) or _NONE
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
    fan = body.get("fan")
    running = None if fan is None else fan == "running"
    return sheet, Room(
        said["volume"], said["air_flow"], running, pressure, said["mixing"], share, limit
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


def _since(in_force: Settings, name: str, at_ms: int) -> int | None:
    """Since when the fan has been said to do what it does; None where nobody said."""
    since, said = None, None
    for stated, body in in_force.versions("room", name):
        if stated <= at_ms and body.get("fan") != said:
            since, said = stated, body.get("fan")
    return since if said is not None else None


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
    edges: Sequence[int], at_ms: int, rate: Banded | None, screen: RoomScreen
) -> Iterator[Hour]:
    for i in range(0, len(edges) - 1, _STEPS):
        part = slice(i, i + _STEPS)
        reached = _figure(screen.limit_share, part, most=True)
        above = None if reached is None else reached.high > (screen.stated_share or 0.0)
        yield Hour(
            edges[i],
            edges[i] < at_ms,
            _figure(rate, part, most=False),
            _figure(screen.needed_m3_s, part, most=False),
            reached,
            above,
        )


def _figure(band: Banded | None, part: slice, *, most: bool) -> Figure | None:
    """Give the mean of an hour's parts, or the most of them."""
    if band is None:
        return None

    def one(values: NDArray[np.float64]) -> float:
        return float(values[part].max() if most else values[part].mean())

    return Figure(one(band.value), one(band.low), one(band.high))
