"""How large a bead grows, how beads pack, and what the mould asks of them.

Read first: :func:`expanded_diameter`, the cube law. A density here is dry polymer over volume:
of one bead (``bead``), of beads and the gaps between them (``bulk``), or of the part (``moulded``).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.errors import OutOfRange, require_arrays, require_at_least, require_between
from beadwright.science.constants import SOLID_KG_M3, SOLID_POLYMER
from beadwright.science.trust import Banded, Parameter, Trust, stands

__all__ = [
    "PACKING",
    "RAW_BEAD",
    "SOLID_POLYMER",
    "bead_density",
    "bulk_density",
    "closing_growth",
    "diameter_in_silo",
    "expanded_diameter",
    "fill_ratio",
    "share_lost",
]

RAW_BEAD = Parameter(
    "ρ_0", 1025.0, 1020.0, 1030.0, "kg/m^3", "common practice, no source", memory=True
)
"""Density of a raw expandable bead."""

PACKING = Parameter(
    "φ", 0.60, 0.58, 0.66, "1", "random loose to random close packing of spheres", memory=True
)
"""Share of a heap's volume that is bead."""


@stands(
    Trust.EXACT,
    formula="d2 = d1 ((1 - l) ρ1 / ρ2)^(1/3)",
    source="conservation of mass",
)
def expanded_diameter(
    diameter_m: ArrayLike,
    density_before_kg_m3: ArrayLike,
    density_after_kg_m3: ArrayLike,
    *,
    lost_share: ArrayLike = 0.0,
) -> NDArray[np.float64]:
    r"""Diameter of a bead after its density changed.

    .. math:: d_2 = d_1 \left( (1 - \ell) \frac{\rho_1}{\rho_2} \right)^{1/3}

    The same law answers what raw bead a size needs: exchange the densities, and give the loss
    as :math:`-\ell/(1-\ell)`.

    Parameters
    ----------
    diameter_m : array_like, shape (...)
        Diameter before, > 0. [m]
    density_before_kg_m3 : array_like, shape (...)
        Bead density before, of all that the bead holds, > 0 and below solid polymer. [kg/m^3]
    density_after_kg_m3 : array_like, shape (...)
        Bead density after, likewise. [kg/m^3]
    lost_share : array_like, shape (...), optional
        Share of the bead's mass that left it (pentane), below 1; negative for a gain. [1]

    Returns
    -------
    diameter_after_m : ndarray, shape (...)
        Diameter after; in the part, where beads are polyhedra, that of the sphere of equal
        volume. [m]

    Raises
    ------
    OutOfRange
        If the diameter is not above 0, a density not between 0 and that of solid polymer, or
        the share not between -1 and 1.

    References
    ----------
    .. [1] Conservation of mass. [common practice, no source]

    Examples
    --------
    A raw bead of 1.0 mm and 1030 kg/m³ that loses 1.5 % of its mass and is expanded to
    36.04 kg/m³:

    >>> round(float(expanded_diameter(1.0e-3, 1030.0, 36.04, lost_share=0.015)) * 1000, 3)
    3.042
    """
    diameter, before, after, lost = require_arrays(
        diameter_m=diameter_m,
        density_before_kg_m3=density_before_kg_m3,
        density_after_kg_m3=density_after_kg_m3,
        lost_share=lost_share,
    )
    require_at_least(0, strict=True, diameter_m=diameter)
    require_between(
        0, SOLID_KG_M3, strict=True, density_before_kg_m3=before, density_after_kg_m3=after
    )
    require_between(-1, 1, strict=True, lost_share=lost)
    return np.asarray(diameter * np.cbrt((1 - lost) * before / after))


