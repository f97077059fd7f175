"""Shrinkage fitted to a product's own lengths, and how far ahead it may be read.

Read first: :func:`fit_shrinkage`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from beadwright.errors import (
    require_arrays,
    require_at_least,
    require_between,
    require_enough,
    require_series,
)
from beadwright.science.constants import DAY_S
from beadwright.science.curve_fit import (
    Box,
    Measured,
    Reported,
    Symbol,
    Vector,
    expanded_uncertainty,
    fit,
)
from beadwright.science.moulding.shrinkage import ShrinkageCurve, judging_age
from beadwright.science.trust import Banded, Trust, stands

__all__ = [
    "FURTHEST_S",
    "Forecast",
    "JudgingAge",
    "ShrinkageFit",
    "ShrinkageRecord",
    "fit_shrinkage",
    "fitted_judging_age",
    "forecast_shrinkage",
]

FURTHEST_S = 14 * DAY_S
"""How far beyond the last reading a forecast goes without a flag."""

_WITHIN = 0.0005  # half a millimetre in a metre: shares are told to within that
_OPEN = np.log(2.0)  # told to within half and twice
_TOLD = np.array([_WITHIN, _WITHIN, _OPEN, _OPEN])
_LOW = np.array([-0.05, -0.05, np.log(3600.0), np.log(0.2)])
_HIGH = np.array([0.05, 0.05, np.log(365 * DAY_S), np.log(2.0)])
_SYMBOLS = (
    Symbol("s_m", "1"),
    Symbol("s_p", "1"),
    Symbol("tau_s", "s", logarithm=True),
    Symbol("b", "1", logarithm=True),
)
_CAUSE = "lengths scatter between blocks, and the tail is longer than the record"
_NARROWED = "the same blocks measured again, weeks later"


@dataclass(frozen=True, slots=True)
class ShrinkageRecord:
    """Ages and shrinkage from the cavity, shape (n,), of blocks of one product and direction.

    ``time_constant_s`` and ``exponent`` if known from the plant's other products (the form of
    the curve is much alike, its size is not), else None; ``spread``, the standard deviation of
    one shrinkage, if known.
    """

    time_s: ArrayLike
    shrunk: ArrayLike
    time_constant_s: float | None = None
    exponent: float | None = None
    spread: float | None = None


@dataclass(frozen=True, slots=True)
class ShrinkageFit(Reported):
    """What a record tells of a product's shrinkage, and what it does not."""

    covariance: Vector
    """Of s_m, s_p, ln tau, ln b."""
    curve: ShrinkageCurve
    last_s: float
    spread: float
    degrees: int | None


@dataclass(frozen=True, slots=True)
class Forecast:
    """A band, and where it is read more than two weeks beyond the last reading."""

    band: Banded
    too_far: NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class JudgingAge:
    """An age in seconds with its band, or why there is none."""

    age_s: Banded | None
    why: str = ""
    too_far: bool = False
    """More than two weeks beyond the last reading: the curve's form decides, not the readings."""


@stands(
    Trust.ESTIMATE,
    formula="least squares on s; a parameter is reported if it fits worse off its value",
    source="least squares with profiles",
    cause=_CAUSE,
    narrowed_by=_NARROWED,
)
def fit_shrinkage(record: ShrinkageRecord) -> ShrinkageFit:
    """Shrinkage curve of a product from its lengths, without what they cannot tell.

    The shares are told if half a millimetre in a metre, either way, fits worse (at 95 %); time
    constant and exponent if half and twice their value do. A record of some days tells what has
    happened, and little of what will.

    Parameters
    ----------
    record : ShrinkageRecord
        Lengths by age, and what is known beforehand.

    Returns
    -------
    fit : ShrinkageFit
        Parameters or reasons, covariance, the curve.

    Raises
    ------
    OutOfRange
        If there are fewer readings than parameters, or a number is not finite or out of range.

    References
    ----------
    .. [1] D. M. Bates and D. G. Watts, "Nonlinear Regression Analysis and Its Applications",
       Wiley, 1988, chapter 6: profiles. [from memory]

    Examples
    --------
    >>> from beadwright.science.moulding.shrinkage import shrinkage
    >>> ages = 86400.0 * np.array([0.04, 0.5, 1, 3, 7, 14, 28, 56, 84])
    >>> seen = shrinkage(ages, ShrinkageCurve())
    >>> fit = fit_shrinkage(ShrinkageRecord(ages, seen, exponent=0.6, spread=1e-4))
    >>> round(100 * fit.parameters[1].value, 3), fit.refused
    (0.25, ())
    """
    time, seen = _readings(record)
    known = (None, None, record.time_constant_s, record.exponent)
    box = Box(_LOW.copy(), _HIGH.copy())
    for index, value in enumerate(known):
        if value is not None:
            box = box.holding(index, float(np.log(value)))
    require_enough(int((box.low < box.high).sum()), "readings", time_s=time.size)

    def model(at: Vector) -> tuple[Vector, Vector]:
        return _slopes(time, at)

    measured = Measured(model, seen, box, record.spread, 1e-18)
    told = fit(measured, _start(time, seen, box), lambda _: np.array([-_TOLD, _TOLD]).T)
    last = float(time.max())
    return ShrinkageFit(
        told.reported(_SYMBOLS, [_too_open(last)] * len(_SYMBOLS)),
        told.covariance,
        ShrinkageCurve(*told.natural(_SYMBOLS)),
        last,
        told.spread,
        told.degrees,
    )


