"""A steaming trial: the curve fitted to cup weights, and what such a trial cannot tell.

Read first: :func:`fit_steaming`.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike

from beadwright.errors import (
    require_arrays,
    require_at_least,
    require_between,
    require_enough,
    require_series,
)
from beadwright.science.constants import SOLID_KG_M3
from beadwright.science.curve_fit import (
    Box,
    Fitted,
    Measured,
    Reported,
    Symbol,
    Vector,
    expanded_uncertainty,
    fit,
)
from beadwright.science.expansion.curve import (
    CEILING,
    COLLAPSE,
    LONGEST_S,
    TIME_CONSTANT,
    SteamingCurve,
    expansion_ratio,
    lowest_density,
)
from beadwright.science.expansion.slopes import gain_slopes, in_fit_scale, log_ratio_slopes
from beadwright.science.trust import Banded, Trust, stands

__all__ = ["SteamingFit", "SteamingTrial", "fit_steaming", "fitted_density", "fitted_gain"]

_FACTOR = 1.5
_LAG_STEP_S = 5.0
_NO_COLLAPSE = 1e-4  # a tenth of the slowest that is plausible: not to be told from none
_LOW = np.array([np.log(1.5), np.log(1.0), 0.0, 0.0])
_HIGH = np.array([np.log(150.0), np.log(600.0), 0.01, 60.0])
_TAUS = np.array([8.0, 16.0, 32.0, 64.0, 128.0])
_COLLAPSES = np.array([1e-4, 5e-4, 1.5e-3, 4e-3, 1e-2])
_SYMBOLS = (
    Symbol("X_e", "1", logarithm=True),
    Symbol("tau", "s", logarithm=True),
    Symbol("k_l", "1/s"),
    Symbol("t_0", "s"),
)
_NARROWED = "cups past the density's minimum, from one deliberate over-steam run"


@dataclass(frozen=True, slots=True)
class SteamingTrial:
    """Cups of one grade at one steam pressure, all dried (or all hot) alike.

    ``time_s`` and ``density_kg_m3`` of the cups, shape (n,); the raw beads' bulk density; the lag
    until the beads are hot, or None to fit it too; ``spread``, the relative standard deviation of
    one cup if it is known (packing alone is about 1 %), or None to take it from the residuals.
    """

    time_s: ArrayLike
    density_kg_m3: ArrayLike
    raw_density_kg_m3: float
    lag_s: float | None = 6.0
    spread: float | None = None


@dataclass(frozen=True, slots=True)
class SteamingFit(Reported):
    """What a trial tells of a grade, and what it does not."""

    parameters: tuple[Fitted, ...]
    """Ceiling, time constant, collapse rate, lag; without a value where the trial cannot tell."""
    covariance: Vector
    """Of ln X_e, ln tau, k_l, t_0: for bands inside the tested times, not to be quoted."""
    curve: SteamingCurve
    """The best curve, for use inside the tested times only."""
    tested_s: tuple[float, float]
    spread: float
    """Relative standard deviation of one cup, given or found."""
    degrees: int | None
    misfit: float | None
    """Residual variance over that of a known spread; above about 2 the curve does not fit."""

    @property
    def working_curve(self) -> SteamingCurve:
        """What was identified, and defaults from memory for the rest: to plan a trial with."""
        defaults = (CEILING.value, TIME_CONSTANT.value, COLLAPSE.value)
        ceiling, tau, collapse = (
            default if each.value is None else each.value
            for each, default in zip(self.parameters, defaults, strict=False)
        )
        return replace(
            self.curve, ceiling=ceiling, time_constant_s=tau, collapse_per_second=collapse
        )


@stands(
    Trust.ESTIMATE,
    formula="least squares on ln rho; a parameter is reported if 1.5 times or 2/3 of it fits worse",
    source="least squares with profiles",
    cause="cups scatter by some per cent, and batches differ",
    narrowed_by=_NARROWED,
)
def fit_steaming(trial: SteamingTrial) -> SteamingFit:
    """The steaming curve of a grade from its cups, without what the trial cannot identify.

    Fits the logarithm of density, because cups err in per cent. Then each parameter is held at
    1.5 times and at two thirds of its value and the others are fitted anew: if the cups fit nearly
    as well (at 95 %), the trial cannot tell it, and the parameter is not reported. Trials that
    stop before the minimum are of that kind.

    Parameters
    ----------
    trial : SteamingTrial
        Cups, raw density, and what is known beforehand.

    Returns
    -------
    fit : SteamingFit
        Parameters or reasons, covariance, the curve for use inside the tested times.

    Raises
    ------
    OutOfRange
        If there are fewer cups than parameters, a density is not below the raw beads', or an
        argument is not finite or outside its range.

    References
    ----------
    .. [1] D. M. Bates and D. G. Watts, "Nonlinear Regression Analysis and Its Applications",
       Wiley, 1988, chapter 6: profiles. [from memory]

    Examples
    --------
    >>> times = [15.0, 25, 40, 60, 90, 130, 180, 250, 350, 480]
    >>> from beadwright.science.expansion.curve import steaming_density
    >>> truth = steaming_density(times, SteamingCurve(42.0, 35.0, 0.0015, 6.0, 610.0))
    >>> fit = fit_steaming(SteamingTrial(times, truth, 610.0, spread=0.02))
    >>> [round(each.value, 4) for each in fit.parameters[:3]], fit.refused
    ([42.0, 35.0, 0.0015], ())
    """
    time, logs = _observed(trial)
    box = Box(_LOW.copy(), _HIGH.copy())
    if trial.lag_s is not None:
        box = box.holding(3, trial.lag_s)

    def model(at: Vector) -> tuple[Vector, Vector]:
        return log_ratio_slopes(time, at)

    measured = Measured(model, logs, box, trial.spread, 1e-16)
    told = fit(measured, _start(time, logs, trial.lag_s), _within)
    ceiling, tau, collapse, lag = told.natural(_SYMBOLS)
    curve = SteamingCurve(ceiling, tau, collapse, lag, trial.raw_density_kg_m3)
    left = logs.size - int((box.low < box.high).sum())
    misfit = told.solution.sum_of_squares / left / told.variance if left and trial.spread else None
    return SteamingFit(
        told.reported(_SYMBOLS, _reasons(time, curve, trial)),
        told.covariance,
        curve,
        (float(time.min()), float(time.max())),
        told.spread,
        told.degrees,
        misfit,
    )


@stands(
    Trust.ESTIMATE,
    formula="delta method on ln rho(t)",
    source="linearised least squares",
    cause="the scatter of the trial's cups",
    narrowed_by="more cups near the times in question",
)
def fitted_density(fit: SteamingFit, time_s: ArrayLike, coverage: float = 0.95) -> Banded:
    """Density of the fitted curve with its band, inside the tested times only.

    Holds also where single parameters are not identified: what the cups bracket, they tell.

    Parameters
    ----------
    fit : SteamingFit
        A fitted trial.
    time_s : array_like, shape (...)
        Times within those of the trial's first and last cup. [s]
    coverage : float, optional
        Chance that the band holds the curve, 0.95 by default. [1]

    Returns
    -------
    density : Banded
        Density of the curve, not of the next cup. [kg/m^3]

    Raises
    ------
    OutOfRange
        If a time lies outside the tested ones.

    Examples
    --------
    >>> times = [15.0, 25, 40, 60, 90, 130, 180, 250, 350, 480]
    >>> from beadwright.science.expansion.curve import steaming_density
    >>> truth = steaming_density(times, SteamingCurve(42.0, 35.0, 0.0015, 6.0, 610.0))
    >>> band = fitted_density(fit_steaming(SteamingTrial(times, truth, 610.0, spread=0.02)), 60.0)
    >>> float(band.low), float(band.value), float(band.high)
    (19.00, 19.29, 19.60)
    """
    time, at = _inside(fit, time_s)
    logs, slopes = log_ratio_slopes(time.ravel(), at)
    off = expanded_uncertainty(slopes, fit.covariance, coverage, fit.degrees)
    density = np.asarray(fit.curve.raw_density_kg_m3) * np.exp(-logs)
    parts = (density, density * np.exp(-off), density * np.exp(off))
    return Banded.of(*(part.reshape(time.shape) for part in parts))


@stands(
    Trust.ESTIMATE,
    formula="delta method on d ln rho/dt",
    source="linearised least squares",
    cause="the scatter of the trial's cups",
    narrowed_by="more cups on both sides of the time in question",
)
def fitted_gain(fit: SteamingFit, time_s: ArrayLike, coverage: float = 0.95) -> Banded:
    """Gain of the time knob with its band, inside the tested times only.

    Parameters
    ----------
    fit : SteamingFit
        A fitted trial.
    time_s : array_like, shape (...)
        Times within those of the trial's first and last cup. [s]
    coverage : float, optional
        Chance that the band holds the gain, 0.95 by default. [1]

    Returns
    -------
    gain : Banded
        Relative change of density for one more second. [1/s]

    Raises
    ------
    OutOfRange
        If a time lies outside the tested ones.

    Examples
    --------
    >>> times = [15.0, 25, 40, 60, 90, 130, 180, 250, 350, 480]
    >>> from beadwright.science.expansion.curve import steaming_density
    >>> truth = steaming_density(times, SteamingCurve(42.0, 35.0, 0.0015, 6.0, 610.0))
    >>> band = fitted_gain(fit_steaming(SteamingTrial(times, truth, 610.0, spread=0.02)), 45.0)
    >>> bool(band.low < -0.0125 < band.high < 0)
    True
    """
    time, at = _inside(fit, time_s)
    gain, slopes = gain_slopes(time.ravel(), at)
    off = expanded_uncertainty(slopes, fit.covariance, coverage, fit.degrees)
    parts = (gain, gain - off, gain + off)
    return Banded.of(*(part.reshape(time.shape) for part in parts))


def _observed(trial: SteamingTrial) -> tuple[Vector, Vector]:
    """Times, and logarithms of the expansion ratio."""
    time, density = require_series(time_s=trial.time_s, density_kg_m3=trial.density_kg_m3)
    require_between(0, LONGEST_S, time_s=time)
    require_between(0, SOLID_KG_M3, strict=True, raw_density_kg_m3=trial.raw_density_kg_m3)
    require_between(0, trial.raw_density_kg_m3, strict=True, density_kg_m3=density)
    if trial.lag_s is not None:
        require_at_least(0, lag_s=trial.lag_s)
    require_enough(4 if trial.lag_s is None else 3, "cups", time_s=time.size)
    return time, np.log(trial.raw_density_kg_m3 / density)


def _start(time: Vector, logs: Vector, lag_s: float | None) -> Vector:
    """The best of a coarse net of time constants and collapse rates; the ceiling follows."""
    lag = lag_s if lag_s is not None else min(6.0, 0.5 * float(time.min()))
    tau, collapse = (each.ravel()[:, None] for each in np.meshgrid(_TAUS, _COLLAPSES))
    ceiling = np.full_like(tau, 40.0)
    for _ in range(3):
        net = np.log(expansion_ratio(time, SteamingCurve(ceiling, tau, collapse, lag)))
        off = logs - net
        shift = np.exp(off.mean(axis=1, keepdims=True))
        best = int(((off**2).sum(axis=1)).argmin())
        ceiling = np.clip(ceiling * shift, 1.6, 140.0)
    start = np.log([ceiling[best, 0], tau[best, 0]])
    return np.append(start, [collapse[best, 0], lag])


def _within(at: Vector) -> Vector:
    """How far the cups are to tell a parameter: a factor of 1.5; some seconds, for the lag."""
    factor = np.array([-np.log(_FACTOR), np.log(_FACTOR)])
    seconds = np.array([-_LAG_STEP_S, _LAG_STEP_S])
    rate = max(at[2], _NO_COLLAPSE) * np.exp(factor) - at[2]
    return np.array([factor, factor, rate, seconds])


def _reasons(time: Vector, curve: SteamingCurve, trial: SteamingTrial) -> tuple[str, ...]:
    """Why each parameter would not be told by this trial."""
    first, last = float(time.min()), float(time.max())
    _, tau_log, collapse, hot_s = in_fit_scale(curve)
    seen = replace(curve, collapse_per_second=max(collapse, _NO_COLLAPSE))
    lowest = float(lowest_density(seen).time_s)
    as_well = "half as much again, or two thirds, fits the cups as well"
    if last < 1.5 * lowest or last < 1.5 * float(lowest_density(SteamingCurve()).time_s):
        late = (
            f"the last cup was taken at {last:g} s, too early to see the density rise again: a "
            "low ceiling and a fast collapse look alike"
        )
    else:
        late = "too few cups, or cups that scatter too much, past the minimum"
    early = (
        f"the first cup was taken at {first:g} s, when most of the expansion was over"
        if first > hot_s + float(np.exp(tau_log))
        else late
    )
    lag = (
        f"a lag {_LAG_STEP_S:g} s longer or shorter fits as well: no cup close enough to the "
        "start; read from the machine when the beads are hot, and give it"
    )
    if trial.lag_s is not None:
        lag = ""
    return (f"{as_well}: {late}", f"{as_well}: {early}", f"{as_well}: {late}", lag)


def _inside(fit: SteamingFit, time_s: ArrayLike) -> tuple[Vector, Vector]:
    (time,) = require_arrays(time_s=time_s)
    require_between(*fit.tested_s, time_s=time)
    return time, in_fit_scale(fit.curve)
