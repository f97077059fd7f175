"""What the plain tests ask: density, size and shape, water, stability, oxygen index, pulls.

Read first: :data:`METHODS`; :func:`beadwright.lab.asked.departures` compares.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from types import MappingProxyType

from beadwright.lab.asked import MEMORY, READ, Condition, Method
from beadwright.lab.conditioning import Conditioning, specimens_asked

__all__ = ["METHODS"]

_ZERO_C = 273.15
_HOUR = 3600.0


def _hours(name: str, what: str, hours: tuple[float, float], source: str) -> Condition:
    low, high = (one * _HOUR for one in hours)
    return Condition(name, what, "duration", "h", low, high, source)


def _warmth(name: str, what: str, celsius: tuple[float, float], source: str) -> Condition:
    low, high = (one + _ZERO_C for one in celsius)
    return Condition(name, what, "temperature", "°C", low, high, source)


def _share(name: str, what: str, shares: tuple[float, float], source: str) -> Condition:
    return Condition(name, what, "fraction", "%", *shares, source)


_D618 = f"ASTM D618, procedure A, 40 h at 23 ± 2 °C and 50 ± 5 % {READ}"
_CONDITIONING = Conditioning(40, (21, 25), (0.45, 0.55), _D618).conditions
_EN = Conditioning(
    6, (18, 28), None, f"EN 822 to 825, 6 h or more at 23 ± 5 °C {MEMORY}"
).conditions
_OXYGEN_ROOM = Conditioning(
    88, (21, 25), (0.45, 0.55), f"ASTM D2863, 88 h at 23 ± 2 °C and 50 ± 5 % {MEMORY}"
)
_PLANT_DAY = _hours(
    "age", "the age", (24, math.inf), "a block is gauged a day old [common practice, no source]"
)


def _c578(specimens: int) -> tuple[Condition, ...]:
    return specimens_asked(specimens, f"ASTM C578, {specimens} or more {MEMORY}")


_DENSITY = Method("ASTM D1622", "20", "boards of ASTM C578", (*_CONDITIONING, *_c578(3)))

_WATER = Method("ASTM C272", "18", "boards of ASTM C578", (
    _hours("exposed", "the time of immersion", (23.5, 24.5), f"ASTM C272, 24 h {MEMORY}"),
    _warmth("exposed_at", "the temperature of the water", (20, 26),
            f"ASTM C272, 23 ± 3 °C {MEMORY}"),
    *_c578(3),
))  # fmt: skip

_WATER_28D = Method("EN 12087", "2013", "boards of EN 13163", (
    _hours("exposed", "the time of immersion", (28 * 24 - 12, 28 * 24 + 12),
           f"EN 12087, 28 d {MEMORY}"),
    _warmth("exposed_at", "the temperature of the water", (18, 28),
            f"EN 12087, 23 ± 5 °C {MEMORY}"),
    _hours("conditioned", "the time of conditioning", (6, math.inf),
           f"EN 12087, 6 h or more {MEMORY}"),
))  # fmt: skip

_STABILITY = Method("ASTM D2126", "20", "boards of ASTM C578", (
    _hours("exposed", "the time of exposure", (7 * 24 - 4, 7 * 24 + 4),
           f"ASTM C578, 7 d {MEMORY}"),
    *_CONDITIONING,
    *_c578(3),
))  # fmt: skip

_STABILITY_NORMAL = Method("EN 1603", "2013", "boards of EN 13163", (
    _warmth("exposed_at", "the temperature of exposure", (21, 25),
            f"EN 1603, 23 ± 2 °C {MEMORY}"),
    _share("exposed_humidity", "the humidity of exposure", (0.45, 0.55),
           f"EN 1603, 50 ± 5 % {MEMORY}"),
    *specimens_asked(3, f"EN 1603, three or more {MEMORY}"),
))  # fmt: skip

_STABILITY_70C = Method("EN 1604", "2013", "boards of EN 13163", (
    _hours("exposed", "the time of exposure", (47, 49), f"EN 1604, 48 ± 1 h {MEMORY}"),
    _warmth("exposed_at", "the temperature of exposure", (68, 72),
            f"EN 1604, 70 ± 2 °C {MEMORY}"),
    *specimens_asked(3, f"EN 1604, three or more {MEMORY}"),
))  # fmt: skip

_OXYGEN = Method("ASTM D2863", "19", "", (
    *_OXYGEN_ROOM.conditions,
    *specimens_asked(15, f"ASTM D2863, 15 to 30 bars {MEMORY}"),
))  # fmt: skip

_TENSION = Method("EN 1607", "2013", "boards of EN 13163", Conditioning(
    6, (18, 28), None, f"EN 1607, 6 h or more at 23 ± 5 °C {MEMORY}"
).conditions)  # fmt: skip
_SHAPE = Method("ASTM C550", "15", "", (_PLANT_DAY,))
_FLATNESS = Method("EN 825", "2013", "boards of EN 13163", _EN)
_FASTENER = Method("ASTM D1761", "20", "fasteners in a tie's flange", (
    _warmth("temperature", "the temperature of the room", (21, 25),
            "room temperature [common practice, no source]"),
    *specimens_asked(10, "ten pulls or more [common practice, no source]"),
))  # fmt: skip
_TIE = Method("", "", "a tie pulled out of its panels", (
    _PLANT_DAY,
    *specimens_asked(5, "five ties or more [common practice, no source]"),
))  # fmt: skip

_BREAK = Method("", "", "a face broken by hand", ())

METHODS: Mapping[str, Method] = MappingProxyType({
    "density": _DENSITY,
    "core_density": _DENSITY,
    "water_absorption": _WATER,
    "water_absorption_28d": _WATER_28D,
    "dimensional_stability": _STABILITY,
    "dimensional_stability_normal": _STABILITY_NORMAL,
    "dimensional_stability_70c": _STABILITY_70C,
    "oxygen_index": _OXYGEN,
    "tension_across_faces": _TENSION,
    "squareness": _SHAPE,
    "edge_trueness": _SHAPE,
    "face_trueness": _SHAPE,
    "flatness": _FLATNESS,
    "fastener_pull": _FASTENER,
    "tie_pull": _TIE,
    "fusion": _BREAK,
})  # fmt: skip
"""By characteristic. Figures from memory are shown as that; a limit is no part of them."""
