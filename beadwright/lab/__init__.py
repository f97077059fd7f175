"""From a specimen's raw weighing or curve to a result with its uncertainty.

Lives here: corrections and methods as pure functions, SI in and SI out.
Read first: beadwright.lab.density.
May import: statistics, standards, units, errors, numpy, scipy; no Django, no store.
"""

from beadwright.lab.density import (
    BlockWeighing,
    Estimate,
    FoamDensity,
    block_foam_density,
    box_volume,
    cup_density,
    cylinder_volume,
    specimen_density,
)
from beadwright.lab.gauging import size_after_a_day
from beadwright.lab.plausible import Doubt, doubts
from beadwright.lab.specimen import Keyed, Specimen
from beadwright.lab.ties import missing_ties, tie_mass

__all__ = [
    "BlockWeighing",
    "Doubt",
    "Estimate",
    "FoamDensity",
    "Keyed",
    "Specimen",
    "block_foam_density",
    "box_volume",
    "cup_density",
    "cylinder_volume",
    "doubts",
    "missing_ties",
    "size_after_a_day",
    "specimen_density",
    "tie_mass",
]
