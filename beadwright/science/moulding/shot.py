"""What goes into the mould, and the steam that heats it: a heat balance, which is a lower bound.

Read first: :func:`steam_need`; most of the steam heats the tool, not the foam.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.errors import require_arrays, require_at_least, require_between
from beadwright.science.constants import SOLID_KG_M3
from beadwright.science.trust import Parameter, Trust, stands

__all__ = [
    "FOAM_HEAT",
    "LOWER_BOUND",
    "TOOL_HEAT",
    "HeatedShot",
    "SteamNeed",
    "shot_mass",
    "steam_need",
]

LOWER_BOUND = (
    "At least this much: leaks, open drains and vents, standby and steam that carries water are "
    "not in it. One metered week tells the rest."
)

FOAM_HEAT = Parameter(
    "c_PS", 1300.0, 1200.0, 1500.0, "J/(kg K)", "a public table of polymer properties; solid, 25 °C"
)
TOOL_HEAT = Parameter(
    "c_Al", 900.0, 880.0, 960.0, "J/(kg K)", "handbook value for aluminium alloys", memory=True
)


@dataclass(frozen=True, slots=True)
class HeatedShot:
    """One cycle of a steam-chest mould. Arrays must fit each other.

    ``foam_kg`` and ``tool_kg`` are what is heated, by ``foam_rise_k`` and ``tool_rise_k``;
    ``chest_m3`` all steam chests together, filled once and swept ``purges`` times more;
    ``latent_j_kg`` the heat that a kilogram of this steam gives up until it leaves as condensate,
    and ``steam_density_kg_m3`` its density, both from steam tables at the moulding pressure;
    ``wall_loss_j`` the heat lost from the tool's outside during steaming.
    """

    foam_kg: ArrayLike
    foam_rise_k: ArrayLike
    tool_kg: ArrayLike
    tool_rise_k: ArrayLike
    chest_m3: ArrayLike
    latent_j_kg: ArrayLike
    steam_density_kg_m3: ArrayLike
    purges: ArrayLike = 1.0
    wall_loss_j: ArrayLike = 0.0
    foam_heat_j_kgk: ArrayLike = FOAM_HEAT.value
    tool_heat_j_kgk: ArrayLike = TOOL_HEAT.value


@dataclass(frozen=True, slots=True)
class SteamNeed:
    """Where the steam of a shot goes, in kg; what leaks is not in it."""

    foam_kg: NDArray[np.float64]
    tool_kg: NDArray[np.float64]
    wall_kg: NDArray[np.float64]
    fill_kg: NDArray[np.float64]
    purge_kg: NDArray[np.float64]

    @property
    def least_kg(self) -> NDArray[np.float64]:
        """All of it: the least steam that this shot can take."""
        parts = (self.foam_kg, self.tool_kg, self.wall_kg, self.fill_kg, self.purge_kg)
        return np.asarray(sum(parts, start=np.zeros(())))


@stands(
    Trust.EXACT,
    formula="m = rho V (1 + d)",
    source="conservation of mass",
)
def shot_mass(
    density_kg_m3: ArrayLike, foam_volume_m3: ArrayLike, overfill: ArrayLike = 0.0
) -> NDArray[np.float64]:
    r"""Dry foam that a shot takes, with what is blown back or trimmed.

    .. math:: m = \rho V (1 + \delta)

    Parameters
    ----------
    density_kg_m3 : array_like, shape (...)
        Wanted dry foam density, above 0 and up to 1050. [kg/m^3]
    foam_volume_m3 : array_like, shape (...)
        Measured foam volume of all cavities together, not their envelope, > 0. [m^3]
    overfill : array_like, shape (...), optional
        Share drawn beyond what stays in the mould, from 0 to 1. [1]

    Returns
    -------
    mass_kg : ndarray, shape (...)
        Mass of a shot; the inputs broadcast. [kg]

    Raises
    ------
    OutOfRange
        If an argument is not finite or outside its range.

    References
    ----------
    .. [1] Conservation of mass. [common practice, no source]

    Examples
    --------
    Two panels of 2.3333 ft³ together at 1.35 lb/ft³ take 3.150 lb:

    >>> float(shot_mass(21.6249, 0.066073))
    1.4288
    """
    density, volume, more = np.broadcast_arrays(
        *require_arrays(
            density_kg_m3=density_kg_m3, foam_volume_m3=foam_volume_m3, overfill=overfill
        )
    )
    require_at_least(0, strict=True, density_kg_m3=density, foam_volume_m3=volume)
    require_between(0, SOLID_KG_M3, density_kg_m3=density)
    require_between(0, 1, overfill=more)
    return np.asarray(density * volume * (1 + more))


@stands(
    Trust.ESTIMATE,
    formula="m = (m_f c_f dT_f + m_t c_t dT_t + Q_w) / dh + (1 + N) V rho_g",
    source="heat balance; steam properties from steam tables",
    cause="a lower bound: leaks, drains, vents and standby are not in it",
    narrowed_by="one week of metered steam with shots, purge and standby times",
)
def steam_need(shot: HeatedShot) -> SteamNeed:
    r"""Least steam of a moulding cycle, by where it goes.

    .. math::
        m = \frac{m_f c_f \Delta T_f + m_t c_t \Delta T_t + Q_w}{\Delta h}
            + (1 + N) V \rho_g

    What condenses heats foam, tool and surroundings; what fills and sweeps the chests leaves as
    steam. The foam takes some per cent: steam per block is a matter of the tool's mass and of how
    far it is cooled between shots.

    Parameters
    ----------
    shot : HeatedShot
        Masses, temperature rises, chest volume and the steam's own heat and density.

    Returns
    -------
    need : SteamNeed
        Parts and their sum, a lower bound. [kg]

    Raises
    ------
    OutOfRange
        If an argument is not finite, negative, or a heat capacity, latent heat or steam density
        is not above 0.

    Notes
    -----
    Every kilogram of condensate is taken to leave at one temperature: that choice is in the
    latent heat that is handed in.

    References
    ----------
    .. [1] Heat balance. [common practice, no source]

    Examples
    --------
    A 1.43 kg shot in a 150 kg tool that swings by 55.4 K, at 0.7 bar gauge:

    >>> need = steam_need(HeatedShot(1.43, 92.4, 150.0, 55.4, 0.25, 2.2767e6, 0.977))
    >>> round(float(need.tool_kg), 3), round(float(need.foam_kg), 3), round(float(need.least_kg), 2)
    (3.285, 0.075, 3.85)
    """
    latent, density, foam_heat, tool_heat = require_arrays(
        latent_j_kg=shot.latent_j_kg,
        steam_density_kg_m3=shot.steam_density_kg_m3,
        foam_heat_j_kgk=shot.foam_heat_j_kgk,
        tool_heat_j_kgk=shot.tool_heat_j_kgk,
    )
    require_at_least(0, strict=True, latent_j_kg=latent, steam_density_kg_m3=density)
    require_at_least(0, strict=True, foam_heat_j_kgk=foam_heat, tool_heat_j_kgk=tool_heat)
    amounts = {
        name: getattr(shot, name)
        for name in (
            *("foam_kg", "foam_rise_k", "tool_kg", "tool_rise_k"),
            *("chest_m3", "purges", "wall_loss_j"),
        )
    }
    arrays = require_arrays(**amounts, latent_j_kg=latent)[:-1]
    for name, of in zip(amounts, arrays, strict=True):
        require_at_least(0, strict=False, **{name: of})
    foam, foam_rise, tool, tool_rise, chest, purges, wall = arrays
    return SteamNeed(
        *np.broadcast_arrays(
            foam * foam_heat * foam_rise / latent,
            tool * tool_heat * tool_rise / latent,
            wall / latent,
            chest * density,
            purges * chest * density,
        )
    )
