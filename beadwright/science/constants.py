"""Constants of nature and of the material that more than one part of the physics uses.

Read first: the list; each says where its value is from. What only one formula uses, and a
standard's own rounding of a constant, stand beside that formula.
"""

from __future__ import annotations

from typing import Final

from scipy import constants

from beadwright.science.trust import Parameter

__all__ = [
    "ATMOSPHERE_PA",
    "BAROMETER_PA",
    "DAY_S",
    "GAS_CONSTANT",
    "GRAVITY_M_S2",
    "MOLAR_AIR",
    "MOLAR_PENTANE",
    "SOLID_KG_M3",
    "SOLID_POLYMER",
    "ZERO_CELSIUS_K",
]

GAS_CONSTANT: Final = float(constants.R)
"""J/(mol K), exact in the SI (CODATA)."""

GRAVITY_M_S2: Final = float(constants.g)
"""Standard acceleration of gravity (CODATA, by definition)."""

ATMOSPHERE_PA: Final = float(constants.atm)
"""Standard atmosphere (CODATA, by definition)."""

BAROMETER_PA: Final = (25_000.0, 110_000.0)
"""What a barometer may show where people work, from the highest place to the lowest."""

ZERO_CELSIUS_K: Final = float(constants.zero_Celsius)
"""0 °C, by definition."""

DAY_S: Final = float(constants.day)

MOLAR_AIR: Final = 0.02896546
"""kg/mol, dry air (CIPM-2007)."""

MOLAR_PENTANE: Final = 0.0721488
"""kg/mol, of either isomer (reference equations of state)."""

SOLID_POLYMER: Final = Parameter(
    "ρ_s", 1050.0, 1040.0, 1060.0, "kg/m^3", "polymer properties database, polystyrene"
)
"""Density of solid polystyrene; no foam can be denser."""

SOLID_KG_M3: Final = SOLID_POLYMER.value
