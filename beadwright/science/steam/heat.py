"""Heat of a boiler, and the steam that captured pentane raises.

Read first: :func:`boiler_heat`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.errors import OutOfRange, require_arrays, require_at_least, require_between
from beadwright.science.steam.water import (
    enthalpy,
    saturated,
    saturation_temperature,
    wet_steam_enthalpy,
)
from beadwright.science.trust import Parameter, Trust, stands

__all__ = ["PENTANE_HEAT", "BoilerDuty", "blowdown_heat", "boiler_heat", "steam_from_pentane"]

PENTANE_HEAT = Parameter(
    "q_n", 45.35e6, 45.33e6, 45.36e6, "J/kg",
    "worked out here: 3535 to 3536 kJ/mol of gas (NIST Chemistry WebBook), less 44.0 for each of "
    "six moles of water (from memory)",
    derived=True,
)  # fmt: skip
"""Net heating value of n-pentane as vapour, which is how it is captured."""


@dataclass(frozen=True, slots=True)
class BoilerDuty:
    """A boiler at work: absolute pressure, feed temperature, flows, dryness of its steam."""

    pressure_pa: ArrayLike
    feed_temperature_k: ArrayLike
    steam_kg_s: ArrayLike
    blowdown_kg_s: ArrayLike = 0.0
    dryness: ArrayLike = 1.0


@stands(
    Trust.EXACT,
    formula="Q = S (h_steam - h_feed) + B (h_f - h_feed)",
    source="energy balance, states by IAPWS-IF97",
)
def boiler_heat(duty: BoilerDuty) -> NDArray[np.float64]:
    r"""Heat that goes into the water of a boiler.

    .. math:: Q = S (h - h_w) + B (h_f - h_w)

    Parameters
    ----------
    duty : BoilerDuty, shape (...)
        Absolute pressure, feed temperature below boiling at it, flows >= 0, dryness 0 to 1.
        [Pa, K, kg/s, 1]

    Returns
    -------
    heat : ndarray, shape (...)
        Into the water; over the boiler's efficiency it is the fuel. [W]

    Raises
    ------
    OutOfRange
        If a state is outside IAPWS-IF97, the feed would boil, or a flow is negative.

    References
    ----------
    .. [1] Energy balance, states by IAPWS R7-97(2012). [read in: a second source that cites it]

    Examples
    --------
    One kg/s of dry steam at 7 bar gauge from feed of 80 °C, nothing blown down:

    >>> float(boiler_heat(BoilerDuty(801_325, 353.15, 1.0)))
    2432.8e3
    """
    pressure, feed, steam, blowdown, dryness = require_arrays(
        pressure_pa=duty.pressure_pa,
        feed_temperature_k=duty.feed_temperature_k,
        steam_kg_s=duty.steam_kg_s,
        blowdown_kg_s=duty.blowdown_kg_s,
        dryness=duty.dryness,
    )
    require_at_least(0, steam_kg_s=steam, blowdown_kg_s=blowdown)
    cold = _feed_enthalpy(pressure, feed)
    hot = wet_steam_enthalpy(pressure, dryness)
    return np.asarray(steam * (hot - cold) + blowdown * (saturated(pressure).liquid_j_kg - cold))


@stands(
    Trust.EXACT,
    formula="Q = B (h_f - h_reference)",
    source="energy balance, states by IAPWS-IF97",
)
def blowdown_heat(
    blowdown_kg_s: ArrayLike, pressure_pa: ArrayLike, reference_k: ArrayLike
) -> NDArray[np.float64]:
    """Heat that leaves with the blowdown, above some cold water.

    Parameters
    ----------
    blowdown_kg_s : array_like, shape (...)
        Blowdown, >= 0. [kg/s]
    pressure_pa : array_like, shape (...)
        Absolute pressure of the boiler, 611.213 to 22.064e6. [Pa]
    reference_k : array_like, shape (...)
        Temperature of the water that replaces it, below boiling at that pressure. [K]

    Returns
    -------
    heat : ndarray, shape (...)
        What a perfect recovery would give back; the inputs broadcast. [W]

    Raises
    ------
    OutOfRange
        If a state is outside IAPWS-IF97, or the blowdown is negative.

    References
    ----------
    .. [1] Energy balance, states by IAPWS R7-97(2012). [read in: a second source that cites it]

    Examples
    --------
    1111 kg/h at 10 bar gauge above water of 10 °C:

    >>> float(blowdown_heat(1111 / 3600, 1_101_325, 283.15))
    227860.
    """
    flow, pressure, cold = require_arrays(
        blowdown_kg_s=blowdown_kg_s, pressure_pa=pressure_pa, reference_k=reference_k
    )
    require_at_least(0, blowdown_kg_s=flow)
    low = _feed_enthalpy(pressure, cold, "reference_k")
    return np.asarray(flow * (saturated(pressure).liquid_j_kg - low))


@stands(
    Trust.EXACT,
    formula="m_steam = efficiency m LHV / (h_g - h_feed)",
    source=f"energy balance; net heating value 45.35 MJ/kg of n-pentane: {PENTANE_HEAT.source}",
)
def steam_from_pentane(
    pentane_kg: ArrayLike,
    efficiency: ArrayLike,
    pressure_pa: ArrayLike,
    feed_temperature_k: ArrayLike,
) -> NDArray[np.float64]:
    r"""Dry steam that captured pentane raises when it is burnt under a boiler.

    .. math:: m_s = \frac{\eta \, m \, q_n}{h_g - h_w}, \qquad q_n = 45.35\ \mathrm{MJ/kg}

    Parameters
    ----------
    pentane_kg : array_like, shape (...)
        Pentane that reaches the burner, as vapour, >= 0. [kg]
    efficiency : array_like, shape (...)
        Share of its net heat that goes into the water, above 0 to 1. [1]
    pressure_pa : array_like, shape (...)
        Absolute pressure of the boiler, 611.213 to 22.064e6. [Pa]
    feed_temperature_k : array_like, shape (...)
        Temperature of the feed, below boiling at that pressure. [K]

    Returns
    -------
    steam_kg : ndarray, shape (...)
        Dry saturated steam; the inputs broadcast. [kg]

    Raises
    ------
    OutOfRange
        If a mass is negative, an efficiency outside 0 to 1, or a state outside IAPWS-IF97.

    Notes
    -----
    The efficiency also pays for heating the air that carries the pentane: at a tenth of a lower
    explosive limit of 1.5 vol % some 270 kg of air come with each kg, and beyond what the burner
    needs anyway they may carry off more heat than the pentane gives. What can be captured is a
    measurement.

    References
    ----------
    .. [1] NIST Chemistry WebBook, n-pentane, enthalpy of combustion of the gas 3535 to 3536
       kJ/mol, less six times 44.0 kJ/mol for the water. [read in: a second source that cites it]

    Examples
    --------
    One kg at 7 bar gauge from feed of 80 °C, at an efficiency of 80 %:

    >>> float(steam_from_pentane(1.0, 0.80, 801_325, 353.15))
    14.91
    """
    mass, share, pressure, feed = require_arrays(
        pentane_kg=pentane_kg,
        efficiency=efficiency,
        pressure_pa=pressure_pa,
        feed_temperature_k=feed_temperature_k,
    )
    require_at_least(0, pentane_kg=mass)
    require_at_least(0, strict=True, efficiency=share)
    require_between(0, 1, efficiency=share)
    gain = saturated(pressure).vapour_j_kg - _feed_enthalpy(pressure, feed)
    return np.asarray(share * mass * PENTANE_HEAT.value / gain)


def _feed_enthalpy(
    pressure: NDArray[np.float64],
    temperature: NDArray[np.float64],
    name: str = "feed_temperature_k",
) -> NDArray[np.float64]:
    below = np.asarray(temperature < saturation_temperature(pressure))
    if not below.all():
        at = tuple(int(i) for i in np.argwhere(~below)[0])
        value = float(np.broadcast_to(temperature, below.shape)[at])
        raise OutOfRange(name, value, index=at, valid="below boiling at the boiler's pressure")
    return enthalpy(pressure, temperature)
