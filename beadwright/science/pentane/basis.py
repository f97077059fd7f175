"""Pentane content on its two bases, as types that cannot be mixed by mistake.

Read first: :func:`per_dry_polymer`. A laboratory reports pentane per mass of the bead it weighed;
a balance needs it per mass of dry polymer, which alone does not change on the way.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.errors import OutOfRange, require_arrays, require_at_least, require_between
from beadwright.science.trust import Trust, stands

__all__ = [
    "PerDryPolymer",
    "PerWetBead",
    "per_dry_polymer",
    "per_wet_bead",
    "wet_basis_shortfall",
]

_MOST = 0.25
"""Beyond any bead of the trade: a number above it is a per cent taken for a fraction."""


@dataclass(frozen=True, slots=True, eq=False)
class PerWetBead:
    """Pentane per mass of the bead as weighed (polymer, pentane, water), kg/kg, 0 to 0.25.

    ``u_kg_kg`` is its standard uncertainty. Made by :meth:`of`.
    """

    kg_kg: NDArray[np.float64]
    u_kg_kg: NDArray[np.float64]

    @classmethod
    def of(cls, kg_kg: ArrayLike, u_kg_kg: ArrayLike = 0.0) -> PerWetBead:
        """Take a laboratory's figure, as a fraction: 6 % is 0.06."""
        return cls(*_checked(kg_kg, u_kg_kg))

    @classmethod
    def required(cls, name: str, given: object) -> PerWetBead:
        """Give it back; raise OutOfRange where it is anything else, above all the other basis."""
        if not isinstance(given, cls):
            raise OutOfRange(name, _type(given), valid="of type PerWetBead; see per_wet_bead")
        return given


@dataclass(frozen=True, slots=True, eq=False)
class PerDryPolymer:
    """Pentane per mass of dry polymer, kg/kg, 0 to 0.25, with its standard uncertainty.

    Made by :func:`per_dry_polymer`, or by :meth:`of` where a figure is on this basis already.
    """

    kg_kg: NDArray[np.float64]
    u_kg_kg: NDArray[np.float64]

    @classmethod
    def of(cls, kg_kg: ArrayLike, u_kg_kg: ArrayLike = 0.0) -> PerDryPolymer:
        """Take a figure that is on dry polymer already, as a fraction."""
        return cls(*_checked(kg_kg, u_kg_kg))

    @classmethod
    def required(cls, name: str, given: object) -> PerDryPolymer:
        """Give it back; raise OutOfRange where it is anything else, above all the other basis."""
        if not isinstance(given, cls):
            raise OutOfRange(name, _type(given), valid="of type PerDryPolymer; see per_dry_polymer")
        return given


@stands(Trust.EXACT, formula="c = w / (1 - w - h)", source="definition of the two bases")
def per_dry_polymer(content: PerWetBead, water_kg_kg: ArrayLike = 0.0) -> PerDryPolymer:
    r"""Pentane per dry polymer from a laboratory's figure.

    .. math:: c = \frac{w}{1 - w - h}, \qquad u(c) = \frac{1 - h}{(1 - w - h)^2}\, u(w)

    Parameters
    ----------
    content : PerWetBead, shape (...)
        Pentane w per mass of the bead as weighed, 0 to 0.25. [kg/kg]
    water_kg_kg : array_like, shape (...), optional
        Water h per mass of the bead as weighed, 0 to 0.5; 0 where the laboratory dried it. [1]

    Returns
    -------
    content : PerDryPolymer, shape (...)
        The same pentane per mass of polymer, with its uncertainty. [kg/kg]

    Raises
    ------
    OutOfRange
        If it is not given as PerWetBead, the water is outside 0 to 0.5, or the result is above
        0.25.

    References
    ----------
    .. [1] Definition: polymer is what is neither pentane nor water.
       [common practice, no source]

    Examples
    --------
    6.0 % of the bead is 6.38 % of its polymer:

    >>> float(per_dry_polymer(PerWetBead.of(0.060)).kg_kg)
    0.06383
    """
    PerWetBead.required("content", content)
    share, water = require_arrays(content=content.kg_kg, water_kg_kg=water_kg_kg)
    require_between(0, 0.5, water_kg_kg=water)
    polymer = 1 - share - water
    return PerDryPolymer.of(share / polymer, content.u_kg_kg * (1 - water) / polymer**2)


