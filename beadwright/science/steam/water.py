"""States of water and steam by the industrial formulation IAPWS-IF97.

Read first: :func:`saturated`. Range: 273.15 to 1073.15 K and 611.213 Pa (below it the library has
no answer) to 100 MPa; on the saturation line to 647.096 K. Outside it the functions refuse.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.errors import OutOfRange, require_arrays, require_between
from beadwright.science.constants import ZERO_CELSIUS_K
from beadwright.science.trust import Trust, stands

__all__ = [
    "Saturated",
    "density",
    "enthalpy",
    "saturated",
    "saturation_pressure",
    "saturation_temperature",
    "wet_steam_density",
    "wet_steam_enthalpy",
]

_COLDEST_K, _CRITICAL_K, _HOTTEST_K = ZERO_CELSIUS_K, 647.096, 1073.15
_LEAST_PA, _CRITICAL_PA, _MOST_PA = 611.213, 22.064e6, 100e6
_SOURCE = "IAPWS R7-97(2012), Industrial Formulation 1997, through the library CoolProp"


@dataclass(frozen=True, slots=True)
class Saturated:
    """Water and steam together at one pressure: K, Pa, J/kg, kg/m³. Shapes are equal."""

    pressure_pa: NDArray[np.float64]
    temperature_k: NDArray[np.float64]
    liquid_j_kg: NDArray[np.float64]
    vapour_j_kg: NDArray[np.float64]
    liquid_kg_m3: NDArray[np.float64]
    vapour_kg_m3: NDArray[np.float64]

    @property
    def latent_j_kg(self) -> NDArray[np.float64]:
        """Heat of evaporation."""
        return np.asarray(self.vapour_j_kg - self.liquid_j_kg)


@stands(Trust.EXACT, formula="IAPWS-IF97, region 4, equation 30", source=_SOURCE)
def saturation_pressure(temperature_k: ArrayLike) -> NDArray[np.float64]:
    """Pressure at which water of a temperature boils.

    Parameters
    ----------
    temperature_k : array_like, shape (...)
        Temperature, 273.15 to 647.096. [K]

    Returns
    -------
    pressure : ndarray, shape (...)
        Absolute pressure. [Pa]

    Raises
    ------
    OutOfRange
        If a temperature is outside the saturation line.

    References
    ----------
    .. [1] IAPWS R7-97(2012), equation 30 and table 35. [read in: a second source that cites it]

    Examples
    --------
    >>> float(saturation_pressure(500.0))
    2638897.76
    """
    (temperature,) = require_arrays(temperature_k=temperature_k)
    require_between(_COLDEST_K, _CRITICAL_K, temperature_k=temperature)
    return _ask("P", T=temperature, Q=np.zeros(1))


@stands(Trust.EXACT, formula="IAPWS-IF97, region 4, equation 31", source=_SOURCE)
def saturation_temperature(pressure_pa: ArrayLike) -> NDArray[np.float64]:
    """Temperature at which water boils under a pressure.

    Parameters
    ----------
    pressure_pa : array_like, shape (...)
        Absolute pressure, 611.213 to 22.064e6; from a gauge by ``absolute_pressure``. [Pa]

    Returns
    -------
    temperature : ndarray, shape (...)
        Temperature. [K]

    Raises
    ------
    OutOfRange
        If a pressure is outside the saturation line.

    References
    ----------
    .. [1] IAPWS R7-97(2012), equation 31 and table 36. [read in: a second source that cites it]

    Examples
    --------
    >>> float(saturation_temperature(1e6))
    453.035632
    """
    pressure = _boiling(pressure_pa)
    return _ask("T", P=pressure, Q=np.zeros(1))


@stands(Trust.EXACT, formula="IAPWS-IF97, regions 1 to 4", source=_SOURCE)
def saturated(pressure_pa: ArrayLike) -> Saturated:
    """Water and steam that are in equilibrium at a pressure.

    Parameters
    ----------
    pressure_pa : array_like, shape (...)
        Absolute pressure, 611.213 to 22.064e6; from a gauge by ``absolute_pressure``. [Pa]

    Returns
    -------
    state : Saturated, shape (...)
        Temperature, enthalpies and densities of both phases. [K, J/kg, kg/m^3]

    Raises
    ------
    OutOfRange
        If a pressure is outside the saturation line.

    References
    ----------
    .. [1] IAPWS R7-97(2012). [read in: a second source that cites it]

    Examples
    --------
    Steam of 2 bar absolute:

    >>> state = saturated(2e5)
    >>> float(state.temperature_k - 273.15), float(state.latent_j_kg)
    (120.21, 2201557.)
    """
    pressure = _boiling(pressure_pa)
    liquid, vapour = np.zeros(1), np.ones(1)
    return Saturated(
        pressure,
        _ask("T", P=pressure, Q=liquid),
        _ask("H", P=pressure, Q=liquid),
        _ask("H", P=pressure, Q=vapour),
        _ask("D", P=pressure, Q=liquid),
        _ask("D", P=pressure, Q=vapour),
    )


@stands(Trust.EXACT, formula="h = h_f + x (h_g - h_f)", source=_SOURCE)
def wet_steam_enthalpy(pressure_pa: ArrayLike, dryness: ArrayLike) -> NDArray[np.float64]:
    r"""Enthalpy of steam that carries water.

    .. math:: h = h_f + x (h_g - h_f)

    Parameters
    ----------
    pressure_pa : array_like, shape (...)
        Absolute pressure, 611.213 to 22.064e6. [Pa]
    dryness : array_like, shape (...)
        Share of vapour by mass, 0 to 1. [1]

    Returns
    -------
    enthalpy : ndarray, shape (...)
        Above liquid water at the triple point; the inputs broadcast. [J/kg]

    Raises
    ------
    OutOfRange
        If a pressure is outside the saturation line, or a dryness outside 0 to 1.

    References
    ----------
    .. [1] IAPWS R7-97(2012); mixing by mass. [read in: a second source that cites it]

    Examples
    --------
    Steam of 2 bar absolute with 3 % of water:

    >>> float(wet_steam_enthalpy(2e5, 0.97))
    2640194.6
    """
    state, share = _wet(pressure_pa, dryness)
    return np.asarray(state.liquid_j_kg + share * state.latent_j_kg)


@stands(Trust.EXACT, formula="1 / rho = (1 - x) / rho_f + x / rho_g", source=_SOURCE)
def wet_steam_density(pressure_pa: ArrayLike, dryness: ArrayLike) -> NDArray[np.float64]:
    r"""Density of steam that carries water.

    .. math:: \frac{1}{\rho} = \frac{1 - x}{\rho_f} + \frac{x}{\rho_g}

    Parameters
    ----------
    pressure_pa : array_like, shape (...)
        Absolute pressure, 611.213 to 22.064e6. [Pa]
    dryness : array_like, shape (...)
        Share of vapour by mass, 0 to 1. [1]

    Returns
    -------
    density : ndarray, shape (...)
        Mass over volume of both phases together; the inputs broadcast. [kg/m^3]

    Raises
    ------
    OutOfRange
        If a pressure is outside the saturation line, or a dryness outside 0 to 1.

    References
    ----------
    .. [1] IAPWS R7-97(2012); volumes add by mass. [read in: a second source that cites it]

    Examples
    --------
    >>> float(wet_steam_density(2e5, 0.97))
    1.164
    """
    state, share = _wet(pressure_pa, dryness)
    return np.asarray(1 / ((1 - share) / state.liquid_kg_m3 + share / state.vapour_kg_m3))


@stands(Trust.EXACT, formula="IAPWS-IF97, regions 1 to 3", source=_SOURCE)
def enthalpy(pressure_pa: ArrayLike, temperature_k: ArrayLike) -> NDArray[np.float64]:
    """Enthalpy of water or steam away from the saturation line.

    On the line itself pressure and temperature do not say how much is vapour: ask
    :func:`saturated` there.

    Parameters
    ----------
    pressure_pa : array_like, shape (...)
        Absolute pressure, 611.213 to 100e6. [Pa]
    temperature_k : array_like, shape (...)
        Temperature, 273.15 to 1073.15. [K]

    Returns
    -------
    enthalpy : ndarray, shape (...)
        Above liquid water at the triple point; the inputs broadcast. [J/kg]

    Raises
    ------
    OutOfRange
        If a pressure or temperature is outside the formulation.

    References
    ----------
    .. [1] IAPWS R7-97(2012), tables 5 and 15. [read in: a second source that cites it]

    Examples
    --------
    >>> float(enthalpy(3e6, 300.0))
    115331.273
    """
    return _single_phase("H", pressure_pa, temperature_k)


@stands(Trust.EXACT, formula="IAPWS-IF97, regions 1 to 3", source=_SOURCE)
def density(pressure_pa: ArrayLike, temperature_k: ArrayLike) -> NDArray[np.float64]:
    """Density of water or steam away from the saturation line.

    Parameters
    ----------
    pressure_pa : array_like, shape (...)
        Absolute pressure, 611.213 to 100e6. [Pa]
    temperature_k : array_like, shape (...)
        Temperature, 273.15 to 1073.15. [K]

    Returns
    -------
    density : ndarray, shape (...)
        Mass over volume; the inputs broadcast. [kg/m^3]

    Raises
    ------
    OutOfRange
        If a pressure or temperature is outside the formulation.

    References
    ----------
    .. [1] IAPWS R7-97(2012), tables 5 and 15. [read in: a second source that cites it]

    Examples
    --------
    >>> float(1 / density(3e6, 300.0))
    0.00100215168
    """
    return _single_phase("D", pressure_pa, temperature_k)


def _boiling(pressure_pa: ArrayLike) -> NDArray[np.float64]:
    (pressure,) = require_arrays(pressure_pa=pressure_pa)
    require_between(_LEAST_PA, _CRITICAL_PA, pressure_pa=pressure)
    return pressure


def _wet(pressure_pa: ArrayLike, dryness: ArrayLike) -> tuple[Saturated, NDArray[np.float64]]:
    pressure, share = require_arrays(pressure_pa=pressure_pa, dryness=dryness)
    require_between(0, 1, dryness=share)
    return saturated(pressure), share


def _single_phase(
    wanted: str, pressure_pa: ArrayLike, temperature_k: ArrayLike
) -> NDArray[np.float64]:
    pressure, temperature = require_arrays(pressure_pa=pressure_pa, temperature_k=temperature_k)
    require_between(_LEAST_PA, _MOST_PA, pressure_pa=pressure)
    require_between(_COLDEST_K, _HOTTEST_K, temperature_k=temperature)
    return _ask(wanted, P=pressure, T=temperature)


def _ask(wanted: str, **known: NDArray[np.float64]) -> NDArray[np.float64]:
    (one, first), (other, second) = known.items()
    shape = np.broadcast_shapes(first.shape, () if second.size == 1 else second.shape)
    a, b = (np.broadcast_to(it.reshape(()) if it.size == 1 else it, shape).ravel()
            for it in (first, second))  # fmt: skip
    try:
        found = np.asarray(_library()(wanted, one, a, other, b, "IF97::Water"), dtype=np.float64)
    except ValueError:  # where no state of all can be had; otherwise it gives infinity
        found = np.full(a.shape, np.inf)
    if not np.isfinite(found).all():
        at = int(np.argmin(np.isfinite(found)))
        state, said = "state", f"{one} = {a[at]:g}, {other} = {b[at]:g}"
        raise OutOfRange(state, said, valid="a state that IAPWS-IF97 covers")
    return found.reshape(shape)


@cache
def _library() -> Callable[..., Any]:
    from CoolProp.CoolProp import PropsSI  # noqa: PLC0415 - its import takes seconds

    given: Callable[..., Any] = PropsSI
    return given
