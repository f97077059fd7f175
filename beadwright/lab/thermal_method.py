"""What a test of thermal conductivity asks, by its method and by the boards it is made for.

Read first: :data:`METHODS`; :func:`beadwright.lab.asked.departures` compares.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from types import MappingProxyType

from beadwright.lab.asked import MEMORY, READ, Condition, Method
from beadwright.lab.conditioning import Conditioning, specimens_asked

__all__ = ["METHODS"]

_F = 5 / 9
"""A degree of difference in °F, in K."""
_ZERO_C = 273.15


def _mean(low_k: float, high_k: float, unit: str, source: str) -> Condition:
    what = "the mean temperature"
    return Condition("mean_temperature", what, "temperature", unit, low_k, high_k, source)


def _difference(low_k: float, high_k: float, unit: str, source: str) -> Condition:
    what, name = "the temperature difference", "temperature_difference"
    return Condition(name, what, "temperature_difference", unit, low_k, high_k, source)


def _fahrenheit(degrees: float) -> float:
    return (degrees + 459.67) * _F


_THICKNESS = Condition(
    "thickness", "the thickness", "length", "mm", 0.0238, 0.0270,
    f"25.4 mm within the tolerance of a board, AASHTO M 230-07 (2020), 1.6 mm for 25 mm {READ}",
)  # fmt: skip
_RESISTANCE = Condition(
    "specimen_resistance", "the resistance of the specimen", "thermal_resistance", "m2·K/W",
    0.10, math.inf, f"ASTM C518-98 1.8, above 0.10 m²·K/W {READ}",
)  # fmt: skip
(_SPECIMENS,) = specimens_asked(3, f"ASTM C578, three or more {MEMORY}")
_WARM = _mean(_fahrenheit(73), _fahrenheit(77), "°F", f"ASTM C578, 75 ± 2 °F {MEMORY}")
_COLD = _mean(_fahrenheit(38), _fahrenheit(42), "°F", f"ASTM C578, 40 ± 2 °F {MEMORY}")
_FORTY = _difference(40 * _F, 60 * _F, "°F", f"16 CFR 460.5(a), 50 ± 10 °F {READ}")

_EUROPEAN = (
    _mean(_ZERO_C + 9.7, _ZERO_C + 10.3, "°C", f"EN 13163, 10 °C, within 0.3 K {MEMORY}"),
    _difference(10.0, math.inf, "K", f"ISO 8302, 10 K or more {MEMORY}"),
    Condition(
        "specimen_resistance", "the resistance of the specimen", "thermal_resistance", "m2·K/W",
        0.5, math.inf, f"EN 12667, of high and medium resistance, 0.5 m²·K/W or more {MEMORY}",
    ),
    *Conditioning(6, (18, 28), None, f"EN 13163, 6 h or more at 23 ± 5 °C {MEMORY}").conditions,
)  # fmt: skip

METHODS: Mapping[str, Method] = MappingProxyType({
    "thermal_resistance": Method(
        "ASTM C518", "21", "boards of ASTM C578",
        (_WARM, _FORTY, _THICKNESS, _RESISTANCE, _SPECIMENS),
    ),
    "thermal_resistance_40f": Method(
        "ASTM C518", "21", "boards of ASTM C578",
        (_COLD, _FORTY, _THICKNESS, _RESISTANCE, _SPECIMENS),
    ),
    "thermal_conductivity": Method(
        "ASTM C518", "21", "boards of ASTM C578", (_WARM, _FORTY, _RESISTANCE, _SPECIMENS),
    ),
    "thermal_conductivity_10c": Method("EN 12667", "2001", "boards of EN 13163", _EUROPEAN),
})  # fmt: skip
"""By characteristic. How long a board ages or is conditioned before ASTM C518 is not known here:
the product standard's own words were not read, so nothing is asked."""
