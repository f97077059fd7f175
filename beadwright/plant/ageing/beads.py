"""What the estimate of one grade in one silo rests on: a sheet, every number a line.

Read :func:`sheet_of`.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import cast

from beadwright.ledger.settings import Settings
from beadwright.plant.ageing import formulas
from beadwright.plant.ageing.formulas import per_dry
from beadwright.plant.ageing.mesh import SIZE_SPREAD, Mesh
from beadwright.plant.ageing.probe import Probe
from beadwright.plant.bead_lines import half, put_density, put_size
from beadwright.plant.giving_off import Asked
from beadwright.plant.physical import physical
from beadwright.plant.silo import Silo
from beadwright.plant.usual import FILLED_KELVIN, KEPT, ROOM_KELVIN
from beadwright.plant.worked import Origin, Working, origin_of
from beadwright.science.ageing import (
    AIR_ACTIVATION,
    ENOUGH_AIR,
    LEAST_PENTANE,
    NITROGEN,
    PENTANE_ACTIVATION,
    PENTANE_DIFFUSIVITY,
    PENTANE_SPREAD,
    PERMEABILITY_SPREAD,
    Posterior,
    core_temperature,
)
from beadwright.science.trust import NINE_IN_TEN, Parameter
from beadwright.units import Kind

__all__ = ["Known", "put_filled", "put_pace", "put_room", "put_window", "room_of", "sheet_of"]


@dataclass(frozen=True, slots=True)
class Known:
    """What was read of a silo besides its beads."""

    settings: Settings
    at_ms: int
    bulk: tuple[float | None, Origin, str]
    probe: Probe | None
    room: str
    """The room that lists it; empty: none does."""


def sheet_of(silo: Silo, grade: str, known: Known, mesh: Mesh | None) -> Working:
    """Put every number of a grade's estimate in a silo, down to ``ready`` and ``stale``."""
    sheet = Working()
    _put_beads(sheet, grade, known)
    _put_warmth(sheet, silo, known)
    put_pace(sheet, mesh)
    put_window(sheet, known.probe)
    return sheet


def put_window(
    sheet: Working, probe: Probe | None = None, tell: Callable[[str], str] = str
) -> None:
    """Put both ends of the window, of lines that are there; ``tell`` words the titles."""
    fresh = {
        "bead_kg_m3": "bead_density", "radius_m": "bead_radius", "size_spread": "size_spread",
        "room_k": "room", "air_pace": "air_pace",
        "air_activation": "air_activation", "enough_air": "enough_air",
    }  # fmt: skip
    title: tuple[str, Kind | str] = (tell("enough air in, after the last bead"), "duration")
    sheet.work("ready", title, formulas.ready_age, fresh)
    old = {
        "bead_kg_m3": "bead_density", "radius_m": "bead_radius", "size_spread": "size_spread",
        "pentane_per_dry": "pentane_filled", "room_k": "room", "bag_radius_m": "silo_radius",
        "pentane_m2_s": "pentane_pace", "pentane_activation": "pentane_activation",
        "least_pentane": "least_pentane",
    }  # fmt: skip
    title = (tell("too little pentane, after the first bead"), "duration")
    if probe is None:
        sheet.work("stale", title, formulas.stale_age, {**old, "filled_k": "filled"})
    else:
        stale = formulas.probed_stale_age(probe)
        sheet.work("stale", title, stale, {**old, "probe_k": "probe"})


def _put_beads(sheet: Working, grade: str, known: Known) -> None:
    said: tuple[Origin, str] = ("set", f"grade {grade}")

    def of_grade(key: str) -> float | None:
        return physical(known.settings, "grade", grade, key, known.at_ms)

    wet = ("pentane in the raw bead, per wet bead", "fraction")
    sheet.given("pentane_wet", wet, of_grade("pentane"), said)
    sheet.default("kept", ("share of it kept in pre-expansion", "fraction"), KEPT)
    filled = ("pentane as it came in, per dry polymer", "fraction")
    sheet.work(
        "pentane_filled", filled, per_dry, {"pentane_per_wet": "pentane_wet", "kept": "kept"}
    )
    sheet.given("raw_size", ("size of the raw bead", "length"), of_grade("raw_size"), said)
    value, origin, source = known.bulk
    sheet.given("bulk_density", ("bulk density", "density"), value, (origin, source))
    put_size(sheet)
    put_density(sheet)


