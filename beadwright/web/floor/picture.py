"""The floor as a drawing: from the answer of ``plant.floor`` to a spec of ``charts.stages``.

Read :func:`picture`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import Literal
from urllib.parse import quote

from beadwright.charts.stages import Mark, Stage, Stages, Stop
from beadwright.plant.figures import whole_mass
from beadwright.plant.floor import Floor, Standing
from beadwright.plant.floor_lots import STAND_WORDS, WHO_WORDS, LotGroup, LotStand, Who
from beadwright.plant.machines import Machine
from beadwright.plant.silo import STATE_WORDS, Silo, SiloState
from beadwright.plant.words import number
from beadwright.units import System

__all__ = ["Look", "Way", "age", "picture", "silo_mark"]

Look = Literal["wide", "tall"]
"""A screen that lies, and one that stands."""

Way = Callable[[str], str]
"""Gives an address again, or nothing where no page is there."""

_HOUR_MS, _MINUTE_MS, _LONG_H = 3_600_000, 60_000, 72
_BAD: frozenset[SiloState] = frozenset({"held", "too_old"})
_WARN: frozenset[SiloState] = frozenset({"mixed_grades", "near_end", "no_hours", "too_fresh"})
_SHORT: dict[SiloState, str] = {
    "mixed_grades": "mixed", "near_end": "near end", "no_hours": "no hours", "swept": "swept",
    "ran_empty": "empty",
}  # fmt: skip
_QUIET: frozenset[SiloState] = frozenset({"swept", "ran_empty", "empty"})


def picture(floor: Floor, units: System, look: Look, way: Way) -> Stages:
    """Give the plant as a drawing, for a screen that lies or stands."""
    tall = look == "tall"
    store = Stage("In store", "bag", tuple(_store(floor, units)), 3 if tall else 2, 1.0)
    expanders = Stage("Expanders", "machine", tuple(_expanders(floor, way)), 1, 1.0)
    silos = Stage("Silos and hoppers", "vessel", tuple(_silos(floor, units, way)), 6)
    presses = tuple(_presses(floor, units, way))
    machines = Stage("Presses", "machine", presses, max(1, len(presses)), 1.05)
    lots = Stage("Block lots", "plain", tuple(_lots(floor.lots, way)), 2, 1.3)
    out = Stage("Out and aside", "plain", tuple(_out(floor, units)), 2, 1.0 if tall else 1.15)
    rows: tuple[tuple[Stage, ...], ...] = ((store, expanders, silos), (machines, lots, out))
    if tall:
        rows = ((store, expanders), (silos,), (machines,), (lots, out))
    return Stages(f"floor-{look}", "The plant as it stands", rows, 780.0 if tall else 1240.0)


def age(ms: int) -> str:
    """Give an age as people say it: minutes, hours, days."""
    hours = ms / _HOUR_MS
    if hours < 1:
        return f"{max(0, ms) // _MINUTE_MS} min"
    return f"{hours:.0f} h" if hours < _LONG_H else f"{hours / 24:.0f} d"


def silo_mark(one: Silo) -> Mark:
    """Give a silo's worst state by shape and a short word."""
    state = one.state
    word = _SHORT.get(state, STATE_WORDS[state])
    if state in _BAD:
        return Mark("bad", word)
    if state in _WARN:
        return Mark("warn", word)
    if state == "filling":
        return Mark("busy", word)
    return Mark("quiet" if state in _QUIET else "good", word)


def _store(floor: Floor, units: System) -> Iterator[Stop]:
    for one in floor.beads:
        yield Stop(one.name, whole_mass(one.mg, units), (number(one.lots, "bag"),), _held(one))
    for one in floor.ties:
        lines = (number(one.lots, "carton"),)
        yield Stop(one.name, f"{one.pieces} ties", lines, _held(one))


def _held(one: Standing) -> Mark | None:
    return Mark("bad", f"{one.held} held") if one.held else None


def _expanders(floor: Floor, way: Way) -> Iterator[Stop]:
    for one in floor.expanders:
        last = one.last
        lines = () if last is None else (f"{last.run} → {last.into}".strip(),)
        if one.run is not None:
            lines = (f"{one.run.code} → {one.run.facts.get('silo', '')}".strip(),)
        href = way(f"/stations/pre-expander/{quote(one.place)}/")
        yield Stop(one.place, "", lines, _running(one, floor.at_ms), href=href)
    last = floor.elsewhere
    known = max((one.last.at_ms for one in floor.expanders if one.last is not None), default=0)
    if last is not None and last.at_ms > known:
        ago = f"{age(floor.at_ms - last.at_ms)} ago"
        said = (
            f"last expansion, on which expander is not recorded: {last.run} into {last.into}, {ago}"
        )
        yield Stop("Last run", "", (f"{last.run} into {last.into}".strip(), ago), said=said)


