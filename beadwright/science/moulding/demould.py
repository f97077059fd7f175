"""The decay of foam pressure fitted shot by shot, and the earliest time to demould.

Read first: :func:`earliest_demould`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from beadwright.errors import OutOfRange, require_at_least, require_between, require_series
from beadwright.science.curve_fit import (
    Box,
    Measured,
    Reported,
    Symbol,
    Vector,
    expanded_uncertainty,
    fit,
)
from beadwright.science.moulding.foam_pressure import (
    CAUSE,
    MOST_PA,
    NARROWED,
    VACUUM_PA,
    PressureDecay,
    demould_time,
)
from beadwright.science.trust import Banded, Trust, stands

__all__ = [
    "Demould",
    "PressureFit",
    "PressureRecord",
    "earliest_demould",
    "fit_foam_pressure",
]

_FACTOR = 1.5
_REST_SHARE = 0.25  # of the whole fall: how well the rest pressure must be told
_SYMBOLS = (Symbol("p_0", "Pa"), Symbol("p_rest", "Pa"), Symbol("tau", "s", logarithm=True))


@dataclass(frozen=True, slots=True)
class PressureRecord:
    """One shot's foam pressure from the start of cooling: seconds and gauge pascals, shape (n,).

    ``rest_pa`` if the pressure at last is known from other shots of the tool; ``spread_pa`` the
    standard deviation of one reading if known.
    """

    time_s: ArrayLike
    pressure_pa: ArrayLike
    rest_pa: float | None = None
    spread_pa: float | None = None


@dataclass(frozen=True, slots=True)
class PressureFit(Reported):
    """What a record tells of a shot: start, rest, decay time, or why it does not."""

    covariance: Vector
    """Of start, rest and ln tau."""
    decay: PressureDecay
    recorded_s: tuple[float, float]
    spread_pa: float
    degrees: int | None


@dataclass(frozen=True, slots=True)
class Demould:
    """The earliest time to demould with its band, or why there is none."""

    time_s: Banded | None
    why: str = ""
    beyond_record: bool = False
    """The time lies after the last reading: a forecast."""

    @property
    def safe_after_s(self) -> float | None:
        """The late end of the band."""
        return None if self.time_s is None else float(self.time_s.high)


@stands(
    Trust.ESTIMATE,
    formula="least squares on p; a parameter is reported if it fits worse off its value",
    source="least squares with profiles",
    cause=CAUSE,
    narrowed_by=NARROWED,
)
def fit_foam_pressure(record: PressureRecord) -> PressureFit:
    """Start, rest and decay time of one shot's foam pressure, without what the record hides.

    The decay time is told if 1.5 times and two thirds of it fit worse (at 95 %); the rest
    pressure if a quarter of the whole fall, either way, fits worse.

    Parameters
    ----------
    record : PressureRecord
        The readings from the start of cooling, and what is known beforehand.

    Returns
    -------
    fit : PressureFit
        Parameters or reasons, covariance, the decay.

    Raises
    ------
    OutOfRange
        If there are fewer than four readings, or a number is not finite or outside its range.

    References
    ----------
    .. [1] D. M. Bates and D. G. Watts, "Nonlinear Regression Analysis and Its Applications",
       Wiley, 1988, chapter 6: profiles. [from memory]

    Examples
    --------
    >>> times = np.arange(0.0, 91.0, 2.0)
    >>> from beadwright.science.moulding.foam_pressure import foam_pressure
    >>> seen = foam_pressure(times, PressureDecay(70e3, 8e3, 28.0))
    >>> fit = fit_foam_pressure(PressureRecord(times, seen, spread_pa=1e3))
    >>> [round(each.value, 3) for each in fit.parameters]
    [70000.0, 8000.0, 28.0]
    """
    time, seen = _readings(record)
    length = float(time.max() - time.min())
    box = Box(
        np.array([VACUUM_PA, VACUUM_PA, np.log(0.02 * length)]),
        np.array([MOST_PA, MOST_PA, np.log(20 * length)]),
    )
    if record.rest_pa is not None:
        box = box.holding(1, record.rest_pa)

    def model(at: Vector) -> tuple[Vector, Vector]:
        cooled = np.exp(-time / np.exp(at[2]))
        fall = at[0] - at[1]
        slopes = np.array([cooled, 1 - cooled, fall * cooled * time / np.exp(at[2])]).T
        return at[1] + fall * cooled, slopes

    def within(at: Vector) -> Vector:
        quarter, factor = _REST_SHARE * abs(at[0] - at[1]), np.log(_FACTOR)
        return np.array([[-np.inf, np.inf], [-quarter, quarter], [-factor, factor]])

    measured = Measured(model, seen, box, record.spread_pa, 1e-12)
    told = fit(measured, _start(time, seen, record.rest_pa), within)
    span = (float(time.min()), float(time.max()))
    early = (
        f"the record ends at {span[1]:g} s, before the pressure has settled: log longer, or give "
        "the rest pressure from other shots of this tool"
    )
    return PressureFit(
        told.reported(_SYMBOLS, [early] * len(_SYMBOLS)),
        told.covariance,
        PressureDecay(*told.natural(_SYMBOLS)),
        span,
        told.spread,
        told.degrees,
    )


@stands(
    Trust.ESTIMATE,
    formula="t_d with the delta method: u² = g C g",
    source="linearised least squares",
    cause=CAUSE,
    narrowed_by=NARROWED,
)
def earliest_demould(fit: PressureFit, limit_pa: float, coverage: float = 0.95) -> Demould:
    """Earliest time at which a shot's foam pressure is at or under a limit, with its band.

    Wait for the late end of the band. There is no answer where the record cannot tell the decay
    time or the rest pressure, or where the rest pressure may not be under the limit at all.

    Parameters
    ----------
    fit : PressureFit
        A fitted shot.
    limit_pa : float
        Gauge pressure at which the part may be demoulded. [Pa]
    coverage : float, optional
        Chance that the band holds the time, 0.95 by default. [1]

    Returns
    -------
    demould : Demould
        Time with its band, or why there is none. [s]

    Raises
    ------
    OutOfRange
        If the limit is not a pressure, or the coverage not between 0 and 1.

    Notes
    -----
    Advice on when the pressure allows it, never a command to a machine: see ``CAUTION``. Holds
    for the shot that was recorded; the next may have another decay time.

    References
    ----------
    .. [1] JCGM 100:2008, "Guide to the expression of uncertainty in measurement", 5.1.2.
       [from memory]

    Examples
    --------
    >>> times = np.arange(0.0, 91.0, 2.0)
    >>> from beadwright.science.moulding.foam_pressure import foam_pressure
    >>> seen = foam_pressure(times, PressureDecay(70e3, 8e3, 28.0))
    >>> fit = fit_foam_pressure(PressureRecord(times, seen, spread_pa=1e3))
    >>> when = earliest_demould(fit, 15e3)
    >>> float(when.time_s.value), when.safe_after_s
    (61.07, 62.51)
    """
    require_between(VACUUM_PA, MOST_PA, limit_pa=limit_pa)
    require_between(0, 1, strict=True, coverage=coverage)
    if fit.refused:
        return Demould(None, "; ".join(f"{each.symbol}: {each.why}" for each in fit.refused))
    start, rest, tau = (
        float(np.asarray(of))
        for of in (fit.decay.start_pa, fit.decay.rest_pa, fit.decay.time_constant_s)
    )
    if limit_pa <= rest + _off(np.array([0.0, 1.0, 0.0]), fit, coverage):
        why = f"the pressure at last, {rest:.0f} Pa, may not come under the limit {limit_pa:g} Pa"
        return Demould(None, why)
    if start <= limit_pa:
        return Demould(Banded.of(0.0, 0.0, 0.0), "under the limit from the start")
    when = float(demould_time(fit.decay, limit_pa))
    slopes = np.array([tau / (start - rest), tau / (limit_pa - rest) - tau / (start - rest), when])
    off = _off(slopes, fit, coverage)
    return Demould(
        Banded.of(when, max(when - off, 0.0), when + off), beyond_record=when > fit.recorded_s[1]
    )


def _off(slopes: Vector, fit: PressureFit, coverage: float) -> float:
    return float(expanded_uncertainty(slopes[np.newaxis], fit.covariance, coverage, fit.degrees)[0])


def _readings(record: PressureRecord) -> tuple[Vector, Vector]:
    time, seen = require_series(time_s=record.time_s, pressure_pa=record.pressure_pa)
    require_at_least(0, time_s=time)
    require_between(VACUUM_PA, MOST_PA, pressure_pa=seen)
    if record.rest_pa is not None:
        require_between(VACUUM_PA, MOST_PA, rest_pa=record.rest_pa)
    fewest = 4
    if time.size < fewest or np.ptp(time) == 0:
        name = "time_s"
        valid = f"at least {fewest}, not all at one time"
        raise OutOfRange(name, f"{time.size} readings", valid=valid)
    return time, seen


def _start(time: Vector, seen: Vector, rest_pa: float | None) -> Vector:
    """The best of some decay times; for each the two pressures are a straight-line fit."""
    best, start = np.inf, np.zeros(3)
    for tau in np.ptp(time) * np.array([0.1, 0.25, 0.5, 1.0, 2.0]):
        cooled = np.exp(-time / tau)
        if rest_pa is None:
            sides = np.array([cooled, 1 - cooled]).T
            pressures = np.linalg.lstsq(sides, seen, rcond=None)[0]
        else:
            fall = cooled @ (seen - rest_pa) / (cooled @ cooled)
            pressures = np.array([rest_pa + fall, rest_pa])
        off = seen - pressures[1] - (pressures[0] - pressures[1]) * cooled
        if off @ off < best:
            best, start = float(off @ off), np.append(pressures, np.log(tau))
    return start
