"""The ageing window: from enough air in the youngest bead until too little pentane in the oldest.

An estimate with its band: it refuses, holds and releases nothing. ``hours`` makes of it what an
engineer may sign. Read first: :func:`ageing_window`.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.errors import OutOfRange, require_arrays, require_at_least, require_between
from beadwright.science.ageing.core import (
    HEAT_DIFFUSIVITY,
    core_temperature,
    diffusion_path,
    probed_temperature,
)
from beadwright.science.ageing.gases import AIR_ACTIVATION_SD, OXYGEN_SHARE, PERMEABILITY_SPREAD
from beadwright.science.ageing.loss import (
    DIFFUSIVITY_KELVIN,
    PENTANE_ACTIVATION_SD,
    PENTANE_SPREAD,
)
from beadwright.science.ageing.sphere import bead_uptake
from beadwright.science.ageing.state import (
    HANDBOOK_KELVIN,
    AgeingModel,
    Laid,
    SiloBeads,
)
from beadwright.science.constants import GAS_CONSTANT
from beadwright.science.trust import NINE_IN_TEN, Banded, Parameter, Trust, stands

__all__ = [
    "ENOUGH_AIR",
    "LEAST_PENTANE",
    "AgeingWindow",
    "SiloFills",
    "WindowLimits",
    "ageing_window",
]

_Floats = NDArray[np.float64]

_PRACTICE = "common practice, no source"

ENOUGH_AIR = Parameter("x_air", 0.9, 0.8, 0.95, "1", _PRACTICE, memory=True)
"""Share of the outer air that a bead holds before it is moulded."""

LEAST_PENTANE = Parameter("c_min", 0.0256, 0.020, 0.035, "1", _PRACTICE, memory=True)
"""Pentane per dry polymer below which a bead no longer swells enough: 2.5 % of wet bead."""

_AGES = np.concatenate([[0.0], np.geomspace(60.0, 4e6, 600)])
"""Ages at which a core's temperature is followed, up to 46 days; afterwards it stays. [s]"""

_SETTLED = 1e-12


@dataclass(frozen=True, slots=True)
class SiloFills:
    """What stands in silos, one entry each: beads, warmth, and the two clocks.

    ``bead_density_kg_m3``, ``pentane_per_dry`` (as filled), ``room_k``, ``filled_k`` (of beads
    as they come in), ``bag_radius_m``, ``first_in_s`` and ``last_in_s`` (on the plant's clock)
    have shape (silos,); ``radius_m`` (silos, classes). ``probes`` holds for each silo the times,
    on the same clock, and readings in kelvin of a probe in its middle, or None.
    """

    bead_density_kg_m3: ArrayLike
    pentane_per_dry: ArrayLike
    radius_m: ArrayLike
    room_k: ArrayLike
    filled_k: ArrayLike
    bag_radius_m: ArrayLike
    first_in_s: ArrayLike
    last_in_s: ArrayLike
    probes: Sequence[tuple[ArrayLike, ArrayLike] | None] = ()


@dataclass(frozen=True, slots=True)
class WindowLimits:
    """What is enough, and how far the model's numbers may be off.

    The spreads are standard deviations of logarithms, one for all silos or one each: those of
    :func:`~beadwright.science.ageing.pouch_posterior` where a sample was weighed.
    """

    enough_air: float = ENOUGH_AIR.value
    least_pentane_per_dry: float = LEAST_PENTANE.value
    air_spread: ArrayLike = PERMEABILITY_SPREAD.value
    pentane_spread: ArrayLike = PENTANE_SPREAD.value
    air_activation_sd_j_mol: float = AIR_ACTIVATION_SD.value
    pentane_activation_sd_j_mol: float = PENTANE_ACTIVATION_SD.value


