"""What a balance shows of beads: the polymer, and what goes in and out of it.

Read first: :func:`scale_per_dry`. Contents are kg per kg of dry polymer (``per_dry``), so that a
ledger of dry polymer multiplies by them.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.errors import require_arrays, require_at_least, require_between
from beadwright.science.constants import ATMOSPHERE_PA, GAS_CONSTANT, MOLAR_AIR, SOLID_KG_M3
from beadwright.science.trust import Trust, stands

__all__ = ["BeadState", "air_density", "air_per_dry", "cup_mass", "scale_per_dry", "void_share"]


@dataclass(frozen=True, slots=True)
class BeadState:
    """Beads on a balance: what they hold, per kg of dry polymer, and the room's air.

    ``bead_density_kg_m3`` is dry polymer over a bead's volume, ``air_pressure_pa`` the share of
    the pressure in the bead that is air's own (not pentane's, not vapour's). Beads have the
    room's temperature.
    """

    bead_density_kg_m3: ArrayLike
    air_pressure_pa: ArrayLike
    pentane_per_dry: ArrayLike = 0.0
    water_per_dry: ArrayLike = 0.0
    temperature_k: ArrayLike = 296.15
    room_pressure_pa: ArrayLike = ATMOSPHERE_PA


@stands(Trust.EXACT, formula="ρ = p M / (R T)", source="ideal gas; molar mass of dry air")
def air_density(
    temperature_k: ArrayLike, pressure_pa: ArrayLike = ATMOSPHERE_PA
) -> NDArray[np.float64]:
    r"""Density of dry air.

    .. math:: \rho = \frac{p M}{R T}

    Parameters
    ----------
    temperature_k : array_like, shape (...)
        Temperature, > 0. [K]
    pressure_pa : array_like, shape (...), optional
        Pressure of the air itself, >= 0. [Pa]

    Returns
    -------
    density_kg_m3 : ndarray, shape (...)
        Mass over volume. [kg/m^3]

    Raises
    ------
    OutOfRange
        If the temperature is not above 0 K or the pressure negative.

    References
    ----------
    .. [1] A. Picard et al., "Revised formula for the density of moist air (CIPM-2007)",
       Metrologia 45 (2008) 149, molar mass of dry air. [from memory]

    Examples
    --------
    >>> float(air_density(296.15))
    1.192
    """
    temperature, pressure = require_arrays(temperature_k=temperature_k, pressure_pa=pressure_pa)
    require_at_least(0, strict=True, temperature_k=temperature)
    require_at_least(0, pressure_pa=pressure)
    return np.asarray(pressure * MOLAR_AIR / (GAS_CONSTANT * temperature))


@stands(
    Trust.EXACT,
    formula="a = ρ_air(p, T) (1 / ρ_bead - 1 / ρ_s)",
    source="ideal gas in the bead's cells",
)
def air_per_dry(
    bead_density_kg_m3: ArrayLike,
    air_pressure_pa: ArrayLike = ATMOSPHERE_PA,
    *,
    temperature_k: ArrayLike = 296.15,
) -> NDArray[np.float64]:
    r"""Air inside beads, per kg of their dry polymer.

    .. math:: a = \frac{p M}{R T} \left( \frac{1}{\rho_b} - \frac{1}{\rho_s} \right)

    Parameters
    ----------
    bead_density_kg_m3 : array_like, shape (...)
        Dry polymer over a bead's volume, > 0 and below solid polymer. [kg/m^3]
    air_pressure_pa : array_like, shape (...), optional
        Air's own share of the pressure in the bead, >= 0: near 0 for a bead fresh from steam,
        the room's for an aged one. [Pa]
    temperature_k : array_like, shape (...), optional
        Temperature, > 0. [K]

    Returns
    -------
    air : ndarray, shape (...)
        Mass of air over mass of dry polymer. [1]

    Raises
    ------
    OutOfRange
        If a density is not between 0 and that of solid polymer, the pressure negative or the
        temperature not above 0 K.

    References
    ----------
    .. [1] That beads gain some 3 to 4 % of weight in air while they age.
       [common practice, no source]

    Examples
    --------
    Aged beads of 36 kg/m³ hold:

    >>> round(float(air_per_dry(36.0)), 4)
    0.032
    """
    bead, pressure, temperature = require_arrays(
        bead_density_kg_m3=bead_density_kg_m3,
        air_pressure_pa=air_pressure_pa,
        temperature_k=temperature_k,
    )
    require_between(0, SOLID_KG_M3, strict=True, bead_density_kg_m3=bead)
    require_at_least(0, air_pressure_pa=pressure)
    require_at_least(0, strict=True, temperature_k=temperature)
    return np.asarray(air_density(temperature, pressure) * (1 / bead - 1 / SOLID_KG_M3))


@stands(
    Trust.EXACT,
    formula="1 + c + w + a - ρ_air / ρ_bead",
    source="conservation of mass; buoyancy of the bead in the room's air",
)
def scale_per_dry(state: BeadState) -> NDArray[np.float64]:
    r"""What a balance shows of beads, per kg of their dry polymer.

    .. math:: 1 + c + w + a - \frac{\rho_\text{air}}{\rho_b}

    The last term is the room's air that the beads push aside. In an aged bead the air inside
    and the air pushed aside cancel (but for 0.1 %): the balance then shows polymer, pentane and
    water. In a bead fresh from steam nothing cancels, and the balance shows some 3 to 4 % less.

    Parameters
    ----------
    state : BeadState, shape (...)
        What the beads hold, and the room. [kg/m^3, Pa, 1, K]

    Returns
    -------
    reading : ndarray, shape (...)
        Reading over mass of dry polymer; a ledger of dry polymer divides a weighing by it. [1]

    Raises
    ------
    OutOfRange
        If a density is not between 0 and that of solid polymer, a content or pressure
        negative, or the temperature not above 0 K.

    Notes
    -----
    The buoyancy of the balance's own weights, 0.015 %, is left out. Taking the air inside off a
    weighing without the air pushed aside makes aged beads 3 to 4 % too light.

    References
    ----------
    .. [1] Archimedes' principle. [common practice, no source]

    Examples
    --------
    Dry beads of 36 kg/m³ without pentane, in vacuum inside and aged:

    >>> [round(float(r), 4) for r in scale_per_dry(BeadState(36.0, [0.0, 101325.0]))]
    [0.9669, 0.9989]
    """
    bead, inside, pentane, water, temperature, room = require_arrays(
        bead_density_kg_m3=state.bead_density_kg_m3,
        air_pressure_pa=state.air_pressure_pa,
        pentane_per_dry=state.pentane_per_dry,
        water_per_dry=state.water_per_dry,
        temperature_k=state.temperature_k,
        room_pressure_pa=state.room_pressure_pa,
    )
    require_at_least(0, pentane_per_dry=pentane, water_per_dry=water)
    require_at_least(0, room_pressure_pa=room)
    air = air_per_dry(bead, inside, temperature_k=temperature)
    return np.asarray(1 + pentane + water + air - air_density(temperature, room) / bead)


@stands(Trust.EXACT, formula="m = ρ_bulk V r", source="definition of bulk density")
def cup_mass(
    bulk_density_kg_m3: ArrayLike, cup_volume_m3: ArrayLike, scale_per_dry: ArrayLike = 1.0
) -> NDArray[np.float64]:
    """What a level cup weighs at a target density; the way back is ``lab.cup_density``.

    Parameters
    ----------
    bulk_density_kg_m3 : array_like, shape (...)
        Bulk density aimed at, > 0: of dry polymer, or as such cups are weighed. [kg/m^3]
    cup_volume_m3 : array_like, shape (...)
        Volume of the cup, > 0. [m^3]
    scale_per_dry : array_like, shape (...), optional
        Reading per kg of what the density counts, > 0: 1 where the target was set in cups of
        the same kind, :func:`scale_per_dry` where it counts dry polymer. [1]

    Returns
    -------
    cup_mass_kg : ndarray, shape (...)
        Mass of the beads, net of the cup. [kg]

    Raises
    ------
    OutOfRange
        If an input is not above 0, or the density not below that of solid polymer.

    Notes
    -----
    Hot from the machine, dried, and at the hopper are three readings of one bead: say which.

    References
    ----------
    .. [1] [common practice, no source]

    Examples
    --------
    A litre at 22.5 kg/m³:

    >>> float(cup_mass(22.5, 0.001))
    0.0225
    """
    bulk, volume, reading = require_arrays(
        bulk_density_kg_m3=bulk_density_kg_m3,
        cup_volume_m3=cup_volume_m3,
        scale_per_dry=scale_per_dry,
    )
    require_between(0, SOLID_KG_M3, strict=True, bulk_density_kg_m3=bulk)
    require_at_least(0, strict=True, cup_volume_m3=volume, scale_per_dry=reading)
    return np.asarray(bulk * volume * reading)


@stands(Trust.EXACT, formula="1 - ρ / ρ_s", source="conservation of volume")
def void_share(density_kg_m3: ArrayLike) -> NDArray[np.float64]:
    r"""Share of a foam's volume that is gas.

    .. math:: 1 - \rho / \rho_s

    Parameters
    ----------
    density_kg_m3 : array_like, shape (...)
        Dry density, > 0 and below solid polymer. [kg/m^3]

    Returns
    -------
    share : ndarray, shape (...)
        Gas volume over volume, with solid polymer at 1050 kg/m³. [1]

    Raises
    ------
    OutOfRange
        If the density is not between 0 and that of solid polymer.

    References
    ----------
    .. [1] Density of solid polystyrene: polymer properties database. [read in: the source]

    Examples
    --------
    >>> [round(float(share), 4) for share in void_share([21.6, 24.0])]
    [0.9794, 0.9771]
    """
    (density,) = require_arrays(density_kg_m3=density_kg_m3)
    require_between(0, SOLID_KG_M3, strict=True, density_kg_m3=density)
    return np.asarray(1 - density / SOLID_KG_M3)
