"""What the page of a press shows: its state in words, in the units and the time of the reader.

Read :func:`page`.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass, replace

from beadwright.plant.duties import Duties
from beadwright.plant.named import Named
from beadwright.plant.opening import Plant
from beadwright.plant.press_draws import Carton, Source
from beadwright.plant.pressing import Pressing
from beadwright.plant.runs import LONG_H
from beadwright.plant.words import code_words, number
from beadwright.units import System
from beadwright.web.stations.clock import Clock
from beadwright.web.stations.press.acts import Act
from beadwright.web.stations.press.measured import Measured, measured
from beadwright.web.stations.sheet import Doing

__all__ = ["Drawn", "Figure", "First", "Other", "PressPage", "page"]

_FIRST = {"dimensions": "size"}


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure with where it comes from."""

    label: str
    value: str
    unit: str = ""
    why: str = ""


@dataclass(frozen=True, slots=True)
class Drawn:
    """A place or a carton as its plate."""

    code: str
    sort: str
    state: str
    lines: tuple[str, ...]
    why_not: str
    to: str


@dataclass(frozen=True, slots=True)
class Other:
    """What may, or may not, be drawn of next."""

    code: str
    may: bool
    says: str


@dataclass(frozen=True, slots=True)
class First:
    """How the first piece stands."""

    sort: str
    what: str
    remedy: str = ""


@dataclass(frozen=True, slots=True)
class PressPage:
    """A press as it is shown."""

    press: str
    at_ms: int
    running: bool
    sort: str
    state: str
    title: str
    product: str
    mould: str
    made: str
    lot: str
    held: tuple[str, ...]
    lifts: str
    """Whom a hold waits for."""
    asks: tuple[str, ...]
    """What is to be looked to: a count that is due, a run that was forgotten."""
    first: First | None
    doing: tuple[Doing, ...]
    counts: tuple[Figure, ...]
    silo: Drawn | None
    carton: Drawn | None
    silos: tuple[Other, ...]
    cartons: tuple[Other, ...]
    next: str
    measured: Measured
    scrap: tuple[tuple[str, str], ...]
    stood: tuple[tuple[str, str], ...]
    duties: Duties
    scrap_columns: tuple[str, ...] = ("why", "how many")
    stood_columns: tuple[str, ...] = ("why", "how long")
    print: str = ""
    """Of all that is shown but the time: the same print, the same page."""


def page(
    press: Pressing, acts: tuple[Act, ...], duties: Duties, shown: tuple[System, Plant]
) -> PressPage:
    """Give what is shown of a press to somebody of a role."""
    system, zone = shown[0], shown[1].zone
    clock = Clock(press.at_ms, zone)
    product = press.product
    running = press.run is not None
    found = PressPage(
        press=press.press,
        at_ms=press.at_ms,
        running=running,
        sort="good" if running else "note",
        state="run open" if running else "no run is open",
        title="" if product is None else product.title,
        product="" if product is None else product.name,
        mould=_mould(press),
        made=press.made,
        lot=press.lot,
        held=tuple(code_words(one.partition(":")[0]) for one in press.held),
        lifts=duties.whom("concession") or "you",
        asks=tuple(_asks(press, clock)),
        first=_first(press, duties, clock, Named.of(shown[1])),
        doing=tuple(_doing(one, press) for one in acts if one.name != "start"),
        counts=tuple(_counts(press, clock)),
        silo=None if press.draws.now is None else _silo(press.draws.now, clock),
        carton=None if press.draws.carton is None else _carton(press.draws.carton, clock),
        silos=tuple(_silos(press, clock)),
        cartons=tuple(_cartons(press)),
        next="" if press.draws.next is None else _next(press),
        measured=measured(press, system, clock),
        scrap=tuple((cause, number(pieces, "block")) for cause, pieces in press.tally.causes),
        stood=tuple((cause, f"{minutes} min") for cause, minutes in press.tally.stood),
        duties=duties,
    )
    lasting = repr(replace(found, at_ms=0)).encode()
    return replace(found, print=hashlib.sha256(lasting).hexdigest()[:16])


def _doing(act: Act, press: Pressing) -> Doing:
    title, says, draws = act.title, act.says, press.draws
    if act.name == "hopper":
        title = f"Fill {draws.hopper}"
    elif act.name == "silo":
        says = f"next: {draws.change_to}" if draws.change_to else "none is ready"
    elif act.name == "carton":
        says = f"next: {draws.next_carton}" if draws.next_carton else "no other is there"
    elif act.name == "end":
        says = f"run {press.made}"
    now = act.name == "first" or (act.name == "count" and press.tally.due)
    to = f"/stations/press/{press.press}/?do={act.name}"
    return Doing(to, title, says, f"do-{act.name}", now)


def _mould(press: Pressing) -> str:
    mould = press.mould
    if not mould.name:
        return ""
    cavities = number(mould.cavities, "cavity")
    return f"{mould.name}, {cavities if mould.is_set else 'taken as one cavity'}"


