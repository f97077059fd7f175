"""A model of a series whose values hang together: what the next value is expected to be.

Read :class:`SeriesModel`, then :func:`fitted`. The models are the three that the trade names for
one: AR(1), a pull back to a level; ARMA(1, 1), the same seen through the scatter of measuring; and
the integrated moving average IMA(1, 1), a level that wanders and is pulled back to nothing.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.optimize import minimize, minimize_scalar
from scipy.signal import lfilter

from beadwright.statistics.charts.chart import Baseline, LeftOut, kept
from beadwright.statistics.requirements import refuse, require_series

__all__ = ["ModelKind", "SeriesModel", "fitted", "residuals_of"]

ModelKind = Literal["white", "AR(1)", "ARMA(1,1)", "IMA(1,1)"]

_PARAMETERS: dict[ModelKind, int] = {"white": 0, "AR(1)": 1, "ARMA(1,1)": 2, "IMA(1,1)": 1}
_EDGE = 0.995
"""Coefficients are kept this far from one: beyond, a series has no level of its own."""

_SETTLED = 1e-14
_LEAST = 25
"""Values below which no model is fitted: common practice, no source."""

_Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class SeriesModel:
    r"""What a series does: :math:`x_i - \mu = \varphi (x_{i-1} - \mu) + e_i - \theta e_{i-1}`."""

    kind: ModelKind
    level: float
    """μ; of an IMA(1,1) the last value that was expected."""
    phi: float
    theta: float
    spread: float
    """Standard deviation of what cannot be foreseen of the next value, e."""
    used: int
    information: float
    """Schwarz's criterion on the same values: the least is the best."""
    left_out: tuple[LeftOut, ...] = ()

    @property
    def freedom(self) -> float:
        """Degrees of freedom of the spread."""
        return float(max(1, self.used - _PARAMETERS[self.kind] - 1))

    @property
    def series_spread(self) -> float:
        """Standard deviation of the series itself; infinite where its level wanders."""
        if self.kind == "IMA(1,1)":
            return math.inf
        gain = self.phi - self.theta
        return self.spread * math.sqrt(1 + gain**2 / (1 - self.phi**2))


def residuals_of(values: ArrayLike, model: SeriesModel) -> _Floats:
    """What was not foreseen of each value, in its own standard deviations.

    A Kalman filter with exact variances: the first values, and those after a gap, are foreseen
    less well, and count accordingly.

    Parameters
    ----------
    values : array_like, shape (n,)
        In the order in which they came, in the unit of the model; NaN where one is missing. [1]
    model : SeriesModel
        What the series does.

    Returns
    -------
    residuals : ndarray, shape (n,)
        Independent and standard normal while the model holds; NaN where a value is missing, and at
        the first of a series whose level wanders. [1]

    References
    ----------
    .. [1] A. C. Harvey, "Forecasting, Structural Time Series Models and the Kalman Filter",
       Cambridge, 1989, chapter 3. [from memory]

    Examples
    --------
    >>> model = SeriesModel("AR(1)", 10.0, 0.5, 0.0, 1.0, 100, 0.0)
    >>> [round(x, 3) for x in residuals_of([10.0, 12.0, 11.0], model).tolist()]
    [0.0, 2.0, 0.0]
    """
    series = np.asarray(values, dtype=np.float64)
    wanders = model.kind == "IMA(1,1)"
    level = 0.0 if wanders else model.level
    found, _ = _filtered(series - level, model.phi, model.theta, wanders=wanders)
    return found / model.spread


def fitted(
    values: ArrayLike, baseline: Baseline | None = None, kinds: Sequence[ModelKind] | None = None
) -> tuple[SeriesModel, ...]:
    """Fit the models to a series by maximum likelihood, the best first.

    Parameters
    ----------
    values : array_like, shape (n,)
        At least 25, in the order in which they came, in any one unit. [1]
    baseline : Baseline, optional
        What is left out, each with its cause.
    kinds : sequence of ModelKind, optional
        Which models; all four where none is given.

    Returns
    -------
    models : tuple of SeriesModel
        By Schwarz's criterion, on the values after the first.

    Raises
    ------
    OutOfRange
        If there are fewer than 25 values, one is not finite, or they do not vary.

    References
    ----------
    .. [1] G. E. P. Box and G. M. Jenkins, "Time Series Analysis: Forecasting and Control", 1970.
       [from memory]
    .. [2] G. Schwarz, "Estimating the dimension of a model", Ann. Statist. 6 (1978) 461-464. [from
       memory]
    """
    series = require_series(_LEAST, values=values)
    asked = baseline or Baseline()
    good = kept(len(series), asked)
    if good.sum() < _LEAST or not series[good].std() > 0:
        refuse("values", f"{good.sum()} to fit", f"at least {_LEAST} values that vary")
    x = np.where(good, series, np.nan)
    of: Sequence[ModelKind] = kinds or ("white", "AR(1)", "ARMA(1,1)", "IMA(1,1)")
    models = [_fit(kind, x, asked) for kind in of]
    return tuple(sorted(models, key=lambda model: model.information))


