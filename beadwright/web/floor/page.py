"""What the floor's page shows: the drawing, what is held and why, what waits for whom.

Read :func:`page`.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from urllib.parse import quote

from django.urls import Resolver404, resolve

from beadwright.charts.stages import draw
from beadwright.charts.svg import Drawing
from beadwright.plant.access import Role
from beadwright.plant.floor import Floor, Wait
from beadwright.plant.masses_said import masses_in
from beadwright.plant.words import capital, in_runs, number
from beadwright.units import System
from beadwright.web.access import may_see
from beadwright.web.floor.picture import picture
from beadwright.web.holds.page import reach as reach_words

__all__ = ["FloorPage", "HeldLine", "Link", "WaitLine", "page"]

_FIRST_HELD = 3
"""Lines of what is held that stand above the drawing; the others stand below it."""

_FIRST_LOTS = 12
"""Lots that are linked in a line of what waits; the others are told by their number."""


@dataclass(frozen=True, slots=True)
class Link:
    """A way to a page."""

    to: str
    words: str


@dataclass(frozen=True, slots=True)
class HeldLine:
    """One thing that is held: what holds it, why, and what it reaches."""

    what: str
    why: str
    reach: str
    to: str


@dataclass(frozen=True, slots=True)
class WaitLine:
    """What waits for whom, with ways there."""

    who: str
    what: str
    links: tuple[Link, ...]
    more: int
    """Lots beyond those linked."""


@dataclass(frozen=True, slots=True)
class FloorPage:
    """The floor."""

    at_ms: int
    wide: Drawing
    tall: Drawing
    held: tuple[HeldLine, ...]
    """The first of what is held."""
    also_held: tuple[HeldLine, ...]
    waits: tuple[WaitLine, ...]
    print: str
    """Of all that is shown but the time: the same print, the same page."""

    @property
    def all_held(self) -> int:
        """How many lines of what is held there are."""
        return len(self.held) + len(self.also_held)


def page(floor: Floor, units: System, role: Role | None) -> FloorPage:
    """Give what is shown of a floor to a role: with ways to pages that are for it."""
    way = partial(_way, role)
    held = tuple(_held(floor, units))
    waits = tuple(map(_wait, floor.waits))
    wide, tall = (draw(picture(floor, units, look, way)) for look in ("wide", "tall"))
    shown = repr((wide.svg, tall.svg, held, waits))
    return FloorPage(
        floor.at_ms,
        wide,
        tall,
        held[:_FIRST_HELD],
        held[_FIRST_HELD:],
        waits,
        hashlib.sha256(shown.encode()).hexdigest()[:16],
    )


def _way(role: Role | None, to: str) -> str:
    """Give an address again if a page is there, and is for a role."""
    try:
        view = resolve(to.partition("#")[0]).func
    except Resolver404:
        return ""
    return to if may_see(view, role) else ""


def _held(floor: Floor, units: System) -> Iterator[HeldLine]:
    """Tell each hold, then each place and lot that a nonconformity holds."""
    told = {f"hold:{hold.hold}" for hold in floor.holds}
    for hold in floor.holds:
        reach = f"on {in_runs(hold.named)}: {reach_words(hold.reach, units)}"
        yield HeldLine(hold.hold, hold.reason, reach, f"/holds/{quote(hold.hold)}/")
    for silo in floor.silos:
        for finding in silo.findings:
            to = f"/silos/#{quote(silo.place)}"
            yield HeldLine(silo.place, finding.words, masses_in(finding.detail, units), to)
    for group in floor.lots:
        if group.stand == "held" and group.cause not in told:
            reach = f"{number(len(group.lots), 'lot')}, {number(group.pieces, 'block')}"
            to = f"/lots/{quote(group.lots[0])}/"
            yield HeldLine(in_runs(group.lots), masses_in(group.why, units), reach, to)


def _wait(one: Wait) -> WaitLine:
    links = [Link(f"/silos/#{quote(place)}", place) for place in one.places]
    links += [Link(f"/lots/{quote(code)}/", code) for code in _some(one.lots)]
    links += [Link(f"/holds/{quote(hold)}/", hold) for hold in _some(one.holds)]
    if not links:  # nonconformities, told by their number
        links.append(Link("/holds/", "what is held"))
    who = capital(one.who)
    return WaitLine(who, one.what, tuple(links), max(0, len(one.lots) - _FIRST_LOTS))


def _some(lots: Sequence[str]) -> Sequence[str]:
    return lots[:_FIRST_LOTS]
