"""Beads ageing in their silo: air in, pentane out, and the window between.

Lives here: a sphere's diffusion series (``sphere``), what passes through polystyrene (``gases``),
pentane between walls and cells (``partition``) and its loss (``loss``), how warm a silo's core is
(``core``), air, pentane and pressure in every silo (``state``, and ``fast`` for thousands of
them), the ageing window with its two clocks (``window``), the hours it proposes (``hours``), and
what samples (``sample``) say of diffusivity and permeability (``pouch``, ``posterior``).
Read first: beadwright.science.ageing.state, then beadwright.science.ageing.window.
May import: errors, numpy, scipy, science.constants, science.trust, science.beads.
"""

from beadwright.science.ageing.core import (
    HEAT_DIFFUSIVITY,
    core_temperature,
    diffusion_path,
    probed_temperature,
)
from beadwright.science.ageing.fast import (
    ageing_means,
    ageing_over,
)
from beadwright.science.ageing.gases import (
    AIR_ACTIVATION,
    AIR_ACTIVATION_SD,
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
from beadwright.science.ageing.hours import (
    ProposedHours,
    Sureness,
    proposed_hours,
)
from beadwright.science.ageing.loss import (
    DIFFUSIVITY_DENSITY,
    DIFFUSIVITY_KELVIN,
    PENTANE_ACTIVATION,
    PENTANE_ACTIVATION_SD,
    PENTANE_DIFFUSIVITY,
    PENTANE_SPREAD,
    pentane_diffusivity,
)
from beadwright.science.ageing.partition import (
    CHI,
    LIQUID_PENTANE,
    MOLAR_PENTANE,
    dissolved_activity,
    dissolved_ratio,
    pentane_pressure,
    saturated_ratio,
    vapour_to_dissolved,
)
from beadwright.science.ageing.posterior import (
    Posterior,
)
from beadwright.science.ageing.pouch import (
    AgeingPrior,
    PouchPosterior,
    assay_posterior,
    pouch_posterior,
    rebound_posterior,
)
from beadwright.science.ageing.sample import (
    MeshSample,
    PentaneAssays,
    Rebounds,
    SampledBeads,
)
from beadwright.science.ageing.sphere import (
    bead_uptake,
    sphere_centre,
    sphere_roots,
    sphere_time,
    sphere_uptake,
    sphere_uptake_resisted,
)
from beadwright.science.ageing.state import (
    HANDBOOK_KELVIN,
    HUMIDITY,
    AgeingModel,
    AgeingState,
    SiloBeads,
    ageing_state,
    size_classes,
)
from beadwright.science.ageing.window import (
    ENOUGH_AIR,
    LEAST_PENTANE,
    AgeingWindow,
    SiloFills,
    WindowLimits,
    ageing_window,
)

__all__ = [
    "AIR_ACTIVATION",
    "AIR_ACTIVATION_SD",
    "BARRER",
    "CARBON_DIOXIDE",
    "CHI",
    "DIFFUSIVITY_DENSITY",
    "DIFFUSIVITY_KELVIN",
    "ENOUGH_AIR",
    "HANDBOOK_KELVIN",
    "HEAT_DIFFUSIVITY",
    "HUMIDITY",
    "LEAST_PENTANE",
    "LIQUID_PENTANE",
    "MOLAR_PENTANE",
    "NITROGEN",
    "OXYGEN",
    "OXYGEN_SHARE",
    "PENTANE_ACTIVATION",
    "PENTANE_ACTIVATION_SD",
    "PENTANE_DIFFUSIVITY",
    "PENTANE_SPREAD",
    "PERMEABILITY_SPREAD",
    "WATER",
    "AgeingModel",
    "AgeingPrior",
    "AgeingState",
    "AgeingWindow",
    "MeshSample",
    "PentaneAssays",
    "Posterior",
    "PouchPosterior",
    "ProposedHours",
    "Rebounds",
    "SampledBeads",
    "SiloBeads",
    "SiloFills",
    "Sureness",
    "WindowLimits",
    "ageing_means",
    "ageing_over",
    "ageing_state",
    "ageing_window",
    "arrhenius",
    "assay_posterior",
    "bead_uptake",
    "core_temperature",
    "diffusion_path",
    "dissolved_activity",
    "dissolved_ratio",
    "gas_diffusivity",
    "pentane_diffusivity",
    "pentane_pressure",
    "pentane_saturation",
    "pouch_posterior",
    "probed_temperature",
    "proposed_hours",
    "rebound_posterior",
    "saturated_ratio",
    "size_classes",
    "sphere_centre",
    "sphere_roots",
    "sphere_time",
    "sphere_uptake",
    "sphere_uptake_resisted",
    "vapour_to_dissolved",
    "water_saturation",
]