def _put_warmth(sheet: Working, silo: Silo, known: Known) -> None:
    """Put how warm the skin and the middle are: by a probe, else by room and conduction."""
    asked = (known.settings, known.at_ms)
    put_room(sheet, known.room, asked)
    across = physical(known.settings, "place", silo.place, "across", known.at_ms)
    of_silo: tuple[Origin, str] = ("set", f"place {silo.place}")
    sheet.given("silo_across", ("width of the silo", "length"), across, of_silo)
    sheet.work("silo_radius", ("half the width", "length"), half, {"of": "silo_across"})
    if known.probe is not None:
        count = len(known.probe.kelvin)
        then = "then it cools by conduction alone"
        source = f"probe in {silo.place}, newest of {count} since its first bead; {then}"
        title = ("temperature in the middle, by the probe", "temperature")
        sheet.given("probe", title, known.probe.kelvin[-1], ("measured", source))
        return
    put_filled(sheet, silo.place, asked)
    age_s = 0.0 if silo.first_ms is None else max(0, known.at_ms - silo.first_ms) / 1000
    parts: dict[str, str | float] = {
        "time_s": age_s, "radius_m": "silo_radius", "start_k": "filled", "room_k": "room",
    }  # fmt: skip
    core = ("temperature in the middle, by now", "temperature")
    sheet.work("core", core, core_temperature, parts)


def put_room(sheet: Working, room: str, asked: Asked, tell: Callable[[str], str] = str) -> None:
    """Put the temperature of a room, or that of halls where it is not set."""
    value = physical(asked[0], "room", room, "temperature", asked[1]) if room else None
    title = tell("temperature of the hall")
    _set_or_usual(sheet, ("room", title), value, (ROOM_KELVIN, f"room {room}"))


def put_filled(sheet: Working, place: str, asked: Asked, tell: Callable[[str], str] = str) -> None:
    """Put how warm beads come into a silo, or what is usual where it is not set."""
    value = physical(asked[0], "place", place, "filled", asked[1]) if place else None
    title = tell("temperature of beads as they come in")
    _set_or_usual(sheet, ("filled", title), value, (FILLED_KELVIN, f"place {place}"))


def room_of(place: str, asked: Asked) -> str:
    """Give the room that lists a place; empty where none does."""
    for name, body in asked[0].all("room", asked[1]):
        if place in cast("Sequence[str]", body.get("places", ())):
            return name
    return ""


def _set_or_usual(
    sheet: Working, line: tuple[str, str], value: float | None, usual: tuple[Parameter, str]
) -> None:
    (key, title), (parameter, source) = line, usual
    if value is None:
        sheet.default(key, (title, "temperature"), parameter)
    else:
        sheet.given(key, (title, "temperature"), value, ("set", source))


def put_pace(sheet: Working, mesh: Mesh | None, tell: Callable[[str], str] = str) -> None:
    """Put how fast gas passes and what is enough: measured where a mesh sample told it."""
    practice: tuple[Origin, str] = ("memory", "by mass, log-normal; common practice, no source")
    title = (tell("spread of bead sizes"), "fraction")
    sheet.given("size_spread", title, SIZE_SPREAD, practice)
    told = None if mesh is None or mesh.pentane is None or not mesh.pentane.told else mesh.pentane
    reference = (tell("diffusivity of pentane at 23 °C"), "m^2/s")
    default = (PENTANE_DIFFUSIVITY.value, PENTANE_SPREAD, PENTANE_DIFFUSIVITY)
    _put_told(sheet, ("pentane_pace", reference), told, default, mesh)
    told = None if mesh is None or mesh.air is None or not mesh.air.told else mesh.air
    pace = (tell("pace of air into a bead, of the published"), "1")
    _put_told(sheet, ("air_pace", pace), told, (1.0, PERMEABILITY_SPREAD, NITROGEN), mesh)
    for key, words, energy in (
        ("air_activation", "activation energy of air's pace", AIR_ACTIVATION),
        ("pentane_activation", "activation energy of pentane's diffusivity", PENTANE_ACTIVATION),
    ):
        sheet.default(key, (tell(words), "J/mol"), energy)
    for key, words, limit in (
        ("enough_air", "air that is enough, of the air outside", ENOUGH_AIR),
        ("least_pentane", "least pentane, per dry polymer", LEAST_PENTANE),
    ):
        source = f"{limit.source}; {100 * limit.low:g} to {100 * limit.high:g} % are in use"
        sheet.given(key, (tell(words), "fraction"), limit.value, ("memory", source))


def _put_told(
    sheet: Working,
    line: tuple[str, tuple[str, Kind | str]],
    told: Posterior | None,
    default: tuple[float, Parameter, Parameter],
    mesh: Mesh | None,
) -> None:
    key, title = line
    if told is not None and mesh is not None:
        sheet.given(key, title, told.value, ("measured", mesh.words), (told.low, told.high))
        return
    value, spread, parameter = default
    off = math.exp(NINE_IN_TEN * spread.value)
    far = f"how far off: {spread.source}"
    source = parameter.source if far in parameter.source else f"{parameter.source}; {far}"
    sheet.given(key, title, value, (origin_of(parameter), source), (value / off, value * off))
