"""Pre-expansion: charge over volume at a level stop, and density against steaming time.

Lives here: the level stop (``level_stop``), the steaming curve (``curve``), its fit to a trial
(``trial``) and the cups that a trial lacks (``proposal``).
Read first: beadwright.science.expansion.level_stop.
May import: errors, science.constants, science.trust, science.curve_fit, numpy, scipy.
"""

from beadwright.science.expansion.curve import (
    CEILING,
    COLLAPSE,
    LAG,
    LONGEST_S,
    RAW_DENSITY,
    TIME_CONSTANT,
    LowestDensity,
    SteamingCurve,
    expansion_ratio,
    lowest_density,
    steaming_density,
    steaming_gain,
)
from beadwright.science.expansion.level_stop import (
    LevelVolume,
    level_stop_charge,
    level_stop_density,
    level_volume,
)
from beadwright.science.expansion.proposal import CAUTION, TrialProposal, propose_trial
from beadwright.science.expansion.trial import (
    SteamingFit,
    SteamingTrial,
    fit_steaming,
    fitted_density,
    fitted_gain,
)

__all__ = [
    "CAUTION",
    "CEILING",
    "COLLAPSE",
    "LAG",
    "LONGEST_S",
    "RAW_DENSITY",
    "TIME_CONSTANT",
    "LevelVolume",
    "LowestDensity",
    "SteamingCurve",
    "SteamingFit",
    "SteamingTrial",
    "TrialProposal",
    "expansion_ratio",
    "fit_steaming",
    "fitted_density",
    "fitted_gain",
    "level_stop_charge",
    "level_stop_density",
    "level_volume",
    "lowest_density",
    "propose_trial",
    "steaming_density",
    "steaming_gain",
]
