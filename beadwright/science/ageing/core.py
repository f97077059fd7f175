"""How warm beads are in their silo, and how far gas has come meanwhile.

Read first: :func:`core_temperature`. A probe in the bag overrides it: :func:`probed_temperature`.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.errors import OutOfRange, require_arrays, require_at_least
from beadwright.science.ageing.gases import arrhenius
from beadwright.science.ageing.sphere import sphere_centre
from beadwright.science.trust import Parameter, Trust, stands

__all__ = [
    "HEAT_DIFFUSIVITY",
    "core_temperature",
    "diffusion_path",
    "probed_temperature",
]

_Floats = NDArray[np.float64]

HEAT_DIFFUSIVITY = Parameter(
    "α", 1.26e-6, 1.0e-6, 1.6e-6, "m^2/s",
    "k/(ρ c) of 0.036 W/(m K), 22 kg/m³ of heap and 1300 J/(kg K)", memory=True,
)  # fmt: skip
"""Of a heap of beads whose air stands still."""


@stands(
    Trust.ESTIMATE,
    formula="T = T_room + (T_start - T_room) [1 - C(α t/R²)]",
    source="Crank, The Mathematics of Diffusion, 2nd ed., Oxford 1975, equation 6.19",
    cause="conduction alone in a sphere: air that moves through the bag cools it sooner",
    narrowed_by="a probe in the middle of the bag",
)
def core_temperature(
    time_s: ArrayLike,
    radius_m: ArrayLike,
    start_k: ArrayLike,
    room_k: ArrayLike,
    diffusivity_m2_s: ArrayLike = HEAT_DIFFUSIVITY.value,
) -> _Floats:
    r"""Temperature in the middle of a bag of beads that was filled warm.

    .. math:: T = T_r + (T_0 - T_r) \left[1 - C\left(\frac{\alpha t}{R^2}\right)\right]

    with C of :func:`~beadwright.science.ageing.sphere_centre`.

    Parameters
    ----------
    time_s : array_like, shape (...)
        Since filling, >= 0. [s]
    radius_m : array_like, shape (...)
        Of the bag, taken as a sphere, > 0. [m]
    start_k : array_like, shape (...)
        Temperature of the beads as they were filled, > 0. [K]
    room_k : array_like, shape (...)
        Temperature of the room, at which the bag's skin is held, > 0. [K]
    diffusivity_m2_s : array_like, shape (...), optional
        Thermal diffusivity of the heap, > 0. [m^2/s]

    Returns
    -------
    temperature_k : ndarray, shape (...)
        Between start and room; the inputs broadcast. [K]

    Raises
    ------
    OutOfRange
        If a time is negative, or another argument not above 0.

    References
    ----------
    .. [1] J. Crank, "The Mathematics of Diffusion", 2nd ed., Oxford 1975, equation 6.19.
       [from memory]

    Examples
    --------
    A bag of 0.8 m radius keeps 37 % of its excess for a day:

    >>> excess = core_temperature(86400, [0.6, 0.8, 1.0], 333.15, 293.15) - 293.15
    >>> (excess / 40).round(2).tolist()
    [0.1, 0.37, 0.66]
    """
    time, radius, start, room, diffusivity = require_arrays(
        time_s=time_s,
        radius_m=radius_m,
        start_k=start_k,
        room_k=room_k,
        diffusivity_m2_s=diffusivity_m2_s,
    )
    require_at_least(0, time_s=time)
    require_at_least(0, strict=True, radius_m=radius, start_k=start, room_k=room)
    require_at_least(0, strict=True, diffusivity_m2_s=diffusivity)
    come = sphere_centre(diffusivity * time / radius**2)
    return np.asarray(start + (room - start) * come)


@stands(
    Trust.EXACT,
    formula="T between readings by a straight line, held before the first and after the last",
    source="linear interpolation",
)
def probed_temperature(
    time_s: ArrayLike, reading_time_s: ArrayLike, reading_k: ArrayLike
) -> _Floats:
    """Temperature of a bag between the readings of its probe.

    Parameters
    ----------
    time_s : array_like, shape (...)
        Times asked for, >= 0. [s]
    reading_time_s : array_like, shape (readings,)
        Times of the readings on the same clock, rising, >= 0. [s]
    reading_k : array_like, shape (readings,)
        What the probe said, > 0. [K]

    Returns
    -------
    temperature_k : ndarray, shape (...)
        One for each time asked for. [K]

    Raises
    ------
    OutOfRange
        If a time is negative, a reading not above 0 K, there are not as many readings as times,
        or the times do not rise.

    Examples
    --------
    >>> probed_temperature([0, 3600, 9000], [1800, 5400], [320.0, 310.0]).tolist()
    [320.0, 315.0, 310.0]
    """
    (asked,) = require_arrays(time_s=time_s)
    require_at_least(0, time_s=asked)
    times, readings = require_arrays(reading_time_s=reading_time_s, reading_k=reading_k)
    times, readings = np.atleast_1d(times), np.atleast_1d(readings)
    if times.ndim != 1 or times.shape != readings.shape:
        name, wanted = "reading_k", f"one for each of the {times.size} times, in one row"
        raise OutOfRange(name, f"of shape {readings.shape}", valid=wanted)
    require_at_least(0, strict=True, reading_k=readings)
    _require_rising("reading_time_s", times)
    return np.asarray(np.interp(asked, times, readings))


@stands(
    Trust.EXACT,
    formula="∫ (T/T₀)ⁿ exp[-E/R (1/T - 1/T₀)] dt by Simpson's rule, T straight between the times",
    source="Arrhenius; Simpson's rule",
)
def diffusion_path(
    time_s: ArrayLike,
    temperature_k: ArrayLike,
    activation_j_mol: float,
    reference_k: float,
    power: float = 0.0,
) -> _Floats:
    r"""Time at the reference temperature that has let diffusion come as far.

    .. math::
        s(t) = \int_0^t \left(\frac{T}{T_0}\right)^n e^{-\frac{E}{R} (1/T - 1/T_0)} dt'

    A diffusivity D₀ at the reference temperature then has tau = D₀ s / a².

    Parameters
    ----------
    time_s : array_like, shape (times,)
        Rising, >= 0; before the first the temperature is the first one's. [s]
    temperature_k : array_like, shape (..., times)
        Temperature at each time, straight between them, > 0; a last axis of one is a
        temperature that stays. [K]
    activation_j_mol : float
        Activation energy of the diffusivity, >= 0. [J/mol]
    reference_k : float
        Temperature at which a second counts as a second, > 0. [K]
    power : float, optional
        Power n of the temperature besides: 1 for a gas stored in cells, whose diffusivity is
        its permeability times R T. [1]

    Returns
    -------
    path_s : ndarray, shape (..., times)
        Rising along the times. [s]

    Raises
    ------
    OutOfRange
        If the times do not rise, or a temperature is not above 0 K.

    Notes
    -----
    The error of Simpson's rule is that of its fourth derivative: for 30 kJ/mol and 20 K between
    two times it is 3e-5 of the path between them, for 10 K 2e-6, for 5 K 1e-7.

    References
    ----------
    .. [1] J. Crank, "The Mathematics of Diffusion", 2nd ed., Oxford 1975, section 7.1, time-
       dependent diffusion coefficients. [from memory]

    Examples
    --------
    A day at 10 °C is half a day at 25 °C to air:

    >>> path = diffusion_path([0.0, 86400.0], 283.15, 30e3, 298.15)
    >>> (path / 86400).round(3).tolist()
    [0.0, 0.527]
    """
    (times,) = require_arrays(time_s=time_s)
    times = np.atleast_1d(times)
    if times.ndim != 1:
        name, wanted = "time_s", "one row of times"
        raise OutOfRange(name, f"of shape {times.shape}", valid=wanted)
    require_at_least(0, time_s=times)
    _require_rising("time_s", times)
    temperature = np.atleast_1d(require_arrays(time_s=times, temperature_k=temperature_k)[1])
    require_at_least(0, strict=True, temperature_k=temperature)

    def rate(kelvin: _Floats) -> _Floats:
        faster = arrhenius(activation_j_mol, kelvin, reference_k)
        return faster * (kelvin / reference_k) ** power if power else faster

    at = rate(temperature)
    if temperature.shape[-1] == 1:
        return at * times
    path = np.empty((*temperature.shape[:-1], times.size))
    path[..., 0] = at[..., 0] * times[0]
    between = rate((temperature[..., 1:] + temperature[..., :-1]) / 2)
    path[..., 1:] = (at[..., 1:] + 4 * between + at[..., :-1]) / 6 * np.diff(times)
    return np.asarray(np.cumsum(path, axis=-1))


def _require_rising(name: str, times: _Floats) -> None:
    falls = np.flatnonzero(~(np.diff(times) > 0))
    if falls.size:
        index = int(falls[0]) + 1
        wanted = "later than the one before it"
        raise OutOfRange(name, float(times[index]), index=(index,), valid=wanted)