@stands(
    Trust.ESTIMATE,
    formula="delta method on s(t)",
    source="linearised least squares",
    cause=_CAUSE,
    narrowed_by=_NARROWED,
)
def forecast_shrinkage(fit: ShrinkageFit, time_s: ArrayLike, coverage: float = 0.95) -> Forecast:
    """Mean shrinkage of a product at an age, with its band and a flag where it is far ahead.

    Parameters
    ----------
    fit : ShrinkageFit
        A fitted product.
    time_s : array_like, shape (...)
        Ages, from 0 to two years. [s]
    coverage : float, optional
        Chance that the band holds the mean, 0.95 by default. [1]

    Returns
    -------
    forecast : Forecast
        Band of the product's mean, not of one block; flags beyond two weeks. [1]

    Raises
    ------
    OutOfRange
        If an age is outside its range, or the coverage not between 0 and 1.

    Notes
    -----
    Where the flag stands, the form of the curve decides and not the readings.

    Examples
    --------
    >>> from beadwright.science.moulding.shrinkage import shrinkage
    >>> ages = 86400.0 * np.array([0.04, 1, 3, 7, 14])
    >>> record = ShrinkageRecord(ages, shrinkage(ages, ShrinkageCurve()), 1.5552e6, 0.6, 1e-4)
    >>> forecast_shrinkage(fit_shrinkage(record), 86400.0 * np.array([20, 40])).too_far.tolist()
    [False, True]
    """
    (time,) = require_arrays(time_s=time_s)
    require_between(0, 730 * DAY_S, time_s=time)
    value, slopes = _slopes(time.ravel(), _scale(fit.curve))
    off = expanded_uncertainty(slopes, fit.covariance, coverage, fit.degrees)
    parts = (of.reshape(time.shape) for of in (value, value - off, value + off))
    return Forecast(Banded.of(*parts), np.asarray(time > fit.last_s + FURTHEST_S))


