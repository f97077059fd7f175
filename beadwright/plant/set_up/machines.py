"""Silo and press: from when until when beads are fit to mould, and the least steam of a shot.

Read :func:`ageing` and :func:`moulding`. No machine takes a set point from these.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from beadwright.plant.ageing.beads import put_filled, put_pace, put_room, put_window, room_of
from beadwright.plant.ageing.mesh import telling
from beadwright.plant.bead_lines import half, put_radius
from beadwright.plant.set_up import formulas
from beadwright.plant.set_up.asked import Asked
from beadwright.plant.usual import DRYNESS
from beadwright.plant.words import capital
from beadwright.plant.worked import Origin, Working
from beadwright.science.moulding import shot_mass
from beadwright.science.steam import absolute_pressure, local_atmosphere, saturation_temperature
from beadwright.units import Kind

__all__ = ["ageing", "moulding"]


def ageing(sheet: Working, of: Asked) -> list[str]:
    """Put the hours that are signed, and those that the physics estimates."""
    signed = of.in_force.at("ageing", of.choice.grade, of.at_ms)
    signed = signed or of.in_force.at("ageing", "*", of.at_ms) or {}
    told: tuple[Origin, str] = ("set", "ageing hours, signed by an engineer")
    for key, words in (("min_h", "Signed: not before"), ("max_h", "Signed: not after")):
        hours = float(str(signed[key])) * 3600 if key in signed else None
        sheet.given(f"signed_{key}", (words, "duration"), hours, told)
    silo, across = _narrowest(of)
    asked = (of.in_force, of.at_ms)
    put_room(sheet, room_of(silo, asked), asked, capital)
    put_filled(sheet, silo, asked, capital)
    of_silo: tuple[Origin, str] = ("set", "the narrowest silo that takes the grade")
    sheet.given("silo_across", ("Width of the silo", "length"), across, of_silo)
    sheet.work("silo_radius", ("Half the width of the silo", "length"), half,
               {"of": "silo_across"})  # fmt: skip
    put_radius(sheet, capital)
    put_pace(sheet, telling(of.plant_no, of.choice.grade, asked), capital)
    put_window(sheet, tell=capital)
    return ["signed_min_h", "signed_max_h", "ready", "stale"]


def _narrowest(of: Asked) -> tuple[str, float | None]:
    """Give the narrowest silo that takes the grade, and its width."""
    widths = [
        (width, name)
        for name, body in of.in_force.all("place", of.at_ms)
        if body.get("kind") == "silo" and of.choice.grade in _texts(body.get("accepts"))
        if (width := of.physical("place", name, "across")) is not None
    ]
    width, name = min(widths, default=(None, ""))
    return name, width


def _texts(value: object) -> Sequence[str]:
    return [str(one) for one in value] if isinstance(value, list | tuple) else []


_TOOL: Mapping[str, tuple[str, Kind | str]] = {
    "steam": ("Steam at the mould, gauge", "pressure"),
    "tool_mass": ("Mass of the tool that is heated", "mass"),
    "tool_from": ("Temperature of the tool before steaming", "temperature"),
    "chest": ("Volume of the steam chests", "volume"),
    "purges": ("Times the chests are purged, beyond their filling", "1"),
}


def moulding(sheet: Working, of: Asked) -> list[str]:
    """Put the shot and the least steam it takes."""
    mould = of.choice.mould
    told: tuple[Origin, str] = ("set", f"mould {mould}")
    shot = {"density_kg_m3": "moulded_density", "foam_volume_m3": "foam_volume"}
    sheet.work("shot", ("Shot, dry beads of one cavity", "mass"), shot_mass, shot)
    for key, title in _TOOL.items():
        value = of.physical("mould", mould, key) if mould else None
        sheet.given(key, title, value, told)
    cavities = (of.in_force.at("mould", mould, of.at_ms) or {}).get("cavities", 1)
    sheet.given("cavities", ("Cavities of the mould", "pieces"), float(str(cavities)), told)
    _air(sheet, of)
    sheet.work(
        "steam_pressure", ("Steam at the mould, absolute", "pressure"), absolute_pressure,
        {"gauge_pa": "steam", "atmosphere_pa": "atmosphere"},
    )  # fmt: skip
    sheet.work(
        "steam_temperature", ("Temperature of that steam", "temperature"), saturation_temperature,
        {"pressure_pa": "steam_pressure"},
    )  # fmt: skip
    sheet.default("dryness", ("Share of the steam that is vapour", "1"), DRYNESS)
    parts: dict[str, str | float] = {
        "foam_kg": "shot", "cavities": "cavities", "pressure_pa": "steam_pressure",
        "dryness": "dryness", "tool_kg": "tool_mass", "tool_from_k": "tool_from",
        "chest_m3": "chest", "purges": "purges", "foam_from_k": "room",
    }  # fmt: skip
    sheet.work(
        "steam_least", ("Steam of a cycle, at least", "mass"), formulas.steam_of_cycle, parts
    )
    metered = of.physical("mould", mould, "metered_steam") if mould else None
    if metered is not None:
        told = ("measured", f"steam meter at {mould}")
        sheet.given("steam_metered", ("Steam of a cycle, metered", "mass"), metered, told)
    both = ["steam_least", *(["steam_metered"] if metered is not None else [])]
    return ["shot", "steam", "steam_pressure", "steam_temperature", *both]


def _air(sheet: Working, of: Asked) -> None:
    """Put the atmosphere outside: by the barometer where one was read, else by the altitude."""
    title = ("Atmosphere outside", "pressure")
    told: tuple[Origin, str] = ("measured", "barometer of the plant")
    read = of.physical("air", "outside", "barometer")
    if read is not None:
        sheet.given("atmosphere", title, read, told)
        return
    altitude = of.physical("air", "outside", "altitude")
    sheet.given("altitude", ("Altitude of the plant", "m"), altitude, ("set", "air outside"))
    sheet.work("atmosphere", title, local_atmosphere, {"altitude_m": "altitude"})