def _asks(press: Pressing, clock: Clock) -> Iterator[str]:
    run = press.run
    if run is not None and press.tally.due:
        yield f"A count is due: nothing was counted since {clock(press.tally.since_ms)}."
    if run is not None and run.long(press.at_ms):
        yield f"Run {run.code} is open for more than {LONG_H} h: end it if it was forgotten."
    if press.others:
        yield f"Open here as well, and likely forgotten: {', '.join(press.others)}."


def _first(press: Pressing, duties: Duties, clock: Clock, named: Named) -> First | None:
    first = press.first
    if not first.after:
        return None
    if first.signed_ms is not None:
        by = f" by {named.name(first.by) or first.by}" if first.by else ""
        return First("good", f"First piece signed {clock(first.signed_ms)}{by}")
    bad = f" Not ok: {', '.join(_named(one) for one in first.refused)}." if first.refused else ""
    good = f" {number(first.good, 'block')} were counted good already." if first.good else ""
    missing = ", ".join(_named(one) for one in first.missing)
    whom = duties.whom("first_piece")
    remedy = f"Missing: {missing}.{bad}{good}"
    if whom:
        remedy = f"{remedy} It waits for {whom}."
    what = f"First piece not signed, after {first.words}: what is made now is scrap until it is."
    return First("may_not", what, remedy)


def _named(name: str) -> str:
    return _FIRST.get(name, name)


def _counts(press: Pressing, clock: Clock) -> Iterator[Figure]:
    tally = press.tally
    if not press.made and press.run is None:
        return
    last = tally.counts[0] if tally.counts else None
    yield Figure("Good", str(tally.good))
    yield Figure("Scrap", str(tally.scrap))
    yield Figure("Shots", str(tally.shots))
    if last is None:
        yield Figure("Last count", "none", f"open since {clock(tally.since_ms)}")
    elif press.run is not None:
        more = f"{number(tally.scrap_apart, 'block')} scrapped since" if tally.scrap_apart else ""
        yield Figure("Last count", clock(tally.since_ms), more)
    else:
        yield Figure("Last count", clock(tally.since_ms))


_FLAME = {"yes": "flame retardant", "no": "NO flame retardant"}


def _silo(source: Source, clock: Clock) -> Drawn:
    silo = source.silo
    grades = " + ".join(filter(None, (grade.name for grade in silo.grades)))
    retardant = {grade.flame_retardant for grade in silo.grades} & _FLAME.keys()
    said = ", ".join(_FLAME[one] for one in retardant)
    if len(retardant) > 1:
        said = "some with NO flame retardant"
    lines = [f"{grades}{', ' if said else ''}{said}" if grades else "no beads in it by the books"]
    if silo.oldest_h is not None and silo.youngest_h is not None:
        low, high = f"{silo.youngest_h:.0f}", f"{silo.oldest_h:.0f}"
        lines.append(f"{low} h old" if low == high else f"{low} to {high} h old")
    if silo.ready_ms is not None:
        lines.append(f"ready from {clock(silo.ready_ms)}, use by {clock(silo.use_by_ms)}")
    if source.blocks:
        lines.append(f"enough for about {number(source.blocks, 'block')}, by the books")
    return _drawn(silo.place, source.may, source.why_not, tuple(lines))


def _carton(one: Carton, clock: Clock) -> Drawn:
    lines = [" + ".join(one.grades), f"{one.pieces} ties, enough for {number(one.blocks, 'block')}"]
    if one.since_ms is not None:
        lines.append(f"came {clock(one.since_ms)}")
    drawn = _drawn(one.code, one.may, one.why_not, tuple(lines))
    return replace(drawn, state="may be used" if one.may else "may not be used")


def _drawn(code: str, may: bool, why_not: tuple[str, ...], lines: tuple[str, ...]) -> Drawn:  # noqa: FBT001
    sort, state = ("good", "may be drawn of") if may else ("stop", "may not be drawn of")
    return Drawn(code, sort, state, lines, "; ".join(why_not), f"/lots/{code}/")


def _silos(press: Pressing, clock: Clock) -> Iterator[Other]:
    """Say of each other silo whether it may be drawn of, and why not."""
    draws = press.draws
    here = draws.now.place if draws.now is not None else ""
    for one in draws.places:
        if one.place == here:
            continue
        grades = " + ".join(grade.name for grade in one.silo.grades)
        way = "" if one.direct or not draws.hopper else f", by {draws.hopper}"
        ready = one.silo.ready_ms
        fresh = ready is not None and "too_fresh" in one.silo.states
        soon = f"; ready from {clock(ready)}" if fresh else ""
        says = f"{grades}{way}, about {number(one.blocks, 'block')}"
        yield Other(one.place, one.may, says if one.may else f"{'; '.join(one.why_not)}{soon}")


def _cartons(press: Pressing) -> Iterator[Other]:
    """Say of the next cartons whether they may be used, and why not."""
    for box in press.draws.cartons:
        says = f"{' + '.join(box.grades)}, {box.pieces} ties"
        yield Other(box.code, box.may, says if box.may else "; ".join(box.why_not))


def _next(press: Pressing) -> str:
    told = press.draws.next
    if told is None:
        return ""
    here = press.draws.now.place if press.draws.now is not None else ""
    if told.place and told.place == here:
        return f"{told.place} is the one to go on with, {told.why}"
    return f"{told.place}: {told.why}" if told.place else told.why