@stands(
    Trust.EXACT,
    formula="l = (c1 - c2) / (1 + c1)",
    source="conservation of mass",
)
def share_lost(before_per_dry: ArrayLike, after_per_dry: ArrayLike) -> NDArray[np.float64]:
    r"""Share of a bead's mass that left it, from its pentane before and after.

    .. math:: \ell = \frac{c_1 - c_2}{1 + c_1}

    Parameters
    ----------
    before_per_dry : array_like, shape (...)
        Pentane before, kg per kg of dry polymer, >= 0. [1]
    after_per_dry : array_like, shape (...)
        Pentane after, likewise, at most that before. [1]

    Returns
    -------
    share : ndarray, shape (...)
        Mass lost over mass before. [1]

    Raises
    ------
    OutOfRange
        If a content is negative or not finite, or rises.

    References
    ----------
    .. [1] Conservation of mass. [common practice, no source]

    Examples
    --------
    6.0 % before and 4.9 % after, both of the bead as it is, are 6.38 and 5.15 % of dry polymer:

    >>> float(share_lost(0.060 / 0.940, 0.049 / 0.951))
    0.01157
    """
    before, after = require_arrays(before_per_dry=before_per_dry, after_per_dry=after_per_dry)
    require_at_least(0, before_per_dry=before, after_per_dry=after)
    gained = after > before
    if gained.any():
        index = tuple(int(i) for i in np.argwhere(gained)[0])
        value = float(np.broadcast_to(after, gained.shape)[index])
        argument = "after_per_dry"
        raise OutOfRange(argument, value, index=index, valid="at most before_per_dry")
    return np.asarray((before - after) / (1 + before))


@stands(Trust.EXACT, formula="ρ_bulk = φ ρ_bead", source="definition of the packing share")
def bulk_density(bead_density_kg_m3: ArrayLike, packing: ArrayLike) -> NDArray[np.float64]:
    """Density of a heap of beads.

    Parameters
    ----------
    bead_density_kg_m3 : array_like, shape (...)
        Density of a bead, > 0 and below solid polymer. [kg/m^3]
    packing : array_like, shape (...)
        Share of the heap that is bead, > 0 and < 1. [1]

    Returns
    -------
    density_kg_m3 : ndarray, shape (...)
        Bulk density. [kg/m^3]

    Raises
    ------
    OutOfRange
        If the density is not between 0 and that of solid polymer, or the share not between 0
        and 1.

    Examples
    --------
    >>> float(bulk_density(36.0, 0.60))
    21.6
    """
    bead, share = require_arrays(bead_density_kg_m3=bead_density_kg_m3, packing=packing)
    require_between(0, SOLID_KG_M3, strict=True, bead_density_kg_m3=bead)
    require_between(0, 1, strict=True, packing=share)
    return np.asarray(bead * share)


@stands(Trust.EXACT, formula="ρ_bead = ρ_bulk / φ", source="definition of the packing share")
def bead_density(bulk_density_kg_m3: ArrayLike, packing: ArrayLike) -> NDArray[np.float64]:
    """Density of a bead, from that of a heap.

    Parameters
    ----------
    bulk_density_kg_m3 : array_like, shape (...)
        Bulk density, > 0; the bead must come out below solid polymer. [kg/m^3]
    packing : array_like, shape (...)
        Share of the heap that is bead, > 0 and < 1. [1]

    Returns
    -------
    density_kg_m3 : ndarray, shape (...)
        Density of a bead. [kg/m^3]

    Raises
    ------
    OutOfRange
        If the bulk density is not between 0 and what solid beads would give, or the share not
        between 0 and 1.

    Examples
    --------
    >>> float(bead_density(21.6, 0.60))
    36.0
    """
    bulk, share = require_arrays(bulk_density_kg_m3=bulk_density_kg_m3, packing=packing)
    require_between(0, 1, strict=True, packing=share)
    require_between(0, SOLID_KG_M3, strict=True, bulk_density_kg_m3=bulk)
    bead = np.asarray(bulk / share)
    require_between(0, SOLID_KG_M3, strict=True, bulk_density_over_packing=bead)
    return bead