def _fit(kind: ModelKind, x: _Floats, asked: Baseline) -> SeriesModel:
    def off(parameters: _Floats) -> float:
        return _judged(kind, x, *_coefficients(kind, parameters)).whole

    best = np.zeros(0)
    if kind in {"AR(1)", "IMA(1,1)"}:
        found = minimize_scalar(lambda one: off(np.array([one])), bounds=(-_EDGE, _EDGE),
                                method="bounded", options={"xatol": 1e-6})  # fmt: skip
        best = np.array([found.x])
    elif kind == "ARMA(1,1)":
        # Two hills are common: a slow pull seen through scatter, and a plain AR(1).
        starts = [np.array([0.9, 0.6]), np.array([0.4, 0.0])]
        bounds = [(-_EDGE, _EDGE)] * 2
        tried = [minimize(off, start, method="L-BFGS-B", bounds=bounds) for start in starts]
        best = min(tried, key=lambda one: float(one.fun)).x
    phi, theta = _coefficients(kind, best)
    judged = _judged(kind, x, phi, theta)
    used = int(np.isfinite(x).sum())
    free = _PARAMETERS[kind] + (1 if kind == "IMA(1,1)" else 2)
    information = judged.later + free * math.log(used - 1)
    return SeriesModel(
        kind, judged.level, phi, theta, judged.spread, used, information, asked.left_out
    )


class _Judged(NamedTuple):
    """How unlikely all values are, and those after the first; level and spread."""

    whole: float
    later: float
    level: float
    spread: float


def _coefficients(kind: ModelKind, parameters: _Floats) -> tuple[float, float]:
    if kind == "AR(1)":
        return float(parameters[0]), 0.0
    if kind == "IMA(1,1)":
        return 1.0, float(parameters[0])
    return (float(parameters[0]), float(parameters[1])) if len(parameters) else (0.0, 0.0)


def _judged(kind: ModelKind, x: _Floats, phi: float, theta: float) -> _Judged:
    wanders = kind == "IMA(1,1)"
    # The filter is linear: the level that fits best is a regression on what it makes of ones.
    start = float(x[np.isfinite(x)][0])
    seen, variance = _filtered(x - start, phi, theta, wanders=wanders)
    good = np.isfinite(seen)
    level = 0.0
    if not wanders:
        ones, _ = _filtered(np.where(np.isfinite(x), 1.0, np.nan), phi, theta, wanders=False)
        level = float(seen[good] @ ones[good] / (ones[good] @ ones[good]))
        seen = seen - level * ones
    free = _PARAMETERS[kind] + (0 if wanders else 1)
    square = float(seen[good] @ seen[good])
    spread = math.sqrt(square / max(1, int(good.sum()) - free))
    later = good.copy()
    later[int(np.flatnonzero(np.isfinite(x))[0])] = False
    whole, rest = (_unlikely(seen[some], variance[some]) for some in (good, later))
    return _Judged(whole, rest, float(x[np.isfinite(x)][-1]) if wanders else level + start, spread)


def _unlikely(seen: _Floats, variance: _Floats) -> float:
    """Twice the negative logarithm of the likelihood, at the spread that makes it least."""
    own = float(seen @ seen) / len(seen)
    return len(seen) * (math.log(2 * math.pi * own) + 1) + float(np.log(variance).sum())


def _filtered(x: _Floats, phi: float, theta: float, *, wanders: bool) -> tuple[_Floats, _Floats]:
    """Innovations by the root of their variance, and that variance, both by the spread of e."""
    gain = phi - theta
    found, variance = np.full(len(x), np.nan), np.full(len(x), np.nan)
    state, about = 0.0, math.inf if wanders else gain**2 / (1 - phi**2)
    whole = not np.isnan(x).any()
    for i, value in enumerate(x.tolist()):
        if math.isnan(value):
            state, about = phi * state, phi**2 * about + gain**2
        elif math.isinf(about):  # nothing is known yet: the first value is all
            state, about = value, (1 - gain) ** 2
        else:
            f = about + 1
            k = (phi * about + gain) / f
            off = value - state
            found[i], variance[i] = off / math.sqrt(f), f
            settled = about
            state, about = phi * state + k * off, phi**2 * about + gain**2 - k**2 * f
            if whole and abs(about - settled) < _SETTLED:
                _steadily(x, i + 1, (state, phi, k, f), (found, variance))
                break
    return found, variance


def _steadily(
    x: _Floats, start: int, filtered: tuple[float, float, float, float], into: tuple[_Floats, ...]
) -> None:
    """Filter the rest of a series, once the variance stands still, all at once."""
    state, phi, k, f = filtered
    rest = x[start:]
    if len(rest):
        # state' = (φ - k) state + k x, and the state before each value is what was expected of it.
        after = lfilter([k], [1.0, k - phi], rest, zi=np.array([(phi - k) * state]))[0]
        expected = np.concatenate(([state], after[:-1]))
        into[0][start:], into[1][start:] = (rest - expected) / math.sqrt(f), f