@stands(Trust.EXACT, formula="w = c (1 - h) / (1 + c)", source="definition of the two bases")
def per_wet_bead(content: PerDryPolymer, water_kg_kg: ArrayLike = 0.0) -> PerWetBead:
    r"""Pentane as a laboratory would report it, from that per dry polymer.

    .. math:: w = \frac{c (1 - h)}{1 + c}, \qquad u(w) = \frac{1 - h}{(1 + c)^2}\, u(c)

    Parameters
    ----------
    content : PerDryPolymer, shape (...)
        Pentane c per mass of dry polymer, 0 to 0.25. [kg/kg]
    water_kg_kg : array_like, shape (...), optional
        Water h per mass of the bead as it would be weighed, 0 to 0.5. [1]

    Returns
    -------
    content : PerWetBead, shape (...)
        The same pentane per mass of bead, with its uncertainty. [kg/kg]

    Raises
    ------
    OutOfRange
        If it is not given as PerDryPolymer, or the water is outside 0 to 0.5.

    References
    ----------
    .. [1] Definition: polymer is what is neither pentane nor water.
       [common practice, no source]

    Examples
    --------
    >>> float(per_wet_bead(PerDryPolymer.of(0.06383)).kg_kg)
    0.0600
    """
    PerDryPolymer.required("content", content)
    share, water = require_arrays(content=content.kg_kg, water_kg_kg=water_kg_kg)
    require_between(0, 0.5, water_kg_kg=water)
    return PerWetBead.of(
        share * (1 - water) / (1 + share), content.u_kg_kg * (1 - water) / (1 + share) ** 2
    )


@stands(
    Trust.EXACT,
    formula="(w1 - w2) / [(1 - w1)(c1 - c2)] - 1 = -w2",
    source="arithmetic of the two bases",
)
def wet_basis_shortfall(before: PerWetBead, after: PerWetBead) -> NDArray[np.float64]:
    r"""How far a loss is wrong that is taken as the difference of two laboratory figures.

    .. math::
        \frac{w_1 - w_2}{(1 - w_1)(c_1 - c_2)} - 1 = -w_2

    The mistake multiplies the difference of the figures by the mass of the beads before. What it
    misses is exactly the share of pentane that the beads still hold.

    Parameters
    ----------
    before : PerWetBead, shape (...)
        Pentane w1 per mass of bead before the stage. [kg/kg]
    after : PerWetBead, shape (...)
        Pentane w2 per mass of bead after it. [kg/kg]

    Returns
    -------
    shortfall : ndarray, shape (...)
        Mistaken loss over true loss, less 1: below 0, because too little is found; the inputs
        broadcast. [1]

    Raises
    ------
    OutOfRange
        If either is not given as PerWetBead.

    References
    ----------
    .. [1] From c = w / (1 - w), by arithmetic. [common practice, no source]

    Examples
    --------
    6.0 % before and 3.7 % after: 23.0 kg of a tonne is found, 23.88 kg was lost.

    >>> float(wet_basis_shortfall(PerWetBead.of(0.060), PerWetBead.of(0.037)))
    -0.037
    """
    PerWetBead.required("before", before)
    PerWetBead.required("after", after)
    first, second = require_arrays(before=before.kg_kg, after=after.kg_kg)
    return np.broadcast_to(-second, np.broadcast_shapes(first.shape, second.shape)).copy()


def _checked(kg_kg: ArrayLike, u_kg_kg: ArrayLike) -> tuple[NDArray[np.float64], ...]:
    share, spread = require_arrays(kg_kg=kg_kg, u_kg_kg=u_kg_kg)
    require_between(0, _MOST, kg_kg=share)
    require_at_least(0, u_kg_kg=spread)
    return tuple(it.copy() for it in np.broadcast_arrays(share, spread))


def _type(given: object) -> str:
    return f"of type {type(given).__name__}"
