"""Moulding: shot and steam, foam pressure and demoulding, cooling, shrinkage.

Lives here: the shot and its least steam (``shot``), the rest by meter (``meter``), foam pressure
(``foam_pressure``), the earliest demoulding (``demould``), the watch on vents (``vents``),
conduction as an upper bound (``cooling``), shrinkage (``shrinkage``) and its fit (``settling``).
Read first: beadwright.science.moulding.shot.
May import: errors, science.constants, science.trust, science.curve_fit, numpy, scipy; steam
properties are handed in as numbers.
"""

from beadwright.science.moulding.cooling import conduction_time, wall_excess, wall_roots
from beadwright.science.moulding.demould import (
    Demould,
    PressureFit,
    PressureRecord,
    earliest_demould,
    fit_foam_pressure,
)
from beadwright.science.moulding.foam_pressure import (
    CAUTION,
    DEMOULD_PRESSURE,
    PressureDecay,
    demould_time,
    foam_pressure,
)
from beadwright.science.moulding.meter import MeterFit, SteamLog, expected_steam, fit_meter
from beadwright.science.moulding.settling import (
    FURTHEST_S,
    Forecast,
    JudgingAge,
    ShrinkageFit,
    ShrinkageRecord,
    fit_shrinkage,
    fitted_judging_age,
    forecast_shrinkage,
)
from beadwright.science.moulding.shot import (
    FOAM_HEAT,
    LOWER_BOUND,
    TOOL_HEAT,
    HeatedShot,
    SteamNeed,
    shot_mass,
    steam_need,
)
from beadwright.science.moulding.shrinkage import (
    ShrinkageCurve,
    judging_age,
    remaining_shrinkage,
    shrinkage,
)
from beadwright.science.moulding.vents import (
    VentWatch,
    smoothed,
    smoothed_half_width,
    watch_vents,
)

__all__ = [
    "CAUTION",
    "DEMOULD_PRESSURE",
    "FOAM_HEAT",
    "FURTHEST_S",
    "LOWER_BOUND",
    "TOOL_HEAT",
    "Demould",
    "Forecast",
    "HeatedShot",
    "JudgingAge",
    "MeterFit",
    "PressureDecay",
    "PressureFit",
    "PressureRecord",
    "ShrinkageCurve",
    "ShrinkageFit",
    "ShrinkageRecord",
    "SteamLog",
    "SteamNeed",
    "VentWatch",
    "conduction_time",
    "demould_time",
    "earliest_demould",
    "expected_steam",
    "fit_foam_pressure",
    "fit_meter",
    "fit_shrinkage",
    "fitted_judging_age",
    "foam_pressure",
    "forecast_shrinkage",
    "judging_age",
    "remaining_shrinkage",
    "shot_mass",
    "shrinkage",
    "smoothed",
    "smoothed_half_width",
    "steam_need",
    "wall_excess",
    "wall_roots",
    "watch_vents",
]
