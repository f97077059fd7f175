"""Thermal resistance of the finished wall: layers in series, ties as a path beside the foam.

Read first: :func:`bridged_resistance`. How heat spreads sideways is not computed: the two bounds
that need no spreading, and perfect spreading, hold the truth between them.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.errors import OutOfRange, require_arrays, require_at_least
from beadwright.science.trust import Parameter, Trust, stands

__all__ = [
    "TIE_PLASTIC",
    "Bridged",
    "Layers",
    "bridged_resistance",
    "layer_resistance",
    "series_resistance",
]

TIE_PLASTIC = Parameter(
    "λ_t", 0.22, 0.17, 0.50, "W/(m K)", "ISO 10456, polypropylene and polyethylene", memory=True
)
"""Conductivity of the ties' plastic."""

_SUM_TOLERANCE = 1e-9


@dataclass(frozen=True, slots=True)
class Layers:
    """A wall's layers from one side to the other, and what each path meets in them.

    ``conductivity_w_mk`` has shape (paths, layers): the first path as a rule through foam and
    concrete, the others through ties. ``area_share`` says how much of the wall's face each path
    takes; they add up to 1. ``films_m2k_w`` is the resistance of both surfaces together.
    """

    thickness_m: ArrayLike
    conductivity_w_mk: ArrayLike
    area_share: ArrayLike
    films_m2k_w: float = 0.0


@dataclass(frozen=True, slots=True)
class Bridged:
    """Resistance of a bridged wall in m² K/W: between ``low`` and ``high``, with their mean.

    ``high`` is by parallel paths (no heat goes sideways), ``low`` by isothermal planes (it goes
    sideways freely). ``error`` is the largest error of the mean, as share of it.
    """

    low: float
    mean: float
    high: float
    error: float


@stands(Trust.EXACT, formula="R = d / λ", source="definition of conductivity")
def layer_resistance(thickness_m: ArrayLike, conductivity_w_mk: ArrayLike) -> NDArray[np.float64]:
    """Thermal resistance of a layer.

    Parameters
    ----------
    thickness_m : array_like, shape (...)
        Thickness, >= 0. [m]
    conductivity_w_mk : array_like, shape (...)
        Conductivity, > 0. [W/(m K)]

    Returns
    -------
    resistance_m2k_w : ndarray, shape (...)
        Thickness over conductivity. [m^2 K/W]

    Raises
    ------
    OutOfRange
        If a thickness is negative or not finite, or a conductivity not above 0.

    Examples
    --------
    Concrete, 6 in thick:

    >>> float(layer_resistance(0.1524, 1.95))
    0.0782
    """
    thickness, conductivity = require_arrays(
        thickness_m=thickness_m, conductivity_w_mk=conductivity_w_mk
    )
    require_at_least(0, thickness_m=thickness)
    require_at_least(0, strict=True, conductivity_w_mk=conductivity)
    return np.asarray(thickness / conductivity)


@stands(Trust.EXACT, formula="R = Σ R_i", source="one-dimensional steady conduction")
def series_resistance(
    resistances_m2k_w: ArrayLike, films_m2k_w: ArrayLike = 0.0
) -> NDArray[np.float64]:
    """Thermal resistance of layers one behind the other, with their surfaces.

    Parameters
    ----------
    resistances_m2k_w : array_like, shape (..., layers)
        Resistance of each layer, >= 0. [m^2 K/W]
    films_m2k_w : array_like, shape (...), optional
        Resistance of both surfaces together, >= 0. [m^2 K/W]

    Returns
    -------
    resistance_m2k_w : ndarray, shape (...)
        The sum; its inverse is the transmittance U. [m^2 K/W]

    Raises
    ------
    OutOfRange
        If a resistance is negative or not finite.

    References
    ----------
    .. [1] ISO 6946:2017, 6.7.1, homogeneous layers. [from memory]

    Examples
    --------
    A concrete wall of U 0.740 Btu/(h ft² °F) with R 10 of continuous insulation is 0.088:

    >>> round(1 / float(series_resistance([1 / 0.740, 10.0])), 3)
    0.088
    """
    (layers,) = require_arrays(resistances_m2k_w=resistances_m2k_w)
    require_at_least(0, resistances_m2k_w=layers)
    summed = np.atleast_1d(layers).sum(axis=-1)
    total, films = require_arrays(resistances_m2k_w=summed, films_m2k_w=films_m2k_w)
    require_at_least(0, films_m2k_w=films)
    return np.asarray(total + films)