@dataclass(frozen=True, slots=True)
class AgeingWindow:
    """Ages in seconds, and the same on the plant's clock; each of shape (silos,).

    ``ready_age_s`` counts from the last bead in, ``stale_age_s`` from the first. Nine in ten
    lie within a band. Where ``closes_s`` is before ``opens_s`` there is no window.
    """

    ready_age_s: Banded
    stale_age_s: Banded
    opens_s: Banded
    closes_s: Banded


@stands(
    Trust.ESTIMATE,
    formula="opens: mean share of air over sizes reaches its limit at the room's temperature; "
    "closes: mean pentane over sizes falls to its limit at the core's",
    source="Crank's sphere, one for each gas; conduction in the bag; limits: common practice",
    cause="air's diffusivity is known to a factor of three, pentane's to one of seven, activation "
    "energies to a third, and how the bag cools is taken from conduction alone",
    narrowed_by="rebound of beads against age, a mesh sample weighed over two days, a probe in "
    "the bag; the limits themselves by fusion against age and pentane",
)
def ageing_window(
    fills: SiloFills, model: AgeingModel | None = None, limits: WindowLimits | None = None
) -> AgeingWindow:
    r"""Estimate from when until when the beads of every silo are fit to be moulded.

    .. math::
        \frac{1}{n} \sum_k M_\mathrm{air}\left(\frac{s^2}{a_k^2}\right) = x_\mathrm{air},
        \qquad
        c_0 \frac{1}{n} \sum_k \left[1 - M\left(\frac{s^2}{a_k^2}\right)\right] = c_\min,
        \qquad s^2 = \int_0^t D(T) \, dt'

    Parameters
    ----------
    fills : SiloFills, shape (silos, classes)
        What stands in the silos; the last bead in is not before the first.
        [kg/m^3, 1, m, K, s]
    model : AgeingModel, optional
        Numbers of the model; the defaults where none is given.
    limits : WindowLimits, optional
        Limits and spreads; the defaults, which are practice and not measured, where none is
        given.

    Returns
    -------
    window : AgeingWindow, shape (silos,)
        Ages and times on the plant's clock, each with its band. [s]

    Raises
    ------
    OutOfRange
        If a number is outside its range, shapes do not fit, or the last bead is in before the
        first.

    Notes
    -----
    Each end is taken where it comes last or first: the youngest bead by the cold skin of the
    bag, the oldest by its warm core. Without a probe the later end of the band is that of a bag
    which cools at once. Both ends scale with the square of the size.

    References
    ----------
    .. [1] J. Crank, "The Mathematics of Diffusion", 2nd ed., Oxford 1975, equations 6.20, 6.43.
       [read in: a second source that cites it]
    .. [2] The limits, 90 % of the air and 2.5 % of pentane. [common practice, no source]

    Examples
    --------
    Beads of 3 mm and 36 kg/m³ in a cool bag, in hours:

    >>> fills = SiloFills(36.0, 0.05, [[1.5e-3]], 296.15, 296.15, 0.8, 0.0, 0.0)
    >>> window = ageing_window(fills)
    >>> round(float(window.ready_age_s.value[0]) / 3600)
    2
    >>> round(float(window.stale_age_s.value[0]) / 3600)
    78
    """
    given, bounds = model or AgeingModel(), limits or WindowLimits()
    _require_limits(bounds)
    asked = _Asked.of(fills, given)
    ready = asked.ready(bounds)
    stale = asked.stale(bounds)
    first, last = asked.first, asked.last
    return AgeingWindow(ready, stale, _later(ready, last), _later(stale, first))


def _require_limits(limits: WindowLimits) -> None:
    require_between(0, 1, strict=True, enough_air=limits.enough_air)
    require_at_least(0, strict=True, least_pentane_per_dry=limits.least_pentane_per_dry)
    require_at_least(0, air_spread=limits.air_spread, pentane_spread=limits.pentane_spread)
    require_at_least(0, air_activation_sd_j_mol=limits.air_activation_sd_j_mol)
    require_at_least(0, pentane_activation_sd_j_mol=limits.pentane_activation_sd_j_mol)


