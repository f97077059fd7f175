"""Beads ageing in their silo: air in, pentane out, and the window between.

Lives here: a sphere's diffusion series (``sphere``), what passes through polystyrene (``gases``),
pentane between walls and cells (``partition``), how warm a silo's core is (``core``).
Read first: beadwright.science.ageing.sphere, then beadwright.science.ageing.gases.
May import: errors, numpy, scipy, science.trust, science.beads.
"""

from beadwright.science.ageing.core import (
    HEAT_DIFFUSIVITY,
    core_temperature,
    diffusion_path,
    probed_temperature,
)
from beadwright.science.ageing.gases import (
    AIR_ACTIVATION,
    BARRER,
    CARBON_DIOXIDE,
    NITROGEN,
    OXYGEN,
    OXYGEN_SHARE,
    PERMEABILITY_SPREAD,
    WATER,
    arrhenius,
    gas_diffusivity,
    pentane_saturation,
    water_saturation,
)
from beadwright.science.ageing.partition import (
    CHI,
    DIFFUSIVITY_DENSITY,
    DIFFUSIVITY_KELVIN,
    LIQUID_PENTANE,
    MOLAR_PENTANE,
    PENTANE_ACTIVATION,
    PENTANE_DIFFUSIVITY,
    PENTANE_SPREAD,
    dissolved_activity,
    pentane_diffusivity,
    pentane_pressure,
    saturated_ratio,
    vapour_to_dissolved,
)
from beadwright.science.ageing.sphere import (
    sphere_centre,
    sphere_roots,
    sphere_time,
    sphere_uptake,
    sphere_uptake_resisted,
)

__all__ = [
    "AIR_ACTIVATION",
    "BARRER",
    "CARBON_DIOXIDE",
    "CHI",
    "DIFFUSIVITY_DENSITY",
    "DIFFUSIVITY_KELVIN",
    "HEAT_DIFFUSIVITY",
    "LIQUID_PENTANE",
    "MOLAR_PENTANE",
    "NITROGEN",
    "OXYGEN",
    "OXYGEN_SHARE",
    "PENTANE_ACTIVATION",
    "PENTANE_DIFFUSIVITY",
    "PENTANE_SPREAD",
    "PERMEABILITY_SPREAD",
    "WATER",
    "arrhenius",
    "core_temperature",
    "diffusion_path",
    "dissolved_activity",
    "gas_diffusivity",
    "pentane_diffusivity",
    "pentane_pressure",
    "pentane_saturation",
    "probed_temperature",
    "saturated_ratio",
    "sphere_centre",
    "sphere_roots",
    "sphere_time",
    "sphere_uptake",
    "sphere_uptake_resisted",
    "vapour_to_dissolved",
    "water_saturation",
]
