"""Heat through a board from what its apparatus shows: flow meter, hot plate, or results between.

Read first: :func:`by_meter`. Each gives conductivity, or the resistance of 25.4 mm, with its
uncertainty where every part of it was stated.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType

from beadwright.errors import OutOfRange
from beadwright.lab.mean_temperature import at_mean_temperature
from beadwright.lab.reduction import Figure, Figures, Reduced
from beadwright.lab.thermal import (
    Conducted,
    HotPlate,
    Meter,
    Slab,
    guarded_hot_plate,
    heat_flow_meter,
    resistance_of,
)
from beadwright.statistics.propagation import Input

__all__ = ["BETWEEN", "METER", "PLATE", "WANTED", "between", "by_meter", "by_plate"]

_K = 2.0
"""Coverage factor of the band that is shown, about 95 %: JCGM 100:2008, 6.3.3. [from memory]"""
_INCH = 0.0254
_F = 5 / 9

WANTED: Mapping[str, float] = MappingProxyType({
    "thermal_resistance": (75 + 459.67) * _F,
    "thermal_resistance_40f": (40 + 459.67) * _F,
    "thermal_conductivity": (75 + 459.67) * _F,
    "thermal_conductivity_10c": 283.15,
})  # fmt: skip
"""Mean temperature of each characteristic, in K: 75 °F, 40 °F and 10 °C."""

_OF_INCH = frozenset({"thermal_resistance", "thermal_resistance_40f"})


def _slab(way: str = "") -> tuple[Figure, ...]:
    return (
        Figure(f"hot{way}", "Hot face", "temperature", "°C"),
        Figure(f"cold{way}", "Cold face", "temperature", "°C"),
        Figure(f"thick{way}", "Thickness", "length", "mm"),
    )


def _worth(of_what: str, way: str = "") -> tuple[Figure, ...]:
    return (
        Figure(f"u_temperature{way}", "Temperature of a face: its standard uncertainty",
               "temperature_difference", "K", required=False),
        Figure(f"u_length{way}", "Thickness: its standard uncertainty", "length", "mm",
               required=False),
        Figure(f"u_heat{way}", f"{of_what}: its standard uncertainty", "fraction", "%",
               required=False),
    )  # fmt: skip


METER = (
    Figure("signal", "Signal of the meter, as it counts", "fraction", "1"),
    Figure("factor", "Calibration factor, W/m² for one of the signal", "fraction", "1"),
    *_slab(),
    *_worth("Calibration factor"),
)
"""What a heat-flow meter shows."""

PLATE = (
    Figure("heat_plate", "Heat into the metered area, W", "fraction", "1"),
    Figure("area_plate", "Metered area", "area", "m2"),
    *_slab("_plate"),
    Figure("other_plate", "Thickness of the second specimen, if there are two", "length", "mm",
           required=False),
    *_worth("Heat over area", "_plate"),
)  # fmt: skip
"""What a guarded hot plate shows, with one specimen or two between the same temperatures."""

BETWEEN = (
    Figure("means_between", "Mean temperatures of the results", "temperature", "°C",
           sort="numbers"),
    Figure("found_between", "Conductivities at them", "thermal_conductivity", "W/(m·K)",
           sort="numbers"),
    Figure("u_each_between", "Of each alone: its standard uncertainty", "fraction", "%",
           required=False),
    Figure("u_shared_between", "Of all alike, as of one calibration: likewise", "fraction", "%",
           required=False),
)  # fmt: skip
"""Results at other mean temperatures, and what they are worth."""


def by_meter(of: Figures, characteristic: str) -> Reduced:
    """Conductivity, or the resistance of 25.4 mm, from a heat-flow meter.

    Parameters
    ----------
    of : Figures
        Those of :data:`METER`, in SI.
    characteristic : str
        One of :data:`WANTED`. [1]

    Returns
    -------
    result : Reduced
        In W/(m K) or m² K/W, with its mean, difference and thickness.

    Raises
    ------
    OutOfRange
        As :func:`beadwright.lab.thermal.heat_flow_meter`.

    References
    ----------
    .. [1] ASTM C518 and ISO 8301, as in :mod:`beadwright.lab.thermal`. [from memory]
    """

    def found(t: float, d: float, heat: float) -> Conducted:
        slab = Slab(Input(of["hot"], t), Input(of["cold"], t), Input(of["thick"], d))
        factor = Input(of["factor"], heat * of["factor"])
        return heat_flow_meter([Meter(Input(of["signal"], 0.0), factor)], slab)

    return _told(of, characteristic, found)


def by_plate(of: Figures, characteristic: str) -> Reduced:
    """Conductivity, or the resistance of 25.4 mm, from a guarded hot plate.

    Parameters
    ----------
    of : Figures
        Those of :data:`PLATE`, in SI.
    characteristic : str
        One of :data:`WANTED`. [1]

    Returns
    -------
    result : Reduced
        In W/(m K) or m² K/W, with its mean, difference and thickness.

    Raises
    ------
    OutOfRange
        As :func:`beadwright.lab.thermal.guarded_hot_plate`.

    References
    ----------
    .. [1] ISO 8302 and ASTM C177, as in :mod:`beadwright.lab.thermal`. [from memory]
    """

    def found(t: float, d: float, heat: float) -> Conducted:
        depths = [of[f"{name}_plate"] for name in ("thick", "other") if f"{name}_plate" in of]
        hot, cold = (Input(of[f"{name}_plate"], t) for name in ("hot", "cold"))
        power = Input(of["heat_plate"], heat * of["heat_plate"])
        plate = HotPlate(power, Input(of["area_plate"], 0.0))
        return guarded_hot_plate(plate, [Slab(hot, cold, Input(each, d)) for each in depths])

    return _told(of, characteristic, found, "_plate")


def _told(
    of: Figures,
    characteristic: str,
    found: Callable[[float, float, float], Conducted],
    way: str = "",
) -> Reduced:
    """Give a result with its uncertainty where all three parts of it were stated."""
    names = [f"u_{part}{way}" for part in ("temperature", "length", "heat")]
    stated = [name for name in names if name in of]
    for name in stated:
        if of[name] <= 0:
            raise OutOfRange(name, of[name], valid="above 0")
    whole = len(stated) == len(names)
    made = found(*(of[name] for name in names)) if whole else found(0.0, 0.0, 0.0)
    got = made.inch_m2k_w if characteristic in _OF_INCH else made.conductivity_w_mk
    asked = {
        "mean_temperature": made.mean_k,
        "temperature_difference": made.difference_k,
        "thickness": made.thickness_m,
    }
    if not whole:
        beside = "no uncertainty, for a part of it is not stated" if stated else ""
        return Reduced(got.value, asked, beside=beside)
    return _banded(got.value, got.u, asked)


def between(of: Figures, characteristic: str) -> Reduced:
    """Conductivity, or the resistance of 25.4 mm, at the mean temperature that is asked for.

    Parameters
    ----------
    of : Figures
        Those of :data:`BETWEEN`, in SI.
    characteristic : str
        One of :data:`WANTED`. [1]

    Returns
    -------
    result : Reduced
        In W/(m K) or m² K/W, at the mean temperature of the characteristic.

    Raises
    ------
    OutOfRange
        As :func:`beadwright.lab.mean_temperature.at_mean_temperature`.

    References
    ----------
    .. [1] As :func:`beadwright.lab.mean_temperature.at_mean_temperature`. [from memory]

    Examples
    --------
    >>> found = between(Figures({"means_between": [273.15, 293.15],
    ...                          "found_between": [0.033, 0.035]}), "thermal_conductivity_10c")
    >>> found.value
    0.034
    """
    names = ("u_each_between", "u_shared_between")
    stated = [name for name in names if name in of]
    for name in stated:
        if of[name] < 0:
            raise OutOfRange(name, of[name], valid="0 or above")
    each, shared = (of.many(name)[0] if name in of else 0.0 for name in names)
    results = [Input(one, each * one) for one in of.many("found_between")]
    wanted = WANTED[characteristic]
    line = at_mean_temperature(of.many("means_between"), results, wanted, shared=shared)
    told = Input(line.conductivity_w_mk, line.u_w_mk)
    value, u = told.value, told.u
    if characteristic in _OF_INCH:
        inch = resistance_of(_INCH, told)
        value, u = inch.value, inch.u
    asked = {"mean_temperature": wanted}
    if len(stated) < len(names):
        return Reduced(value, asked)
    return _banded(value, u, asked)


def _banded(value: float, u: float, asked: Mapping[str, float]) -> Reduced:
    return Reduced(value, asked, u, value - _K * u, value + _K * u)