@stands(
    Trust.ESTIMATE,
    formula="d2 = d1 ((1 - l) ρ0 φ / ρ_bulk)^(1/3)",
    source="conservation of mass",
    cause="how beads pack and the density of the raw bead are taken from practice",
    narrowed_by="ten cups of which the beads' own volume is measured by displacement",
)
def diameter_in_silo(
    raw_diameter_m: ArrayLike,
    bulk_density_kg_m3: ArrayLike,
    *,
    lost_share: ArrayLike = 0.0,
    packing: Parameter = PACKING,
    raw_bead: Parameter = RAW_BEAD,
) -> Banded:
    r"""Diameter of a pre-expanded bead, from its raw size and the cup.

    .. math:: d_2 = d_1 \left( \frac{(1 - \ell) \rho_0 \varphi}{\rho_\text{bulk}} \right)^{1/3}

    Parameters
    ----------
    raw_diameter_m : array_like, shape (...)
        Diameter of the raw bead, > 0. [m]
    bulk_density_kg_m3 : array_like, shape (...)
        Bulk density after pre-expansion, > 0. [kg/m^3]
    lost_share : array_like, shape (...), optional
        As in :func:`expanded_diameter`. [1]
    packing : Parameter, optional
        Share of a heap that is bead, with its range.
    raw_bead : Parameter, optional
        Density of the raw bead, with its range.

    Returns
    -------
    diameter : Banded, shape (...)
        The diameter at the parameters' values, and at the ends of both ranges. [m]

    Raises
    ------
    OutOfRange
        As in :func:`expanded_diameter` and :func:`bead_density`.

    Notes
    -----
    One raw size gives one size: a sieve cut of 0.7 to 1.0 mm gives a range as wide, and the
    band does not hold it.

    References
    ----------
    .. [1] Conservation of mass. [common practice, no source]

    Examples
    --------
    The top of the usual raw range, in a cup of 21.6 kg/m³:

    >>> found = diameter_in_silo(1.0e-3, 21.6)
    >>> [round(float(end) * 1000, 2) for end in (found.low, found.value, found.high)]
    [3.01, 3.05, 3.16]
    """
    sizes = []
    for share, raw in (
        (packing.value, raw_bead.value),
        (packing.low, raw_bead.low),
        (packing.high, raw_bead.high),
    ):
        bead = bead_density(bulk_density_kg_m3, share)
        sizes.append(expanded_diameter(raw_diameter_m, raw, bead, lost_share=lost_share))
    return Banded.of(*sizes)


@stands(Trust.EXACT, formula="F = ρ_moulded / ρ_bulk", source="definition")
def fill_ratio(
    moulded_density_kg_m3: ArrayLike, bulk_density_kg_m3: ArrayLike
) -> NDArray[np.float64]:
    """How many loose cup volumes of beads the mould takes in one cavity volume.

    Parameters
    ----------
    moulded_density_kg_m3 : array_like, shape (...)
        Dry density of the part, > 0 and below solid polymer. [kg/m^3]
    bulk_density_kg_m3 : array_like, shape (...)
        Dry bulk density at the hopper, likewise. [kg/m^3]

    Returns
    -------
    ratio : ndarray, shape (...)
        Moulded over bulk density; 1.00 to 1.15 is usual. [1]

    Raises
    ------
    OutOfRange
        If a density is not between 0 and that of solid polymer.

    References
    ----------
    .. [1] The usual range. [common practice, no source]

    Examples
    --------
    >>> float(fill_ratio(22.7, 21.6))
    1.051
    """
    moulded, bulk = require_arrays(
        moulded_density_kg_m3=moulded_density_kg_m3, bulk_density_kg_m3=bulk_density_kg_m3
    )
    require_between(
        0, SOLID_KG_M3, strict=True, moulded_density_kg_m3=moulded, bulk_density_kg_m3=bulk
    )
    return np.asarray(moulded / bulk)


@stands(Trust.EXACT, formula="V2 / V1 = 1 / (φ F)", source="conservation of volume")
def closing_growth(packing: ArrayLike, fill_ratio: ArrayLike = 1.0) -> NDArray[np.float64]:
    r"""How much a bead's volume grows in the mould until no gap is left.

    .. math:: \frac{V_2}{V_1} = \frac{1}{\varphi F}

    Parameters
    ----------
    packing : array_like, shape (...)
        Share of the loose heap that is bead, > 0 and < 1. [1]
    fill_ratio : array_like, shape (...), optional
        Moulded over bulk density, > 0. [1]

    Returns
    -------
    growth : ndarray, shape (...)
        Volume after over volume before; below 1 the beads were squeezed. [1]

    Raises
    ------
    OutOfRange
        If the packing share is not between 0 and 1, or the fill ratio not above 0.

    Notes
    -----
    The part's whole volume is taken as bead: channels left between badly fused beads are not.

    References
    ----------
    .. [1] Conservation of volume. [common practice, no source]

    Examples
    --------
    >>> [round(float(growth), 2) for growth in closing_growth([0.60, 0.64])]
    [1.67, 1.56]
    """
    share, ratio = require_arrays(packing=packing, fill_ratio=fill_ratio)
    require_between(0, 1, strict=True, packing=share)
    require_at_least(0, strict=True, fill_ratio=ratio)
    return np.asarray(1 / (share * ratio))
