"""What `air` says: the caution first, then room by room, then the fresh blocks."""

from __future__ import annotations

from dataclasses import replace

from beadwright.cli.printed import Page, local, write_json
from beadwright.cli.show_worked import made_of
from beadwright.errors import Misuse
from beadwright.plant.air_json import air_json
from beadwright.plant.air_words import UNKNOWN, air, given_off, room_words, share
from beadwright.plant.figures import whole_mass
from beadwright.plant.fresh_blocks import FreshBlocks
from beadwright.plant.moment import moment
from beadwright.plant.opening import Plant
from beadwright.plant.pentane_screen import (
    Hour,
    PentaneScreen,
    RoomAnswer,
    pentane_screen,
)
from beadwright.plant.words import number
from beadwright.plant.worked import Line
from beadwright.plant.worked_words import told_all
from beadwright.units import System

__all__ = ["asked", "show"]

_SHORT = {"wrap": "bundle", "closed_trailer": "closed trailer", "hot_wire": "hot wire"}
_EACH_H = 3
"""Of the hours that are printed, every third; JSON has all."""


def asked(plant: Plant, room: str, ahead_h: int) -> PentaneScreen:
    """Give the screen, of one room where it is named."""
    screen = pentane_screen(plant.no, moment(plant), ahead_h=ahead_h)
    if not room:
        return screen
    some = tuple(one for one in screen.rooms if one.room == room)
    if not some:
        known = ", ".join(one.room for one in screen.rooms) or "none"
        message = f"no room of {plant.code} is called {room!r}; its rooms: {known}"
        raise Misuse(message)
    return replace(screen, rooms=some)


def show(plant: Plant, screen: PentaneScreen, *, why: bool, units: System, json: bool) -> None:
    """Print the screen."""
    if json:
        write_json(air_json(plant, screen))
        return
    page = Page()
    page.line(f"Pentane in the air of plant {plant.code}, {local(screen.at_ms, plant.zone)}")
    page.line(f"Caution. {screen.caution}")
    for one in screen.rooms:
        _room(page, one, (plant, screen.at_ms), units, why=why)
    if not screen.rooms:
        page.line("No room is set: of no air anything is known.")
    if screen.in_no_room:
        page.line()
        page.line(f"In no room that is set, and so unknown: {', '.join(screen.in_no_room)}")
    _fresh(page, screen.fresh, plant)


def _room(page: Page, one: RoomAnswer, at: tuple[Plant, int], units: System, *, why: bool) -> None:
    plant, at_ms = at
    said = room_words(one, at_ms, lambda ms: local(ms, plant.zone))
    page.heading(f"Room {one.room}: {said.state}")
    for text in (said.answer, said.fan, said.still, said.limits):
        if text:
            page.line(text, indent=2)
    rows = [_row(it, plant, units) for it in one.hours if not it.past][::_EACH_H]
    page.table(("!hour from", "!given off>", "!air needed>", "!share of the limit>"), rows)
    page.line(f"Every {_EACH_H}rd hour to come; air needed is rounded up from the high end.", 2)
    for giver in (it for it in one.givers if it.mg or it.missing):
        mass = whole_mass(giver.mg, units)
        page.item(f"{giver.name}, {mass}" + "".join(f"; missing: {it}" for it in giver.missing))
    if why:
        for title, lines in ((one.room, one.lines), *((g.name, g.lines) for g in one.givers)):
            _why(page, title, lines, units)
    page.line(f"Not counted: {'; '.join(one.not_counted)}.", indent=2)


def _row(hour: Hour, plant: Plant, units: System) -> tuple[str, str, str, str]:
    return (
        local(hour.from_ms, plant.zone),
        given_off(hour.given_off_kg_s, units),
        UNKNOWN if hour.needed_m3_s is None else air(hour.needed_m3_s.high, units),
        UNKNOWN if hour.limit_share is None else share(hour.limit_share),
    )


def _why(page: Page, title: str, lines: tuple[Line, ...], units: System) -> None:
    for one in told_all(lines, units):
        band = f" ({one.band})" if one.band else ""
        made_of(page, one, f"{title}, {one.title}: {one.value}{band};")


def _fresh(page: Page, fresh: FreshBlocks, plant: Plant) -> None:
    page.heading("Fresh blocks")
    page.line(f"Caution. {fresh.caution}", indent=2)
    for gate in fresh.gates:
        least = "not set: unknown" if gate.min_h is None else f"{gate.min_h:g} h"
        page.item(f"before blocks are {gate.done}: {least}")
    rows = [
        (
            one.code, one.product, str(one.pieces), one.place, f"{one.age_h:.1f} h",
            *(_from(gate.min_h, at, fresh.at_ms, plant) for gate, at in
              zip(fresh.gates, one.from_ms, strict=True)),
        )
        for one in fresh.lots
    ]  # fmt: skip
    names = (f"!{_SHORT.get(gate.name, gate.done)}" for gate in fresh.gates)
    page.table(("!lot", "!product", "!pieces>", "place", "!age>", *names), rows)
    page.line(
        f"Older than {fresh.younger_than_h:g} h: {number(fresh.older_pieces, 'block')}."
        " Age alone lets nothing leave: see `beadwright assess`.",
        indent=2,
    )
    if fresh.no_age:
        page.line(f"Of unknown age, so too young: {', '.join(fresh.no_age)}", indent=2)


def _from(min_h: float | None, from_ms: int | None, at_ms: int, plant: Plant) -> str:
    if min_h is None:
        return UNKNOWN
    if from_ms is None:
        return "bundled"
    return "age reached" if from_ms <= at_ms else f"from {local(from_ms, plant.zone)[5:]}"
