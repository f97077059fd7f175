"""Beads as geometry and mass: how large they grow, how they pack, what a weighing of them means.

Read first: beadwright.science.beads.growth.
"""

from beadwright.science.beads.calibration import (
    ThroughOrigin,
    foam_volume,
    packing_of_cups,
    through_origin,
    tie_lot_mass,
)
from beadwright.science.beads.growth import (
    PACKING,
    RAW_BEAD,
    SOLID_POLYMER,
    bead_density,
    bulk_density,
    closing_growth,
    diameter_in_silo,
    expanded_diameter,
    fill_ratio,
    share_lost,
)
from beadwright.science.beads.water import (
    WATER_AT_PRESS,
    WATER_SPREAD,
    WaterPrior,
    WaterShares,
    learn_water,
    water_in_foam,
)
from beadwright.science.beads.weight import (
    BeadState,
    air_density,
    air_per_dry,
    cup_mass,
    scale_per_dry,
    void_share,
)

__all__ = [
    "PACKING",
    "RAW_BEAD",
    "SOLID_POLYMER",
    "WATER_AT_PRESS",
    "WATER_SPREAD",
    "BeadState",
    "ThroughOrigin",
    "WaterPrior",
    "WaterShares",
    "air_density",
    "air_per_dry",
    "bead_density",
    "bulk_density",
    "closing_growth",
    "cup_mass",
    "diameter_in_silo",
    "expanded_diameter",
    "fill_ratio",
    "foam_volume",
    "learn_water",
    "packing_of_cups",
    "scale_per_dry",
    "share_lost",
    "through_origin",
    "tie_lot_mass",
    "void_share",
    "water_in_foam",
]
