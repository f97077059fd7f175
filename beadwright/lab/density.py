"""Density from a weighing: of a specimen, of a block's foam net of ties and water, of a cup.

Read first: :func:`block_foam_density`; about half of a form block is not foam, so a density from
gross weight alone says nothing.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.errors import require_at_least

__all__ = [
    "BlockWeighing",
    "Estimate",
    "FoamDensity",
    "block_foam_density",
    "box_volume",
    "cup_density",
    "cylinder_volume",
    "specimen_density",
]


@dataclass(frozen=True, slots=True)
class Estimate:
    """A value with its standard uncertainty, in the same unit."""

    value: NDArray[np.float64]
    u: NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class BlockWeighing:
    """A form block on the scale: masses in kg, foam volume in m³, standard uncertainties.

    ``wet_kg`` is the scale's reading net of tare; ``tie_kg`` all its ties; ``water_kg`` the
    water still in the foam. ``foam_volume_m3`` is the measured foam volume of the product, not
    its envelope. Arrays must broadcast against each other.
    """

    wet_kg: ArrayLike
    tie_kg: ArrayLike
    water_kg: ArrayLike
    foam_volume_m3: ArrayLike
    u_wet_kg: ArrayLike = 0.0
    u_tie_kg: ArrayLike = 0.0
    u_water_kg: ArrayLike = 0.0
    u_foam_volume_m3: ArrayLike = 0.0


@dataclass(frozen=True, slots=True)
class FoamDensity:
    """A block's foam: dry mass in kg and dry density in kg/m³, each with its uncertainty."""

    mass_kg: Estimate
    density_kg_m3: Estimate


def box_volume(
    length_m: ArrayLike, width_m: ArrayLike, thickness_m: ArrayLike
) -> NDArray[np.float64]:
    """Volume of a cuboid specimen.

    Parameters
    ----------
    length_m : array_like, shape (...)
        Edge, > 0. [m]
    width_m : array_like, shape (...)
        Edge, > 0. [m]
    thickness_m : array_like, shape (...)
        Edge, > 0. [m]

    Returns
    -------
    volume : ndarray, shape (...)
        Product of the edges; the inputs broadcast. [m^3]

    Raises
    ------
    OutOfRange
        If an edge is not a finite number above 0.

    Examples
    --------
    Two panels of 2 5/8 in., 48 in. by 16 in., hold 4032 in³ of foam:

    >>> float(2 * box_volume(48 * 0.0254, 16 * 0.0254, 2.625 * 0.0254))
    0.066073
    """
    length, width, thickness = _arrays(length_m, width_m, thickness_m)
    require_at_least(0, strict=True, length_m=length, width_m=width, thickness_m=thickness)
    return length * width * thickness


def cylinder_volume(diameter_m: ArrayLike, height_m: ArrayLike) -> NDArray[np.float64]:
    """Volume of a cylindrical specimen.

    Parameters
    ----------
    diameter_m : array_like, shape (...)
        Diameter, > 0. [m]
    height_m : array_like, shape (...)
        Height, > 0. [m]

    Returns
    -------
    volume : ndarray, shape (...)
        Circle times height; the inputs broadcast. [m^3]

    Raises
    ------
    OutOfRange
        If a diameter or height is not a finite number above 0.

    Examples
    --------
    >>> float(cylinder_volume(0.1, 0.3))
    0.002356
    """
    diameter, height = _arrays(diameter_m, height_m)
    require_at_least(0, strict=True, diameter_m=diameter, height_m=height)
    return np.asarray(np.pi / 4 * diameter**2 * height)


def specimen_density(
    mass_kg: ArrayLike, volume_m3: ArrayLike, *, air_kg_m3: ArrayLike = 0.0
) -> NDArray[np.float64]:
    r"""Apparent density of a weighed and measured specimen.

    .. math:: \rho = \frac{m + m_a}{V}, \qquad m_a = \rho_a V

    The air term makes up for the buoyancy of the air that the specimen displaces on the scale.

    Parameters
    ----------
    mass_kg : array_like, shape (...)
        Reading of the balance, >= 0. [kg]
    volume_m3 : array_like, shape (...)
        Volume, > 0. [m^3]
    air_kg_m3 : array_like, shape (...), optional
        Air term, >= 0: 0 for density as the balance shows it, which is what the limits for
        insulation boards mean; for foam below 15 kg/m³ the method sets 1.220 at 23 °C and
        1.1955 at 27 °C, by convention (dry air at 23 °C and 101 325 Pa has 1.192). [kg/m^3]

    Returns
    -------
    density : ndarray, shape (...)
        Overall density if the specimen kept its moulded skins, core density if it did not; the
        inputs broadcast. [kg/m^3]

    Raises
    ------
    OutOfRange
        If the volume is not above 0, or a mass or the air term is negative or not finite.

    Notes
    -----
    State whether skins were on, and the conditioning; a wet specimen gives a wet density.

    References
    ----------
    .. [1] ASTM D1622-20 / ISO 845:2006, apparent density: method and equivalence
       [read in: a second source that cites it]; the air term and its figures [from memory].

    Examples
    --------
    A 100 mm cube of 14.0 g, with the air term of the method at 23 °C:

    >>> float(specimen_density(0.0140, 0.001, air_kg_m3=1.220))
    15.22
    """
    mass, volume, air = _arrays(mass_kg, volume_m3, air_kg_m3)
    require_at_least(0, mass_kg=mass, air_kg_m3=air)
    require_at_least(0, strict=True, volume_m3=volume)
    return mass / volume + air