def _running(one: Machine, at_ms: int) -> Mark:
    if one.now:
        return Mark("busy", "running")
    if one.last is None:
        return Mark("quiet", "no entry")
    return Mark("quiet", f"{age(at_ms - one.last.at_ms)} ago")


def _silos(floor: Floor, units: System, way: Way) -> Iterator[Stop]:
    nexts: dict[str, list[str]] = {}
    for press in floor.presses:
        if press.next is not None and press.next.place:
            nexts.setdefault(press.next.place, []).append(press.place)
    most = max((one.in_mg for one in floor.silos if one.kind == "silo"), default=0)
    for one in sorted(floor.silos, key=lambda one: (one.kind != "silo", one.place)):
        lines: tuple[str, ...] = ()
        if not one.empty:
            grades = "+".join(grade.name for grade in one.grades)
            old = "" if one.oldest_h is None else f" {one.oldest_h:.0f} h"
            lines = (f"{grades}{old}",)
        if one.place in nexts:
            lines += (f"→ {' '.join(nexts[one.place])}",)
        href = way(f"/silos/#{quote(one.place)}")
        figure = "" if one.empty else whole_mass(one.mg, units)
        level = min(1.0, one.mg / most) if one.mg and most else None
        said = _silo_said(one, units, nexts.get(one.place, ()))
        yield Stop(one.place, figure, lines, silo_mark(one), level, href, said)


def _silo_said(one: Silo, units: System, nexts: Iterable[str]) -> str:
    if one.empty:
        return f"{one.place} {one.words}"
    grades = " and ".join(grade.name for grade in one.grades)
    old = "" if one.oldest_h is None else f", oldest {one.oldest_h:.0f} h"
    why = f" ({'; '.join(one.why_held)})" if one.why_held else ""
    use = "".join(f", next for {press}" for press in nexts)
    return f"{one.place} {whole_mass(one.mg, units)} of {grades}{old}, {one.words}{why}{use}"


def _presses(floor: Floor, units: System, way: Way) -> Iterator[Stop]:
    for one in floor.presses:
        product, lot = _makes(one)
        use = one.next
        lines: tuple[str, ...] = (lot,) if lot else ()
        if use is not None:
            lines += (f"next {use.place}" if use.place else "nothing ready",)
        href = way(f"/stations/press/{quote(one.place)}/")
        yield Stop(one.place, product, lines, _running(one, floor.at_ms), href=href)
    for some in floor.in_process:
        if some.lots:
            yield Stop("In process", whole_mass(some.mg, units), (some.name,), _held(some))


def _makes(one: Machine) -> tuple[str, str]:
    """Give product and lot of the run that is open at a press, else of what it made last."""
    if one.run is not None:
        return one.run.product, one.run.facts.get("lot", "")
    return ("", "") if one.last is None else (one.last.product, one.last.into)


_LOT_MARKS: dict[LotStand, Literal["good", "warn", "bad", "busy"]] = {
    "held": "bad",
    "may_not_ship": "bad",
    "pending": "warn",
    "to_release": "busy",
    "released": "good",
    "may_ship": "good",
}
_PARTS: dict[LotStand, str] = {
    "held": "stopped",
    "may_not_ship": "stopped",
    "pending": "asked",
    "to_release": "ready",
    "released": "leaving",
    "may_ship": "leaving",
}
"""The part of the release page that tells of them."""


def _lots(groups: Iterable[LotGroup], way: Way) -> Iterator[Stop]:
    """Give one box for all lots that stand alike, whatever holds them."""
    alike: dict[tuple[LotStand, Who], list[LotGroup]] = {}
    for group in groups:
        alike.setdefault((group.stand, group.who), []).append(group)
    for (stand, who), some in alike.items():
        whom = f": {WHO_WORDS[who]}" if stand == "pending" else ""
        mark = Mark(_LOT_MARKS[stand], f"{STAND_WORDS[stand]}{whom}")
        lots = number(sum(len(group.lots) for group in some), "lot")
        pieces = sum(group.pieces for group in some)
        yield Stop(lots, f"{pieces} blocks", (), mark, href=way(f"/release/#{_PARTS[stand]}"))


def _out(floor: Floor, units: System) -> Iterator[Stop]:
    bundles = sum(one.lots for one in floor.bundles)
    pieces = sum(one.pieces for one in floor.bundles)
    yield Stop("Bundles", f"{bundles}", (f"{pieces} pieces",))
    if floor.dock:
        yield Stop("Dock", number(sum(one.lots for one in floor.dock), "lot"))
    sent = sum(one.pieces for one in floor.shipped)
    lines = (number(len(floor.shipped), "shipment"),) if floor.shipped else ()
    yield Stop("Shipped", f"{sent} today", lines)
    scrap = sum(one.mg for one in floor.reclaim)
    yield Stop("Scrap", whole_mass(scrap, units))
