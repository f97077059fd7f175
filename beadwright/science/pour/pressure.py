"""Lateral pressure of fresh concrete on a wall form, by the published formula and its table.

Read first: :func:`lateral_pressure`. The formula is in feet, pounds and degrees Fahrenheit: it is
evaluated in them, and converted exactly at the edge.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.errors import require_arrays, require_at_least, require_between
from beadwright.science.constants import GRAVITY_M_S2
from beadwright.science.pour.mix import (
    FOOT_M,
    GUIDE,
    POUND_PER_CUBIC_FOOT,
    Element,
    Pour,
    chemistry_coefficient,
    counts_as_liquid,
    unit_weight_coefficient,
)
from beadwright.science.trust import Trust, stands

__all__ = [
    "CAUTION",
    "FASTEST_FT_H",
    "GRAVITY_M_S2",
    "HIGHEST_M",
    "PUMP_SURGE",
    "SLOW_FT_H",
    "TALL_FT",
    "Governs",
    "LateralPressure",
    "depth_pressure",
    "lateral_pressure",
    "rate_equation",
]

CAUTION = (
    "May only lower the installation manual's rate, never raise it. Not form design. Local code "
    "and licensed practice govern."
)

_PSF = POUND_PER_CUBIC_FOOT * FOOT_M * GRAVITY_M_S2

SLOW_FT_H, FASTEST_FT_H, TALL_FT = 7.0, 15.0, 14.0
_FLOOR_PSF = 600.0
PUMP_SURGE = 1.25
_COLDEST_K, _HOTTEST_K = 277.0, 311.0
HIGHEST_M = 30.0


class Governs(StrEnum):
    """What set a lateral pressure."""

    SLOW_RATE = "equation (b): rate, a wall up to 14 ft or a column"
    RATE = "equation (c): rate, a tall wall or one placed quickly"
    FLOOR = "least design pressure"
    HEAD = "full head: less than the formula gives"
    LIQUID = "full head: slump, vibration or self-consolidating mix"
    FAST = "full head: wall placed faster than 15 ft/h"
    PUMPED = "full head and a quarter: pumped from the base"


@dataclass(frozen=True, slots=True)
class LateralPressure:
    """Greatest lateral pressure of a pour and what set it; arrays of one shape, in Pa and m."""

    pressure_pa: NDArray[np.float64]
    equation_pa: NDArray[np.float64]
    """What the rate formula alone gives; not a number where it does not apply."""
    floor_pa: NDArray[np.float64]
    head_pa: NDArray[np.float64]
    full_depth_m: NDArray[np.float64]
    """Depth below the top at which the greatest pressure is reached."""
    governs: NDArray[np.str_]
    rate_matters: NDArray[np.bool_]
    """False where the full head acts whatever the rate: also where the floor is the head."""


@stands(
    Trust.EXACT,
    formula="(b) Cc Cw (150 + 9000 R/T); (c) Cc Cw (150 + 43400/T + 2800 R/T)",
    source=GUIDE,
)
def rate_equation(pour: Pour) -> tuple[NDArray[np.float64], NDArray[np.bool_]]:
    r"""Pressure by the rate formula alone, without floor and cap.

    .. math::
        p_b = C_c C_w \left(150 + \frac{9000 R}{T}\right), \qquad
        p_c = C_c C_w \left(150 + \frac{43400}{T} + \frac{2800 R}{T}\right)

    in lb/ft², with R in ft/h and T in °F; (b) for columns, and for walls up to 14 ft placed at
    less than 7 ft/h; (c) for taller walls and for 7 to 15 ft/h. Both agree at 7 ft/h.

    Parameters
    ----------
    pour : Pour
        The placement.

    Returns
    -------
    pressure_pa : ndarray, shape (...)
        The formula's value, also beyond 15 ft/h, where it does not apply. [Pa]
    quick : ndarray, shape (...)
        Whether equation (c) was taken. [1]

    Raises
    ------
    OutOfRange
        If a number of the pour is not finite or outside its range.

    References
    ----------
    .. [1] ACI 347R-14, equations 4.2.2.1a(b) and (c), table 4.2.2.1a(a).
       [read in: a second source that cites it]

    Examples
    --------
    5 ft/h at 60 °F, in lb/ft²:

    >>> from beadwright.science.pour.mix import Mix
    >>> pour = Pour(Mix(2402.77, 0.15), 3.048, 5 * 0.3048 / 3600, 288.706, 1.2)
    >>> round(float(rate_equation(pour)[0]) / 47.88026, 1)
    900.0
    """
    density, height, rate, temperature = _numbers(pour)
    rate_ft_h = np.round(rate * 3600 / FOOT_M, 9)
    fahrenheit = temperature * 9 / 5 - 459.67
    chemistry = chemistry_coefficient(pour.mix.binder, retarder=pour.mix.retarder)
    by = chemistry * unit_weight_coefficient(density)
    tall = np.round(height / FOOT_M, 9) > TALL_FT
    quick = np.full(np.shape(rate_ft_h + height), pour.element is Element.WALL)
    quick &= tall | (rate_ft_h >= SLOW_FT_H)
    slow_psf = by * (150 + 9000 * rate_ft_h / fahrenheit)
    quick_psf = by * (150 + (43_400 + 2800 * rate_ft_h) / fahrenheit)
    return np.asarray(np.where(quick, quick_psf, slow_psf) * _PSF), quick


@stands(
    Trust.EXACT,
    formula="rate formula, at least 600 Cw lb/ft², at most w h; w h for liquid or fast pours",
    source=GUIDE,
)
def lateral_pressure(pour: Pour) -> LateralPressure:
    r"""Greatest lateral pressure that fresh concrete is designed for, and what sets it.

    .. math:: p = \min\left[\max(p_{b|c},\ 600\, C_w),\ \rho g h\right]

    Liquid pours, and walls that rise faster than 15 ft/h, have their full head; pumped from the
    base, a quarter more.

    Parameters
    ----------
    pour : Pour
        The placement.

    Returns
    -------
    lateral : LateralPressure
        Pressure, its parts, the depth to it, what governs, and whether the rate matters.

    Raises
    ------
    OutOfRange
        If a number of the pour is not finite or outside its range.

    Notes
    -----
    For discussion with the engineer of record: see ``CAUTION``. The superseded form of 2001, with
    caps at 2000 and 3000 lb/ft², is not this one. Temperatures from 277 to 311 K (about 39 to
    100 °F); that range is from memory.

    References
    ----------
    .. [1] ACI 347R-14 (reapproved 2021 as PRC-347-14), 4.2.2.1 to 4.2.2.4.
       [read in: a second source that cites it]

    Examples
    --------
    A 10 ft wall at 5 ft/h, 60 °F, 150 lb/ft³: 900 lb/ft², full 6 ft down:

    >>> from beadwright.science.pour.mix import Mix
    >>> pour = Pour(Mix(2402.77, 0.15), 3.048, 5 * 0.3048 / 3600, 288.706, 1.2)
    >>> found = lateral_pressure(pour)
    >>> round(float(found.pressure_pa) / 47.88026, 1), round(float(found.full_depth_m) / 0.3048, 2)
    (900.0, 6.0)
    """
    density, height, rate, _ = _numbers(pour)
    equation, quick = rate_equation(pour)
    shape = equation.shape
    floor = np.broadcast_to(_FLOOR_PSF * unit_weight_coefficient(density) * _PSF, shape)
    head = np.broadcast_to(density * GRAVITY_M_S2 * height, shape)
    bound = np.minimum(np.maximum(equation, floor), head)
    governs = np.where(quick, Governs.RATE.value, Governs.SLOW_RATE.value)
    governs = np.where(equation < floor, Governs.FLOOR.value, governs)
    governs = np.where(np.maximum(equation, floor) > head, Governs.HEAD.value, governs)
    fast = np.round(rate * 3600 / FOOT_M, 9) > FASTEST_FT_H
    fast = np.broadcast_to(fast & (pour.element is Element.WALL), shape)
    liquid = counts_as_liquid(pour)
    pressure = np.where(fast | liquid, head, bound)
    governs = np.where(fast, Governs.FAST.value, governs)
    matters = floor < head * (1 - 1e-6)
    if liquid or pour.from_base:
        governs = np.full(shape, (Governs.PUMPED if pour.from_base else Governs.LIQUID).value)
        pressure, matters = head * (PUMP_SURGE if pour.from_base else 1.0), np.zeros(shape, bool)
    return LateralPressure(
        np.asarray(pressure),
        np.where(fast | liquid | pour.from_base, np.nan, equation),
        floor,
        head,
        np.asarray(np.minimum(pressure / (density * GRAVITY_M_S2), height)),
        governs,
        np.asarray(matters),
    )


@stands(Trust.EXACT, formula="min(rho g z, p)", source="hydrostatics under a greatest pressure")
def depth_pressure(
    depth_m: ArrayLike, density_kg_m3: ArrayLike, greatest_pa: ArrayLike
) -> NDArray[np.float64]:
    r"""Pressure at a depth below the top of the fresh concrete.

    .. math:: p(z) = \min(\rho g z,\ p_{max})

    Parameters
    ----------
    depth_m : array_like, shape (...)
        Depth below the top, >= 0. [m]
    density_kg_m3 : array_like, shape (...)
        Density of fresh concrete, from 800 to 5000. [kg/m^3]
    greatest_pa : array_like, shape (...)
        The pour's greatest lateral pressure, >= 0. [Pa]

    Returns
    -------
    pressure_pa : ndarray, shape (...)
        The inputs broadcast. [Pa]

    Raises
    ------
    OutOfRange
        If an argument is not finite or outside its range.

    References
    ----------
    .. [1] ACI 347R-14, 4.2.2. [read in: a second source that cites it]

    Examples
    --------
    >>> depth_pressure([1.0, 5.0], 2400.0, 4e4).round().tolist()
    [23536.0, 40000.0]
    """
    depth, density, greatest = require_arrays(
        depth_m=depth_m, density_kg_m3=density_kg_m3, greatest_pa=greatest_pa
    )
    require_at_least(0, depth_m=depth, greatest_pa=greatest)
    require_between(800, 5000, density_kg_m3=density)
    return np.asarray(np.minimum(density * GRAVITY_M_S2 * depth, greatest))


def _numbers(pour: Pour) -> list[NDArray[np.float64]]:
    arrays = require_arrays(
        density_kg_m3=pour.mix.density_kg_m3,
        height_m=pour.height_m,
        rate_m_s=pour.rate_m_s,
        temperature_k=pour.temperature_k,
    )
    density, height, rate, temperature = arrays
    require_between(800, 5000, density_kg_m3=density)
    require_between(0, HIGHEST_M, height_m=height)
    require_at_least(0, strict=True, height_m=height)
    require_at_least(0, rate_m_s=rate)
    require_between(_COLDEST_K, _HOTTEST_K, temperature_k=temperature)
    return [np.asarray(of) for of in np.broadcast_arrays(*arrays)]