def _require_order(first: _Floats, last: _Floats) -> None:
    require_between(-1e12, 1e12, first_in_s=first)
    require_between(-1e12, 1e12, last_in_s=last)
    early = np.argwhere(last < first)
    if early.size:
        index = tuple(int(i) for i in early[0])
        name, wanted = "last_in_s", "not before first_in_s"
        raise OutOfRange(name, float(np.broadcast_to(last, (last < first).shape)[index]),
                         index=index, valid=wanted)  # fmt: skip


def _probes(fills: SiloFills, count: int) -> Sequence[tuple[ArrayLike, ArrayLike] | None]:
    if len(fills.probes) not in {0, count}:
        name, wanted = "probes", f"none, or one or None for each of {count} silos"
        raise OutOfRange(name, f"{len(fills.probes)} of them", valid=wanted)
    return fills.probes


def _path_to(target: _Floats, curve: Callable[[_Floats], _Floats], radius: _Floats) -> _Floats:
    """Diffusion path in m² at which the mean over sizes reaches a target."""

    def over(root: _Floats) -> _Floats:
        mean = curve((root[:, np.newaxis] / radius) ** 2).mean(axis=1)
        return np.asarray(mean - target)

    low, side = np.zeros(target.shape), np.zeros(target.shape)
    at_low = np.minimum(over(low), 0.0)
    high = radius.max(axis=1) * 0.1
    while np.any((at_high := over(high)) < 0):
        high = np.where(at_high < 0, 2 * high, high)
    # False position; an end that stays for a second time has its weight halved.
    for _ in range(100):
        fall = np.where(at_high > at_low, at_high - at_low, 1.0)
        root = np.where(at_low < 0, high - at_high * (high - low) / fall, 0.0)
        value = over(root)
        if np.all(np.abs(np.where(at_low < 0, value, 0.0)) < _SETTLED):
            break
        below = value < 0
        at_high = np.where(below, np.where(side < 0, at_high / 2, at_high), value)
        at_low = np.where(below, value, np.where(side > 0, at_low / 2, at_low))
        low, high = np.where(below, root, low), np.where(below, high, root)
        side = np.where(below, -1.0, 1.0)
    return np.asarray(root**2)


def _age(path: _Floats, seconds: _Floats) -> _Floats:
    """Age at which each silo's path has come so far; beyond the last it goes on as it did."""
    age = np.array([np.interp(it, row, _AGES) for it, row in zip(seconds, path, strict=True)])
    pace = (_AGES[-1] - _AGES[-2]) / (path[:, -1] - path[:, -2])
    return np.where(seconds > path[:, -1], _AGES[-1] + (seconds - path[:, -1]) * pace, age)


def _along(path: _Floats, age: _Floats) -> _Floats:
    """How far each silo's path has come at an age, not counting the first second."""
    least = np.clip(age, 1.0, _AGES[-1])
    return np.array([np.interp(it, _AGES, row) for it, row in zip(least, path, strict=True)])


def _later(age: Banded, clock: _Floats) -> Banded:
    return Banded(age.value + clock, age.low + clock, age.high + clock)


