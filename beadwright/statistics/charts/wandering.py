"""Charts of series whose values hang together: residuals of a model, or limits of the right width.

Read :func:`wandering`, which chooses. The moving range of such a series sees only a part of its
spread; limits made of it signal all the time, and no choice of rules mends that.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import ndtr
from scipy.stats import t as student

from beadwright.errors import require_at_least
from beadwright.statistics.charts.autocorrelation import (
    autocorrelation,
    residual_run_length,
    wandering_run_length,
    wandering_width,
)
from beadwright.statistics.charts.chart import Baseline, Chart, Plotted, Process, judged
from beadwright.statistics.charts.rules import LIMITS, RuleSet
from beadwright.statistics.charts.series_model import SeriesModel, fitted, residuals_of
from beadwright.statistics.charts.variables import individuals
from beadwright.statistics.requirements import refuse, require_series

__all__ = ["Comparison", "allowed_width", "compared", "residuals", "wandering", "widened"]

_WIDTH = 3.0
_IN_CONTROL = 370.4
_STEP = 2.0
"""Step of the mean, in standard deviations of the series, by which the ways are compared."""

_Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Comparison:
    """How soon both ways find a step of two standard deviations, at one false alarm rate."""

    widened: float
    """Points in the mean, of single values against wide limits; infinite where none can be."""
    residuals: float
    """Points in the mean, of residuals."""
    moving_range: float
    """Points between false alarms if the limits were made of the moving range."""


def wandering(
    values: ArrayLike, basis: SeriesModel | Baseline | None = None, rules: RuleSet = LIMITS
) -> Chart:
    """Chart of a series by what its values do: apart, hanging together, or wandering.

    Parameters
    ----------
    values : array_like, shape (n,)
        In the order in which they came, in any one unit; at least 25 to estimate from. [1]
    basis : SeriesModel or Baseline, optional
        A model that was kept (phase 2), or what is left out of these values (phase 1).
    rules : RuleSet, optional
        Asked of residuals and of values that do not hang together; of widened limits only the
        limits are.

    Returns
    -------
    chart : Chart
        Of kind individuals or residuals; its reasons say which was chosen, and why.

    Raises
    ------
    OutOfRange
        If there are too few values, one is not finite, or they do not vary.

    References
    ----------
    .. [1] L. C. Alwan and H. V. Roberts, "Time-series modeling for statistical process control", J.
       Bus. Econ. Statist. 6 (1988) 87-95, of residuals. [from memory]
    """
    said: tuple[str, ...]
    if isinstance(basis, SeriesModel):
        model, said = basis, ("The model was kept from before.",)
    else:
        model, said = _found(require_series(1, values=values), basis)
    if model.kind == "white":
        left = basis if isinstance(basis, Baseline) else Baseline()
        known = isinstance(basis, SeriesModel)
        own = Process(model.level, model.spread, "model", model.used, model.freedom)
        chart = individuals(values, own if known else replace(left, by="deviation"), rules)
        why = "Values do not hang together: single values need no model."
        return replace(chart, reasons=(*said, why, *chart.reasons))
    ways = compared(model)
    cost = (
        f"Limits made of the moving range would signal once in {ways.moving_range:.0f} points"
        " with nothing wrong."
    )
    if ways.widened <= ways.residuals:
        why = (
            f"Single values against wider limits find a step of two sigma in {ways.widened:.1f}"
            f" points, residuals in {ways.residuals:.1f}: wider limits are taken."
        )
        return widened(values, model, known=isinstance(basis, SeriesModel), said=(*said, cost, why))
    if math.isinf(ways.widened):
        why = "The level itself wanders, so no limits can stand still: residuals are taken."
    else:
        why = (
            f"Residuals find a step of two sigma in {ways.residuals:.1f} points, single values"
            f" against wider limits in {ways.widened:.1f}: residuals are taken."
        )
    known = isinstance(basis, SeriesModel)
    return residuals(values, model, rules, known=known, said=(*said, cost, why))


def _found(series: _Floats, basis: Baseline | None) -> tuple[SeriesModel, tuple[str, ...]]:
    models = fitted(series, basis)
    hangs = autocorrelation(series)
    best = models[0]
    if not hangs.found:
        best = next(model for model in models if model.kind == "white")
    of = (f"{best.kind} fits best.",) if best.kind != "white" else ()
    return best, (str(hangs), *of)


def compared(model: SeriesModel) -> Comparison:
    """Compare the ways to chart a series that follows a model.

    Parameters
    ----------
    model : SeriesModel
        Of an ARMA(1,1) wide limits are judged as those of an AR(1) with the same correlation.

    Returns
    -------
    comparison : Comparison
        At one false alarm in 370 points.

    References
    ----------
    .. [1] D. G. Wardell, H. Moskowitz and R. D. Plante, "Run-length distributions of special-cause
       control charts for correlated processes", Technometrics 36 (1994) 3-17. [from memory]
    """
    if model.kind == "IMA(1,1)":
        # Differences have variance 1 + θ²: what the moving range sees of an ever wider series.
        seen = math.sqrt((1 + model.theta**2) / 2)
        return Comparison(math.inf, _seen_by_residuals(model), _until(model, seen))
    first = _first(model)
    wide = wandering_run_length(first, wandering_width(first, _IN_CONTROL), _STEP).mean
    narrow = wandering_run_length(first, _WIDTH * math.sqrt(1 - first)).mean
    if model.kind == "AR(1)":
        return Comparison(wide, residual_run_length(model.phi, _WIDTH, _STEP).mean, narrow)
    return Comparison(wide, _seen_by_residuals(model), narrow)


def _first(model: SeriesModel) -> float:
    """Correlation of a series with the value before."""
    phi, theta = model.phi, model.theta
    return (1 - phi * theta) * (phi - theta) / (1 - 2 * phi * theta + theta**2)


def _seen_by_residuals(model: SeriesModel) -> float:
    """Mean points until residuals signal a step, which they see less and less of."""
    spread = model.series_spread
    step = _STEP * (spread if math.isfinite(spread) else model.spread)
    plain = replace(model, level=0.0)
    quiet = np.zeros(300)
    quiet[100:] = step
    mean = np.nan_to_num(residuals_of(quiet, plain))[100:]
    inside = ndtr(_WIDTH - mean) - ndtr(-_WIDTH - mean)
    left = np.concatenate(([1.0], np.cumprod(inside)))
    return float(left[:-1].sum() + left[-1] / (1 - inside[-1]))


def _until(model: SeriesModel, spread: float) -> float:
    """Mean points until an IMA(1,1) leaves limits made of its moving range, by its own variance."""
    half, gain = _WIDTH * spread, 1 - model.theta
    steps = np.arange(5000)
    apart = np.sqrt(1 + steps * gain**2)
    return float(np.cumprod(1 - 2 * ndtr(-half / apart)).sum() + 1)


def allowed_width(freedom: float, more: float, width: float = _WIDTH) -> float:
    r"""Width of limits that rest on an estimate, at the false alarm rate of known ones.

    .. math:: w = t_{\nu}^{-1}(\Phi(L)) \sqrt{1 + v}

    Parameters
    ----------
    freedom : float
        Degrees of freedom of the spread, > 0. [1]
    more : float
        Variance of what else was estimated, by that of a point. [1]
    width : float, optional
        Width for known limits. [1]

    Returns
    -------
    width : float
        In estimated standard deviations. [1]

    References
    ----------
    .. [1] F. S. Hillier, "X-bar- and R-chart control limits based on a small number of subgroups",
       J. Qual. Technol. 1 (1969) 17-26, of the idea. [from memory]

    Examples
    --------
    >>> round(allowed_width(50.0, 0.02), 3)
    3.189
    """
    require_at_least(0, strict=True, freedom=freedom)
    require_at_least(0, more=more)
    return float(student.isf(ndtr(-width), freedom)) * math.sqrt(1 + more)


def residuals(
    values: ArrayLike,
    model: SeriesModel,
    rules: RuleSet = LIMITS,
    *,
    known: bool = False,
    said: tuple[str, ...] = (),
) -> Chart:
    """Chart of what was not foreseen of each value.

    Parameters
    ----------
    values : array_like, shape (n,)
        In the order in which they came, in the unit of the model. [1]
    model : SeriesModel
        What the series does.
    rules : RuleSet, optional
        Asked of the residuals.
    known : bool, optional
        Whether the model was kept from before (phase 2): limits then allow for its estimation.
    said : tuple of str, optional
        Reasons that stand before its own.

    Returns
    -------
    chart : Chart
        Of kind residuals, in standard deviations of a residual.

    References
    ----------
    .. [1] As of :func:`wandering`. [from memory]
    """
    series = require_series(1, values=values)
    points = residuals_of(_without(series, model, known=known), model)
    more = (model.used - model.freedom) / model.used
    width = allowed_width(model.freedom, more) if known else _WIDTH
    flat = np.zeros(len(series))
    plotted = Plotted("residuals", points, flat, flat - width, flat + width, flat + width / _WIDTH)
    own = Process(0.0, 1.0, model.kind, model.used, model.freedom, model.left_out)
    slow = "Residuals see a step in full once, and later on only a part of it."
    return judged(plotted, own, 2 if known else 1, rules, (*said, slow, *_wide(width)))


def widened(
    values: ArrayLike, model: SeriesModel, *, known: bool = False, said: tuple[str, ...] = ()
) -> Chart:
    """Chart of single values against limits as wide as the series itself.

    Parameters
    ----------
    values : array_like, shape (n,)
        In the order in which they came, in the unit of the model. [1]
    model : SeriesModel
        With a level: no IMA(1,1).
    known : bool, optional
        Whether the model was kept from before (phase 2): limits then allow for its estimation.
    said : tuple of str, optional
        Reasons that stand before its own.

    Returns
    -------
    chart : Chart
        Of kind individuals, with one false alarm in 370 points.

    Raises
    ------
    OutOfRange
        If the level of the series wanders.

    References
    ----------
    .. [1] As of :func:`beadwright.statistics.charts.autocorrelation.wandering_run_length`. [read
       in: a second source that cites it]
    """
    if model.kind == "IMA(1,1)":
        refuse("model", model.kind, "one with a level of its own")
    series = require_series(1, values=values)
    first = _first(model)
    width = wandering_width(first, _IN_CONTROL)
    spread = _unbiased(model).series_spread
    if known:
        alike = (1 + first) / (1 - first)
        freedom = max(2.0, model.freedom * (1 - first**2) / (1 + first**2))
        width = allowed_width(freedom, alike / model.used, width)
        # The spread is a bent function of φ, and comes out too large in the mean by the bend.
        spread *= math.exp(-1 / freedom + 0.5 / model.freedom)
    centre, half = np.full(len(series), model.level), np.full(len(series), width * spread)
    plotted = Plotted("individuals", series, centre, centre - half, centre + half, half / _WIDTH)
    own = Process(model.level, spread, model.kind, model.used, model.freedom, model.left_out)
    runs = "Runs are no signal here: neighbours are alike with nothing wrong."
    return judged(plotted, own, 2 if known else 1, LIMITS, (*said, runs, *_wide(width)))


def _unbiased(model: SeriesModel) -> SeriesModel:
    """The model with its pull corrected: estimates of φ are too small by (1 + 3 φ) / n."""
    phi = min(model.phi + (1 + 3 * model.phi) / model.used, 0.999) if model.phi else 0.0
    return replace(model, phi=phi)


def _wide(width: float) -> tuple[str, ...]:
    if abs(width - _WIDTH) < 0.005:  # noqa: PLR2004 - what two decimals show
        return ()
    return (f"Limits lie at {width:.2f} sigma, for one false alarm in 370 points.",)


def _without(series: _Floats, model: SeriesModel, *, known: bool) -> _Floats:
    """The series without the values that the model leaves out: they foretell nothing either."""
    if known or not model.left_out:
        return series
    some = series.copy()
    some[[one.at for one in model.left_out]] = np.nan
    return some
