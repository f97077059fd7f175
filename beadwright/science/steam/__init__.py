"""Steam and water: states (IAPWS-IF97), the local atmosphere, and what goes round a boiler.

Lives here: ``atmosphere`` (gauge to absolute), ``water`` (states of water and steam), ``boiler``
(flash, blowdown, make-up), ``heat`` (a boiler's heat, steam raised from captured pentane).
Read first: :func:`absolute_pressure`; a gauge pressure without its local atmosphere is no state.
May import: errors, science.constants, science.trust, numpy, CoolProp (inside one function: its
import takes seconds).
"""

from beadwright.science.steam.atmosphere import (
    absolute_pressure,
    local_atmosphere,
    standard_atmosphere,
    station_pressure,
)
from beadwright.science.steam.boiler import (
    BoilerWater,
    WaterBalance,
    blowdown_rate,
    flash_share,
    water_balance,
)
from beadwright.science.steam.heat import (
    PENTANE_HEAT,
    BoilerDuty,
    blowdown_heat,
    boiler_heat,
    steam_from_pentane,
)
from beadwright.science.steam.water import (
    Saturated,
    density,
    enthalpy,
    saturated,
    saturation_pressure,
    saturation_temperature,
    wet_steam_density,
    wet_steam_enthalpy,
)

__all__ = [
    "PENTANE_HEAT",
    "BoilerDuty",
    "BoilerWater",
    "Saturated",
    "WaterBalance",
    "absolute_pressure",
    "blowdown_heat",
    "blowdown_rate",
    "boiler_heat",
    "density",
    "enthalpy",
    "flash_share",
    "local_atmosphere",
    "saturated",
    "saturation_pressure",
    "saturation_temperature",
    "standard_atmosphere",
    "station_pressure",
    "steam_from_pentane",
    "water_balance",
    "wet_steam_density",
    "wet_steam_enthalpy",
]
