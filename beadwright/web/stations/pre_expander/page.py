"""How a pre-expander stands, in words and in the reader's units.

Read :func:`stand`.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from dataclasses import dataclass, replace
from zoneinfo import ZoneInfo

from beadwright.charts import cups as drawn_cups
from beadwright.charts import vessel
from beadwright.charts.vessel import Vessel
from beadwright.plant.expanding import Expanding, Filling
from beadwright.plant.figures import mass, whole_mass
from beadwright.plant.steering import Steering
from beadwright.units import System
from beadwright.web.stations.pre_expander.advice import Advised, LastCup, advised, last_cup
from beadwright.web.stations.pre_expander.cups import picture
from beadwright.web.stations.pre_expander.entries import Line, lines
from beadwright.web.stations.pre_expander.words import clock, target, unit_of, weighed

__all__ = ["AimLine", "BagShown", "SiloShown", "Stand", "stand"]

_HOUR_MS = 3_600_000
_DAY_H = 48
_FEW = 3


@dataclass(frozen=True, slots=True)
class AimLine:
    """A target of one place of cups."""

    where: str
    figure: str
    here: bool
    """Whether it is that of the last cup."""
    weighs: str
    """What the balance shows of a cup that is so; empty where it shows density itself."""


@dataclass(frozen=True, slots=True)
class SiloShown:
    """The silo that is filled."""

    place: str
    svg: str
    figure: str
    says: str
    sort: str
    state: str
    why: str
    """Why it is held."""


@dataclass(frozen=True, slots=True)
class BagShown:
    """The bag that is in."""

    code: str
    says: str
    held: bool


@dataclass(frozen=True, slots=True)
class Stand:
    """What stands on the page of a pre-expander, top to bottom."""

    place: str
    is_open: bool
    run: str
    aims: tuple[AimLine, ...]
    whose: str
    """Whose the targets are."""
    unit: str
    last: LastCup | None
    advised: Advised
    silo: SiloShown | None
    bag: BagShown | None
    svg: str
    words: str
    drawn: int
    lines: tuple[Line, ...]
    at_ms: int
    print: str = ""
    """Of all that is shown but the time: the same print, the same page."""


def stand(
    found: Expanding,
    steered: Steering,
    shown_in: tuple[System, ZoneInfo],
    name: Callable[[str], str],
) -> Stand:
    """Put how a pre-expander stands into words."""
    units, zone = shown_in
    last = found.cups[-1] if found.cups else None
    drawing = drawn_cups.draw(picture(found, units, zone))
    shown = Stand(
        found.place,
        found.run is not None,
        _run(found, units, zone),
        tuple(
            AimLine(
                where,
                target(aim, units),
                last is not None and last.where == where,
                weighed(aim, found.cup_volume) if found.cup_shows == "mass" else "",
            )
            for where, aim in found.aims.by_place.items()
            if where != "hopper"
        ),
        _whose(found),
        unit_of(units),
        last_cup(last, found.at_ms, units, zone),
        advised(found, steered, units),
        _silo(found.filling, units),
        _bag(found, units, zone),
        drawing.svg,
        drawing.words,
        len(found.cups),
        lines(found, units, name),
        found.at_ms,
    )
    whole = repr(replace(shown, at_ms=0)).encode()
    return replace(shown, print=hashlib.sha256(whole).hexdigest()[:16])


def _run(found: Expanding, units: System, zone: ZoneInfo) -> str:
    product = f" for {found.product}" if found.product else ""
    if found.run is not None:
        one = found.run
        since = clock(one.opened_ms, found.at_ms, zone)
        held = f"; {mass(one.mg, units)} of beads in it" if one.mg else ""
        late = ". Open for more than 16 hours: is it over?" if one.long(found.at_ms) else ""
        return (
            f"Run {one.code}{product} into {one.facts.get('silo', '')}, since {since}{held}{late}"
        )
    if found.last is None:
        return "No run is open, and none was recorded here for two weeks"
    one_ = found.last
    into = one_.facts.get("silo") or (found.filling.silo.place if found.filling else "")
    ended = clock(one_.at_ms, found.at_ms, zone)
    return f"No run is open. Last: {one_.run}{product} into {into}, until {ended}"


def _whose(found: Expanding) -> str:
    """Say whose target it is, or why there is none."""
    if found.aims.unclear:
        names = ", ".join(found.aims.unclear)
        return f"{names} have different targets, and the run does not say for which it is"
    products = next((one.products for one in found.aims.by_place.values()), ())
    if not products:
        return f"no target is set: [cup.{found.product or 'PRODUCT'}] in plant.toml"
    more = len(products) - _FEW
    named = ", ".join(products[:_FEW]) + (f" and {more} more" if more > 0 else "")
    return f"as set for {named}"


def _silo(one: Filling | None, units: System) -> SiloShown | None:
    if one is None:
        return None
    silo = one.silo
    low, high = silo.band.low_mg, silo.band.high_mg + one.coming_mg
    most = one.capacity_mg or max(1, high)
    shares = (silo.mg / most, low / most, high / most)
    says = _filled(one, units)
    title = f"How full {silo.place} is"
    held = "held" in silo.states
    drawing = vessel.draw(Vessel("stand-silo", title, f"{silo.place}: {says}", *shares, held=held))
    figure = whole_mass(silo.mg, units)
    sort = "stop" if held else "note"
    why = "; ".join(silo.why_held)
    return SiloShown(silo.place, drawing.svg, figure, says, sort, silo.words, why)


def _filled(one: Filling, units: System) -> str:
    """Say what is in a silo by the books, what may be in it already, and when it is full."""
    silo = one.silo
    grades = ", ".join(each.name for each in silo.grades)
    said = "empty by the books."
    if silo.mg:
        low, high = (whole_mass(mg, units) for mg in (silo.band.low_mg, silo.band.high_mg))
        said = f"{low} to {high} of {grades or 'beads'} by the books."
    if one.coming_mg:
        said += f" This run brings {whole_mass(one.coming_mg, units)}."
    if one.capacity_mg:
        said += f" Full at {whole_mass(one.capacity_mg, units)}."
        if silo.mg > one.capacity_mg:
            said += " By the books it holds more than that."
        elif silo.mg + one.coming_mg > one.capacity_mg:
            said += " Not all of it will go in."
    return said


def _bag(found: Expanding, units: System, zone: ZoneInfo) -> BagShown | None:
    one, at_ms = found.bag, found.at_ms
    if one is None:
        return None
    parts = [", ".join(one.grades) or "grade not known"]
    if one.received_ms is not None:
        parts.append(f"{_age((at_ms - one.received_ms) / _HOUR_MS)} in the plant")
    parts.append(f"opened {clock(one.opened_ms, at_ms, zone)}")
    taken = "counted as all in the run until it comes off" if found.run else "all of it taken"
    parts.append(f"{mass(one.mg, units)} left" if one.mg else taken)
    return BagShown(one.code, ", ".join(parts), one.held)


def _age(hours: float) -> str:
    return f"{hours:.0f} h" if hours < _DAY_H else f"{hours / 24:.0f} days"