def block_foam_density(weighing: BlockWeighing) -> FoamDensity:
    r"""Dry foam density of a form block, net of its ties and of the water it still holds.

    .. math::
        \rho = \frac{m_w - m_t - m_h}{V}, \qquad
        u^2(\rho) = \frac{u^2(m_w) + u^2(m_t) + u^2(m_h)}{V^2}
                    + \left(\frac{\rho \, u(V)}{V}\right)^2

    A block fresh from the press carries water of a few per cent of its foam mass, and ties of
    about its foam mass: both are taken off with their uncertainties.

    Parameters
    ----------
    weighing : BlockWeighing, shape (...)
        Masses >= 0, foam volume > 0, standard uncertainties >= 0. [kg, m^3]

    Returns
    -------
    foam : FoamDensity, shape (...)
        Dry foam mass and density with standard uncertainties. A mass below 0 is given as it
        comes out: it says that a tie mass, count or weighing is wrong. [kg, kg/m^3]

    Raises
    ------
    OutOfRange
        If a mass or uncertainty is negative or not finite, or the volume is not above 0.

    Notes
    -----
    First order, inputs taken as independent. The density is as the scale shows it in air. Show
    it with the tie lot it was taken net of, and with the block's age and drying: a tie lot 2 %
    heavier looks just like a foam 2 % denser.

    References
    ----------
    .. [1] JCGM 100:2008, "Guide to the expression of uncertainty in measurement", 5.1.2, law of
       propagation. [from memory]
    .. [2] That the ties are taken off before foam is judged. [common practice, no source]

    Examples
    --------
    A dry block of 7.00 lb whose ties weigh 3.85 lb, with 2.3333 ft³ of foam, has foam of
    1.35 lb/ft³, which is 21.62 kg/m³:

    >>> foam = block_foam_density(BlockWeighing(3.17515, 1.74633, 0.0, 0.0660725))
    >>> float(foam.density_kg_m3.value)
    21.62
    """
    wet, tie, water, volume, u_wet, u_tie, u_water, u_volume = _arrays(
        weighing.wet_kg,
        weighing.tie_kg,
        weighing.water_kg,
        weighing.foam_volume_m3,
        weighing.u_wet_kg,
        weighing.u_tie_kg,
        weighing.u_water_kg,
        weighing.u_foam_volume_m3,
    )
    require_at_least(0, wet_kg=wet, tie_kg=tie, water_kg=water)
    require_at_least(0, strict=True, foam_volume_m3=volume)
    require_at_least(0, u_wet_kg=u_wet, u_tie_kg=u_tie)
    require_at_least(0, u_water_kg=u_water, u_foam_volume_m3=u_volume)
    mass = wet - tie - water
    u_mass = np.sqrt(u_wet**2 + u_tie**2 + u_water**2)
    density = mass / volume
    u_density = np.hypot(u_mass, density * u_volume) / volume
    return FoamDensity(Estimate(mass, u_mass), Estimate(density, u_density))


def cup_density(mass_kg: ArrayLike, cup_volume_m3: ArrayLike) -> NDArray[np.float64]:
    """Bulk density of pre-expanded beads, from a level cup.

    Parameters
    ----------
    mass_kg : array_like, shape (...)
        Beads in the cup, net of the cup, >= 0. [kg]
    cup_volume_m3 : array_like, shape (...)
        Volume of the cup, > 0. [m^3]

    Returns
    -------
    density : ndarray, shape (...)
        Mass over cup volume; the inputs broadcast. [kg/m^3]

    Raises
    ------
    OutOfRange
        If a mass is negative or not finite, or the volume not above 0.

    Notes
    -----
    Hot, dried and at the hopper are three different quantities: never pool them. Packing alone
    spreads a cup by about 1 %.

    References
    ----------
    .. [1] [common practice, no source]

    Examples
    --------
    22.5 g in a litre:

    >>> float(cup_density(0.0225, 0.001))
    22.5
    """
    mass, volume = _arrays(mass_kg, cup_volume_m3)
    require_at_least(0, mass_kg=mass)
    require_at_least(0, strict=True, cup_volume_m3=volume)
    return mass / volume


def _arrays(*values: ArrayLike) -> tuple[NDArray[np.float64], ...]:
    return tuple(np.broadcast_arrays(*(np.asarray(value, dtype=np.float64) for value in values)))
