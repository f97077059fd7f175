"""Thermal conductivity and resistance at a mean temperature, from a heat-flow meter or a hot plate.

Read first: :func:`heat_flow_meter`; :func:`guarded_hot_plate` is the absolute method. Where a
plant measured at several mean temperatures, :mod:`beadwright.lab.mean_temperature` gives the
stated one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from beadwright.errors import OutOfRange, require_at_least, require_enough
from beadwright.statistics.propagation import Input, Model, Propagated, propagate

__all__ = [
    "INCH",
    "Conducted",
    "HotPlate",
    "Meter",
    "Slab",
    "calibration_factor",
    "guarded_hot_plate",
    "heat_flow_meter",
    "resistance_of",
]

_Rows = NDArray[np.float64]
INCH = 0.0254
"""Thickness whose resistance the limits of insulation boards state."""

_TWO = 2
_SLAB = 3
"""Inputs of a slab: temperatures of its faces, and thickness."""


@dataclass(frozen=True, slots=True)
class Slab:
    """A flat specimen between its plates: temperatures in K, thickness in m, each with its u."""

    hot_k: Input
    cold_k: Input
    thickness_m: Input

    @property
    def mean_k(self) -> float:
        """Mean temperature."""
        return (self.hot_k.value + self.cold_k.value) / 2

    @property
    def difference_k(self) -> float:
        """Temperature difference."""
        return self.hot_k.value - self.cold_k.value


@dataclass(frozen=True, slots=True)
class Meter:
    """A heat-flow meter: its signal in V, and its calibration factor in W/(m² V) as squares go."""

    signal_v: Input
    factor: Input
    """Heat flux for one unit of signal; see :func:`calibration_factor`."""


@dataclass(frozen=True, slots=True)
class HotPlate:
    """A guarded hot plate: heat into the metered area in W, and that area in m²."""

    power_w: Input
    area_m2: Input


@dataclass(frozen=True, slots=True)
class Conducted:
    """What one test gave, each with its uncertainty; of two specimens what they gave together."""

    flux_w_m2: Propagated
    conductivity_w_mk: Propagated
    resistance_m2k_w: Propagated
    """Of a specimen as thick as it was tested."""
    inch_m2k_w: Propagated
    """Of 25.4 mm of the same foam, tested near that thickness."""
    mean_k: float
    difference_k: float
    thickness_m: float


def heat_flow_meter(meters: Sequence[Meter], slab: Slab) -> Conducted:
    r"""Conductivity and resistance from heat-flow meters, calibrated with a reference board.

    .. math:: q = \overline{S E}, \qquad \lambda = \frac{q \, d}{T_h - T_c}, \qquad
              R = \frac{T_h - T_c}{q}

    Parameters
    ----------
    meters : sequence of Meter
        One, or one at each plate: their fluxes are averaged.
    slab : Slab
        The specimen.

    Returns
    -------
    found : Conducted
        With uncertainty, the inputs taken as independent.

    Raises
    ------
    OutOfRange
        If there is no meter, the hot face is not warmer than the cold one, a thickness is not
        above 0, or the flux is not above 0.

    Notes
    -----
    The calibration factor mostly decides the uncertainty, and it is one and the same in every
    test: repeating the test does not make it smaller.

    References
    ----------
    .. [1] ASTM C518, Steady-state thermal transmission properties by means of the heat flow
       meter apparatus; ISO 8301. Principle [read in: a second source that cites it], equations
       [from memory].

    Examples
    --------
    A flux of 26.44 W/m² through 25.4 mm at a difference of 20 K:

    >>> meter = Meter(Input(0.0010, 0.0), Input(26440.0, 130.0))
    >>> slab = Slab(Input(307.15, 0.05), Input(287.15, 0.05), Input(0.0254, 0.0001))
    >>> found = heat_flow_meter([meter], slab)
    >>> found.conductivity_w_mk.value, found.conductivity_w_mk.u
    (0.03358, 0.000243)
    """
    require_enough(1, "heat-flow meter", meters=len(meters))
    inputs = [*_of(slab), *(one for each in meters for one in (each.signal_v, each.factor))]

    def flux(x: _Rows) -> _Rows:
        return np.asarray(np.mean(x[_SLAB::2] * x[_SLAB + 1 :: 2], axis=0))

    return _conducted(flux, (slab,), inputs)


def guarded_hot_plate(plate: HotPlate, slabs: Sequence[Slab]) -> Conducted:
    r"""Conductivity and resistance from a guarded hot plate with one specimen, or one each side.

    .. math:: \lambda = \frac{P}{A \sum_i (T_h - T_c)_i / d_i}

    Parameters
    ----------
    plate : HotPlate
        All heat into the metered area; with two specimens it flows both ways.
    slabs : sequence of Slab
        One or two.

    Returns
    -------
    found : Conducted
        With uncertainty, the inputs taken as independent; the flux is that of one side.

    Raises
    ------
    OutOfRange
        If there are other than one or two specimens, or a hot face is not warmer than its cold
        one, or heat, area or a thickness is not above 0.

    References
    ----------
    .. [1] ISO 8302:1991, Guarded hot plate apparatus; ASTM C177 and C1045, two-sided mode.
       [from memory]

    Examples
    --------
    28 W into 100 cm² between two plates of 5 mm, 82 °C and 74 °C:

    >>> exact = lambda value: Input(value, 0.0)
    >>> slab = Slab(exact(355.15), exact(347.15), exact(0.005))
    >>> found = guarded_hot_plate(HotPlate(exact(28.0), exact(0.01)), [slab, slab])
    >>> found.conductivity_w_mk.value
    0.875
    """
    if len(slabs) not in {1, _TWO}:
        argument = "slabs"
        raise OutOfRange(argument, len(slabs), valid="one specimen, or one each side")
    require_at_least(0, strict=True, area_m2=plate.area_m2.value)
    inputs = [*(one for each in slabs for one in _of(each)), plate.power_w, plate.area_m2]

    def flux(x: _Rows) -> _Rows:
        return np.asarray(x[-2] / (x[-1] * len(slabs)))

    return _conducted(flux, tuple(slabs), inputs)


def calibration_factor(board_w_mk: Input, signal_v: Input, slab: Slab) -> Propagated:
    r"""Calibration factor of a heat-flow meter from a board of known conductivity.

    .. math:: E = \frac{\lambda_{ref} (T_h - T_c)}{d \, S}

    Parameters
    ----------
    board_w_mk : Input
        Conductivity that the board's certificate gives at this mean temperature, > 0. [W/(m K)]
    signal_v : Input
        Signal of the meter with the board in place. [V]
    slab : Slab
        The board between the plates.

    Returns
    -------
    factor : Propagated
        Heat flux for one unit of signal, in W/m² for a volt.

    Raises
    ------
    OutOfRange
        If conductivity or thickness is not above 0, the signal is 0, or the hot face is not the
        warmer.

    References
    ----------
    .. [1] ASTM C518, calibration. [from memory]

    Examples
    --------
    >>> slab = Slab(Input(307.15, 0.05), Input(287.15, 0.05), Input(0.0134, 0.00005))
    >>> calibration_factor(Input(0.03357, 0.00025), Input(0.0019, 0.0), slab).value
    26370.8
    """
    _refuse_flat(slab)
    require_at_least(0, strict=True, board_w_mk=board_w_mk.value)
    if signal_v.value == 0:
        argument = "signal_v"
        raise OutOfRange(argument, 0.0, valid="other than 0")
    inputs = [*_of(slab), board_w_mk, signal_v]
    return propagate(lambda x: np.asarray(x[3] * (x[0] - x[1]) / (x[2] * x[4])), inputs)


def resistance_of(thickness_m: float, conductivity_w_mk: Input) -> Propagated:
    r"""Thermal resistance of a stated thickness of foam of a known conductivity.

    .. math:: R = d / \lambda

    Parameters
    ----------
    thickness_m : float
        Thickness that the resistance is stated for, > 0. [m]
    conductivity_w_mk : Input
        Conductivity, tested near that thickness, > 0. [W/(m K)]

    Returns
    -------
    resistance : Propagated
        In m² K/W.

    Raises
    ------
    OutOfRange
        If thickness or conductivity is not above 0.

    Notes
    -----
    Radiation makes thin foam conduct differently from thick foam: a resistance is claimed for a
    thickness that was tested. 16 CFR 460.20 forbids a claim per inch where that is not proved.

    References
    ----------
    .. [1] 16 CFR 460.20. [read in: a second source that cites it]

    Examples
    --------
    >>> resistance_of(0.0254, Input(0.036, 0.0003)).value
    0.7056
    """
    require_at_least(
        0, strict=True, thickness_m=thickness_m, conductivity_w_mk=conductivity_w_mk.value
    )
    return propagate(lambda x: np.asarray(thickness_m / x[0]), [conductivity_w_mk])


def _of(slab: Slab) -> tuple[Input, Input, Input]:
    return slab.hot_k, slab.cold_k, slab.thickness_m


def _refuse_flat(slab: Slab) -> None:
    require_at_least(0, strict=True, cold_k=slab.cold_k.value, thickness_m=slab.thickness_m.value)
    if not slab.difference_k > 0:
        argument = "hot_k"
        raise OutOfRange(argument, slab.hot_k.value, valid="above the cold face")


def _conducted(flux: Model, slabs: tuple[Slab, ...], inputs: Sequence[Input]) -> Conducted:
    for one in slabs:
        _refuse_flat(one)
    sides = len(slabs)

    def gradient(x: _Rows) -> _Rows:
        return np.asarray(
            sum((x[3 * i] - x[3 * i + 1]) / x[3 * i + 2] for i in range(sides)) / sides
        )

    def difference(x: _Rows) -> _Rows:
        return np.asarray(sum(x[3 * i] - x[3 * i + 1] for i in range(sides)) / sides)

    through = propagate(flux, inputs)
    require_at_least(0, strict=True, flux_w_m2=through.value)
    return Conducted(
        through,
        propagate(lambda x: np.asarray(flux(x) / gradient(x)), inputs),
        propagate(lambda x: np.asarray(difference(x) / flux(x)), inputs),
        propagate(lambda x: np.asarray(INCH * gradient(x) / flux(x)), inputs),
        sum(one.mean_k for one in slabs) / sides,
        sum(one.difference_k for one in slabs) / sides,
        sum(one.thickness_m.value for one in slabs) / sides,
    )
