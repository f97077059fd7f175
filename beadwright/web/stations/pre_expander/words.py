"""Densities of cups and times of the day as they are said at a pre-expander.

A cup is told in g/L (the same number as kg/m3), or in lb/ft3.
"""

from __future__ import annotations

from datetime import datetime
from decimal import Decimal
from zoneinfo import ZoneInfo

from beadwright.plant.dead_band import Aim
from beadwright.units import System, from_si, to_si

__all__ = ["CUP_UNITS", "clock", "density", "digits_of", "figure", "target", "unit_of", "weighed"]

CUP_UNITS: dict[System, tuple[str, str, str, str]] = {
    "si": ("g/L", "g/L", "g", "L"),
    "us": ("lb/ft³", "lb/ft3", "lb", "ft3"),
}
"""How a density is shown, how it is written, and its mass and volume."""

_DIGITS: dict[System, int] = {"si": 1, "us": 2}


def unit_of(units: System) -> str:
    """Give the unit of a cup's density as it is shown."""
    return CUP_UNITS[units][0]


def digits_of(units: System) -> int:
    """Give the digits after the point of a cup's density."""
    return _DIGITS[units]


def density(kg_m3: float, units: System) -> float:
    """Give a density in the unit of a cup."""
    return float(from_si(Decimal(repr(kg_m3)), CUP_UNITS[units][1], "density"))


def figure(kg_m3: float, units: System) -> str:
    """Give a density as a figure without its unit."""
    return f"{density(kg_m3, units):.{_DIGITS[units]}f}"


def target(aim: Aim, units: System) -> str:
    """Give a target and its band, as ``23.4 ± 0.6``."""
    return f"{figure(aim.density_kg_m3, units)} ± {figure(aim.band_kg_m3, units)}"


def weighed(aim: Aim, cup_volume: str) -> str:
    """Give what the balance shows of a cup at its target, as ``234.0 ± 6.0 g in 10 L``.

    Empty where nothing is set of the cup.
    """
    number, _, unit = cup_volume.partition(" ")
    if not unit:
        return ""
    litres = float(to_si(Decimal(number), unit, "volume")) * 1000
    grams, band = aim.density_kg_m3 * litres, aim.band_kg_m3 * litres
    return f"{grams:.1f} ± {band:.1f} g in {cup_volume}"


def clock(ms: int, now_ms: int, zone: ZoneInfo) -> str:
    """Give a time of today as hours and minutes, of another day with its day and month."""
    there, now = (datetime.fromtimestamp(one / 1000, zone) for one in (ms, now_ms))
    return f"{there:%H:%M}" if there.date() == now.date() else f"{there.day} {there:%b %H:%M}"