@stands(
    Trust.ESTIMATE,
    formula="delta method on ln t_J",
    source="linearised least squares",
    cause=_CAUSE,
    narrowed_by=_NARROWED,
)
def fitted_judging_age(
    fit: ShrinkageFit, tolerance_share: float, part: float = 0.25, coverage: float = 0.95
) -> JudgingAge:
    """Age at which a product's dimension may be judged, with its band and a flag if far ahead.

    There is no answer where the readings leave it open by more than a factor of two either way,
    or a parameter was refused: then a narrow band is a narrow band by luck.

    Parameters
    ----------
    fit : ShrinkageFit
        A fitted product.
    tolerance_share : float
        Tolerance as a share of the length, above 0 and up to 0.1. [1]
    part : float, optional
        Part of the tolerance that the remaining change may take up, above 0 and up to 1. [1]
    coverage : float, optional
        Chance that the band holds the age, 0.95 by default. [1]

    Returns
    -------
    judging : JudgingAge
        Age with its band or why there is none; flagged where it is far ahead. [s]

    Raises
    ------
    OutOfRange
        If an argument is outside its range.

    Notes
    -----
    Of a hundred records some five to eight give a band that misses; where most records give no
    band at all, those that do are the lucky ones, and miss more often. Trust it with time constant
    and exponent known.

    Examples
    --------
    >>> from beadwright.science.moulding.shrinkage import shrinkage
    >>> ages = 86400.0 * np.array([0.04, 1, 3, 7, 14])
    >>> record = ShrinkageRecord(ages, shrinkage(ages, ShrinkageCurve()), 1.5552e6, 0.6, 1e-4)
    >>> age = fitted_judging_age(fit_shrinkage(record), 0.8 / 305)
    >>> round(float(age.age_s.value) / 86400, 1), age.too_far
    (29.3, True)
    """
    age = float(judging_age(fit.curve, tolerance_share, part))
    require_between(0, 1, strict=True, coverage=coverage)
    if age == 0:
        return JudgingAge(Banded.of(0.0, 0.0, 0.0), "so little is to come that any age will do")
    _, after, log_tau, log_b = _scale(fit.curve)
    exponent = float(np.exp(log_b))
    depth = (age / float(np.exp(log_tau))) ** exponent  # ln(|s_p| / (f T))
    slopes = np.array([[0.0, 1 / (exponent * depth * after), 1.0, -np.log(depth) / exponent]])
    off = float(expanded_uncertainty(slopes, fit.covariance, coverage, fit.degrees)[0])
    if off > _OPEN or fit.refused:
        return JudgingAge(None, _too_open(fit.last_s))
    ends = (age * np.exp(-off), age * np.exp(off))
    return JudgingAge(Banded.of(age, *ends), too_far=age > fit.last_s + FURTHEST_S)


def _too_open(last_s: float) -> str:
    return (
        f"the last reading is {last_s / DAY_S:.3g} days old, too early (or they scatter too "
        "much) to tell how much is still to come: measure the same blocks again, or give time "
        "constant and exponent from other products"
    )


def _readings(record: ShrinkageRecord) -> tuple[Vector, Vector]:
    time, seen = require_series(time_s=record.time_s, shrunk=record.shrunk)
    require_between(0, 730 * DAY_S, time_s=time)
    require_between(-0.05, 0.05, shrunk=seen)
    if record.time_constant_s is not None:
        require_between(3600, 365 * DAY_S, time_constant_s=record.time_constant_s)
    if record.exponent is not None:
        require_between(0.2, 2, exponent=record.exponent)
    if record.spread is not None:
        require_at_least(0, strict=True, spread=record.spread)
    return time, seen


def _slopes(time: Vector, at: Vector) -> tuple[Vector, Vector]:
    """s(t) and its derivatives to s_m, s_p, ln tau, ln b."""
    tau, exponent = np.exp(at[2:])
    reduced = np.maximum(time, 1e-9) / tau
    depth = reduced**exponent
    left = np.exp(-depth)
    pull = at[1] * left * depth
    slopes = np.empty((time.size, 4))
    slopes[:, 0] = 1.0
    slopes[:, 1] = 1 - left
    slopes[:, 2] = -pull * exponent
    slopes[:, 3] = pull * exponent * np.log(reduced)
    return at[0] + at[1] * (1 - left), slopes


def _start(time: Vector, seen: Vector, box: Box) -> Vector:
    """The best of a coarse net of times and exponents; the shares are a straight-line fit."""
    best, start = np.inf, np.zeros(4)
    for log_tau in np.clip(np.log(DAY_S * np.array([1, 5, 20, 80])), box.low[2], box.high[2]):
        for log_b in np.clip(np.log([0.4, 0.7, 1.1]), box.low[3], box.high[3]):
            done = -np.expm1(-((time / np.exp(log_tau)) ** np.exp(log_b)))
            sides = np.array([np.ones_like(done), done]).T
            shares = np.linalg.lstsq(sides, seen, rcond=None)[0]
            off = seen - sides @ shares
            if off @ off < best:
                best, start = float(off @ off), np.append(shares, [log_tau, log_b])
    return start


def _scale(curve: ShrinkageCurve) -> Vector:
    mould, after, tau, exponent = (
        np.asarray(of, dtype=np.float64)
        for of in (curve.mould_share, curve.after_share, curve.time_constant_s, curve.exponent)
    )
    return np.array([mould, after, np.log(tau), np.log(exponent)])
