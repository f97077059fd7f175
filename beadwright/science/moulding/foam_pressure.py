"""The foam's pressure on the mould face while it cools.

Read first: :func:`foam_pressure`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.errors import OutOfRange, require_arrays, require_at_least, require_between
from beadwright.science.constants import ATMOSPHERE_PA
from beadwright.science.trust import Parameter, Trust, stands

__all__ = [
    "CAUSE",
    "CAUTION",
    "DEMOULD_PRESSURE",
    "MOST_PA",
    "NARROWED",
    "VACUUM_PA",
    "PressureDecay",
    "demould_time",
    "foam_pressure",
]

CAUTION = (
    "Foam under pressure can burst; mould and condensate scald. The machine's own interlocks "
    "decide."
)

DEMOULD_PRESSURE = Parameter(
    "p_d", 15e3, 10e3, 20e3, "Pa", "practice of shape moulding, gauge", memory=True
)

VACUUM_PA = -ATMOSPHERE_PA
"""Lowest gauge pressure there is."""

MOST_PA = 1e6
"""Highest gauge pressure that a mould would show."""

CAUSE = "the gauge scatters, and a shot is not quite like the next"
NARROWED = "a record that goes on until the pressure has settled, shot by shot"


@dataclass(frozen=True, slots=True)
class PressureDecay:
    """Gauge pressures at the start of cooling and at last, and the decay time. Arrays may be."""

    start_pa: ArrayLike
    rest_pa: ArrayLike
    time_constant_s: ArrayLike


@stands(
    Trust.ESTIMATE,
    formula="p = p_rest + (p_0 - p_rest) exp(-t/tau)",
    source="first-order decay; our own form",
    cause=CAUSE,
    narrowed_by=NARROWED,
)
def foam_pressure(time_s: ArrayLike, decay: PressureDecay) -> NDArray[np.float64]:
    r"""Foam pressure on the mould face after a time of cooling.

    .. math:: p(t) = p_\infty + (p_0 - p_\infty) e^{-t/\tau}

    Parameters
    ----------
    time_s : array_like, shape (...)
        Time since cooling began, >= 0. [s]
    decay : PressureDecay
        The shot's pressures and decay time.

    Returns
    -------
    pressure_pa : ndarray, shape (...)
        Gauge pressure; time and parameters broadcast. [Pa]

    Raises
    ------
    OutOfRange
        If a time is negative, a pressure below vacuum, or the decay time not above 0.

    References
    ----------
    .. [1] That foam pressure, not core temperature, lets a part be demoulded.
       [common practice, no source]

    Examples
    --------
    >>> round(float(foam_pressure(61.07, PressureDecay(70e3, 8e3, 28.0))))
    15001
    """
    (time,) = require_arrays(time_s=time_s)
    require_at_least(0, time_s=time)
    start, rest, tau = _checked(decay)
    return np.asarray(rest + (start - rest) * np.exp(-time / tau))


@stands(
    Trust.ESTIMATE,
    formula="t = tau ln[(p_0 - p_rest)/(p_d - p_rest)]",
    source="first-order decay solved for time",
    cause=CAUSE,
    narrowed_by=NARROWED,
)
def demould_time(decay: PressureDecay, limit_pa: ArrayLike) -> NDArray[np.float64]:
    r"""Time after which the foam pressure is at or under a limit.

    .. math:: t_d = \tau \ln \frac{p_0 - p_\infty}{p_d - p_\infty}

    Parameters
    ----------
    decay : PressureDecay
        The shot's pressures and decay time.
    limit_pa : array_like, shape (...)
        Gauge pressure at which the part may be demoulded, above the rest pressure. [Pa]

    Returns
    -------
    time_s : ndarray, shape (...)
        0 where the pressure is under the limit from the start. [s]

    Raises
    ------
    OutOfRange
        If a limit is not above the rest pressure, so that it is never reached, or a parameter is
        outside its range.

    References
    ----------
    .. [1] The decay solved for time. [common practice, no source]

    Examples
    --------
    >>> float(demould_time(PressureDecay(70e3, 8e3, 28.0), 15e3))
    61.07
    """
    start, rest, tau, limit = np.broadcast_arrays(
        *_checked(decay), *require_arrays(limit_pa=limit_pa)
    )
    require_between(VACUUM_PA, MOST_PA, limit_pa=limit)
    if np.any(limit <= rest):
        index = tuple(int(i) for i in np.argwhere(limit <= rest)[0])
        name = "limit_pa"
        valid = f"above the rest pressure {rest[index]:g}, or it is never reached"
        raise OutOfRange(name, float(limit[index]), index=index, valid=valid)
    fall = np.maximum((start - rest) / (limit - rest), 1.0)
    return np.asarray(tau * np.log(fall))


def _checked(decay: PressureDecay) -> list[NDArray[np.float64]]:
    start, rest, tau = require_arrays(
        start_pa=decay.start_pa, rest_pa=decay.rest_pa, time_constant_s=decay.time_constant_s
    )
    require_between(VACUUM_PA, MOST_PA, start_pa=start, rest_pa=rest)
    require_at_least(0, strict=True, time_constant_s=tau)
    return [start, rest, tau]