@dataclass(frozen=True, slots=True)
class _Asked:
    """Silos checked: their diffusivities at 23 °C, their temperatures by age."""

    model: AgeingModel
    laid: Laid
    room: _Floats
    core: _Floats
    probed: NDArray[np.bool_]
    first: _Floats
    last: _Floats

    @classmethod
    def of(cls, fills: SiloFills, model: AgeingModel) -> _Asked:
        room, filled, bag, first, last = (
            np.atleast_1d(it)
            for it in require_arrays(
                room_k=fills.room_k,
                filled_k=fills.filled_k,
                bag_radius_m=fills.bag_radius_m,
                first_in_s=fills.first_in_s,
                last_in_s=fills.last_in_s,
            )
        )
        require_between(253.15, 378.15, room_k=room, filled_k=filled)
        require_between(-1e12, 1e12, first_in_s=first)
        require_at_least(0, strict=True, bag_radius_m=bag)
        _require_order(first, last)
        beads = SiloBeads(
            fills.bead_density_kg_m3, fills.pentane_per_dry, fills.radius_m, DIFFUSIVITY_KELVIN
        )
        laid = Laid.of(beads, [1.0], model)
        shape = (laid.density.size,)
        try:
            room, filled, bag, first, last = (
                np.broadcast_to(it, shape) for it in (room, filled, bag, first, last)
            )
        except ValueError:
            name, wanted = "room_k", f"one for each of {shape[0]} silos, as the bags and clocks"
            raise OutOfRange(name, f"of shape {room.shape}", valid=wanted) from None
        core = core_temperature(
            _AGES, bag[:, np.newaxis], filled[:, np.newaxis], room[:, np.newaxis],
            HEAT_DIFFUSIVITY.value,
        )  # fmt: skip
        probed = np.zeros(shape, bool)
        for at, probe in enumerate(_probes(fills, shape[0])):
            if probe is not None:
                times, readings = probe
                core[at] = probed_temperature(_AGES, np.asarray(times) - first[at], readings)
                probed[at] = True
        return cls(model, laid, room, core, probed, first, last)

    def ready(self, limits: WindowLimits) -> Banded:
        """Age at which enough air is in, at the temperature of the room."""
        model = self.model
        ratio = model.oxygen_mol_mspa / model.nitrogen_mol_mspa

        def air(tau: _Floats) -> _Floats:
            slow = (1 - OXYGEN_SHARE) * bead_uptake(tau, model.biot)
            share = slow + OXYGEN_SHARE * bead_uptake(tau * ratio, model.biot)
            return model.air_at_start + (1 - model.air_at_start) * share

        path = _path_to(np.full(self.first.size, limits.enough_air), air, self.laid.radius)
        energy = model.air_activation_j_mol
        warm = diffusion_path([1.0], self.room[:, np.newaxis], energy, DIFFUSIVITY_KELVIN, 1.0)
        rate = self.laid.air_root[:, 0] ** 2 * warm[:, 0]
        age = path / rate
        hotter = 1 / HANDBOOK_KELVIN - 1 / self.room
        steps = limits.air_activation_sd_j_mol / GAS_CONSTANT * hotter
        spread = np.hypot(np.asarray(limits.air_spread, float), steps) * NINE_IN_TEN
        return Banded.of(age, age * np.exp(-spread), age * np.exp(spread))

    def stale(self, limits: WindowLimits) -> Banded:
        """Age at which too little pentane is left, at the temperature of the core."""
        model, laid = self.model, self.laid
        short = np.maximum(1 - limits.least_pentane_per_dry / np.maximum(laid.pentane, 1e-9), 0)
        path = _path_to(short, lambda tau: bead_uptake(tau, model.biot), laid.radius)
        energy = model.pentane_activation_j_mol
        seconds = path / laid.pentane_root[:, 0] ** 2  # at 23 °C
        warm = diffusion_path(_AGES, self.core, energy, DIFFUSIVITY_KELVIN)
        age = _age(warm, seconds)
        other = energy + limits.pentane_activation_sd_j_mol
        shifted = diffusion_path(_AGES, self.core, other, DIFFUSIVITY_KELVIN)
        steps = np.log(_along(shifted, age) / _along(warm, age))
        spread = np.hypot(np.asarray(limits.pentane_spread, float), steps) * NINE_IN_TEN
        early, late = _age(warm, seconds * np.exp(-spread)), _age(warm, seconds * np.exp(spread))
        cool = diffusion_path([1.0], self.room[:, np.newaxis], energy, DIFFUSIVITY_KELVIN)
        at_once = seconds * np.exp(spread) / cool[:, 0]
        return Banded.of(age, early, np.where(self.probed, late, np.maximum(late, at_once)))