@stands(
    Trust.ESTIMATE,
    formula="1/R_high = Σ a_j / R_j; R_low = films + Σ d_i / Σ a_j λ_ij",
    source="ISO 6946, combined method: parallel paths and isothermal planes",
    cause="how far heat goes sideways between tie, foam and concrete is not computed",
    narrowed_by="a hot-box test of the wall, or the ties' real section and plastic",
)
def bridged_resistance(wall: Layers) -> Bridged:
    r"""Thermal resistance of a wall whose layers are crossed by ties.

    .. math::
        \frac{1}{R_\text{high}} = \sum_j \frac{a_j}{R_s + \sum_i d_i / \lambda_{ji}}, \qquad
        R_\text{low} = R_s + \sum_i \frac{d_i}{\sum_j a_j \lambda_{ji}}

    Parameters
    ----------
    wall : Layers, shape (paths, layers)
        Thickness > 0, conductivity > 0, shares >= 0 that add up to 1. [m, W/(m K), 1]

    Returns
    -------
    resistance : Bridged
        Both bounds, their mean, and the mean's largest error. [m^2 K/W]

    Raises
    ------
    OutOfRange
        If a number is out of range, shapes do not fit, or the shares do not add up to 1.

    Notes
    -----
    Plastic ties only: where a path conducts far better than its neighbours (steel) the mean of
    the bounds is no estimate, and ``error`` shows it.

    References
    ----------
    .. [1] ISO 6946:2017, 6.7.2, combined method and its largest relative error. [from memory]

    Examples
    --------
    Two panels of 2 1/2 in, 6 in of concrete, and plastic webs on 1 % of the face:

    >>> wall = Layers(
    ...     [0.0635, 0.1524, 0.0635],
    ...     [[0.0355, 1.95, 0.0355], [0.22, 0.22, 0.22]],
    ...     [0.99, 0.01], films_m2k_w=0.15,
    ... )
    >>> found = bridged_resistance(wall)
    >>> round(found.low, 2), round(found.high, 2)
    (3.63, 3.75)
    """
    thickness, conductivity, share = _checked(wall)
    films = wall.films_m2k_w
    paths = films + np.sum(thickness / conductivity, axis=1)
    high = 1 / float(np.sum(share / paths))
    planes = np.sum(share[:, None] * conductivity, axis=0)
    low = films + float(np.sum(thickness / planes))
    mean = (low + high) / 2
    return Bridged(low, mean, high, (high - low) / (2 * mean))


def _checked(
    wall: Layers,
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    thickness, conductivity = require_arrays(
        thickness_m=wall.thickness_m, conductivity_w_mk=wall.conductivity_w_mk
    )
    (share,) = require_arrays(area_share=wall.area_share)
    shape = (share.size, thickness.size)
    if thickness.ndim != 1 or share.ndim != 1 or conductivity.shape != shape:
        argument, given = "conductivity_w_mk", f"of shape {conductivity.shape}"
        raise OutOfRange(argument, given, valid=f"of shape (paths, layers), {shape}")
    require_at_least(0, strict=True, thickness_m=thickness, conductivity_w_mk=conductivity)
    require_at_least(0, area_share=share, films_m2k_w=wall.films_m2k_w)
    total = float(share.sum())
    if abs(total - 1) > _SUM_TOLERANCE:
        argument = "area_share"
        raise OutOfRange(argument, f"{total:g} in all", valid="1 in all")
    return thickness, conductivity, share
