"""What is poured and how: concrete, placement, and the table's coefficients and cases.

Read first: :class:`Pour`. Coefficients are published in feet and pounds: they are looked up in
them, and converted exactly at the edge.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.errors import require_arrays, require_at_least, require_between
from beadwright.science.trust import Trust, stands

__all__ = [
    "FOOT_M",
    "GUIDE",
    "POUND_PER_CUBIC_FOOT",
    "Binder",
    "Element",
    "Mix",
    "Pour",
    "chemistry_coefficient",
    "counts_as_liquid",
    "unit_weight_coefficient",
]

FOOT_M = 0.3048
POUND_PER_CUBIC_FOOT = 0.45359237 / FOOT_M**3
"""In kg/m³."""

GUIDE = "ACI 347R-14, 4.2.2"
_STIFF_IN, _DEEP_FT = 7.0, 4.0


class Element(Enum):
    """What is poured: a column has no plan dimension over 6.5 ft (1.98 m)."""

    WALL = "wall"
    COLUMN = "column"


class Binder(Enum):
    """Cement of the mix, as the chemistry coefficient knows it."""

    PLAIN = "Types I, II and III"
    BLENDED = "other types, or blends under 70 % slag and 40 % fly ash"
    HIGH_REPLACEMENT = "blends with 70 % slag or 40 % fly ash, or more"


@dataclass(frozen=True, slots=True)
class Mix:
    """Fresh concrete: density, binder, whether anything in it delays its set, slump.

    ``retarder`` is any admixture that delays set, also retarding water reducers; ``slump_m`` that
    after all admixtures.
    """

    density_kg_m3: ArrayLike
    slump_m: float
    binder: Binder = Binder.PLAIN
    retarder: bool = False
    self_consolidating: bool = False


@dataclass(frozen=True, slots=True)
class Pour:
    """A placement: height of fresh concrete, rate of rise, temperature, vibration. Arrays may be.

    ``height_m`` is the depth of concrete that has not stiffened: if a lift follows before the one
    below has set, both together.
    """

    mix: Mix
    height_m: ArrayLike
    rate_m_s: ArrayLike
    temperature_k: ArrayLike
    vibration_depth_m: float
    element: Element = Element.WALL
    from_base: bool = False


@stands(Trust.EXACT, formula="0.5 (1 + w/145) >= 0.80; 1; w/145", source=GUIDE)
def unit_weight_coefficient(density_kg_m3: ArrayLike) -> NDArray[np.float64]:
    r"""Coefficient of the concrete's weight.

    .. math::
        C_w = \max\left[0.8,\ \tfrac12\left(1 + \frac{w}{145}\right)\right] \ (w < 140), \quad
        1 \ (140 \le w \le 150), \quad \frac{w}{145} \ (w > 150), \quad w \text{ in lb/ft}^3

    Parameters
    ----------
    density_kg_m3 : array_like, shape (...)
        Density of fresh concrete, from 800 to 5000. [kg/m^3]

    Returns
    -------
    coefficient : ndarray, shape (...)
        Jumps at 140 and 150 lb/ft³, as published. [1]

    Raises
    ------
    OutOfRange
        If a density is outside its range.

    References
    ----------
    .. [1] ACI 347R-14, table 4.2.2.1a(c). [read in: a second source that cites it]

    Examples
    --------
    At 115, 145 and 160 lb/ft³:

    >>> unit_weight_coefficient([1842.12, 2322.68, 2562.95]).round(4).tolist()
    [0.8966, 1.0, 1.1034]
    """
    (density,) = require_arrays(density_kg_m3=density_kg_m3)
    require_between(800, 5000, density_kg_m3=density)
    weight = np.round(density / POUND_PER_CUBIC_FOOT, 3)  # so that 2402.77 kg/m³ is 150 lb/ft³
    light = np.maximum(0.8, 0.5 * (1 + weight / 145))
    middle = np.where(weight <= 150, 1.0, weight / 145)  # noqa: PLR2004 - the table's own
    return np.asarray(np.where(weight < 140, light, middle))  # noqa: PLR2004 - the table's own


@stands(Trust.EXACT, formula="1.0, 1.2, 1.4 by binder and retarder", source=GUIDE)
def chemistry_coefficient(binder: Binder, *, retarder: bool) -> float:
    """Coefficient of the concrete's chemistry: how slowly it stiffens.

    Parameters
    ----------
    binder : Binder
        Cement of the mix.
    retarder : bool
        Whether any admixture delays its set.

    Returns
    -------
    coefficient : float
        1.0, 1.2 or 1.4. [1]

    Notes
    -----
    For blends with much slag or fly ash the table was read with one value, 1.4; whether a
    retarder raises it there was not.

    References
    ----------
    .. [1] ACI 347R-14, table 4.2.2.1a(b). [read in: a second source that cites it]

    Examples
    --------
    >>> chemistry_coefficient(Binder.BLENDED, retarder=False)
    1.2
    """
    table = {
        Binder.PLAIN: (1.0, 1.2),
        Binder.BLENDED: (1.2, 1.4),
        Binder.HIGH_REPLACEMENT: (1.4, 1.4),
    }
    return table[binder][retarder]


@stands(Trust.EXACT, formula="slump > 7 in., vibration > 4 ft, or self-consolidating", source=GUIDE)
def counts_as_liquid(pour: Pour) -> bool:
    """Whether a pour is taken as a liquid, with its full head, whatever its rate.

    Parameters
    ----------
    pour : Pour
        The placement.

    Returns
    -------
    liquid : bool
        For a slump over 7 in. (178 mm), internal vibration deeper than 4 ft (1.22 m), or
        self-consolidating concrete.

    Raises
    ------
    OutOfRange
        If the slump or the vibration depth is negative or not finite.

    References
    ----------
    .. [1] ACI 347R-14, table 4.2.2.1a(a) and 4.2.2.2. [read in: a second source that cites it]

    Examples
    --------
    >>> counts_as_liquid(Pour(Mix(2400.0, 0.20), 2.7, 0.0003, 295.0, 1.0))
    True
    """
    require_at_least(0, slump_m=pour.mix.slump_m, vibration_depth_m=pour.vibration_depth_m)
    slump_in = round(pour.mix.slump_m / FOOT_M * 12, 9)
    depth_ft = round(pour.vibration_depth_m / FOOT_M, 9)
    return pour.mix.self_consolidating or slump_in > _STIFF_IN or depth_ft > _DEEP_FT
