"""Which chart, by the form of the data: measured or counted, single or in subgroups, apart or not.

Read :class:`Series`, then :func:`choose`. The choice is said with its reasons, the other charts
that could be made with theirs, and whoever knows better takes another: :func:`chart_of`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.stats import f as variance_ratio

from beadwright.statistics.charts.attributes import counts, defectives, proportions, rates
from beadwright.statistics.charts.autocorrelation import autocorrelation
from beadwright.statistics.charts.chart import Baseline, Chart, Process
from beadwright.statistics.charts.counted import require_counts
from beadwright.statistics.charts.cusum import cusum
from beadwright.statistics.charts.ewma import ewma
from beadwright.statistics.charts.rules import LIMITS, RuleSet
from beadwright.statistics.charts.series_model import SeriesModel, fitted
from beadwright.statistics.charts.subgroups import means, subgroups_process
from beadwright.statistics.charts.variables import individuals
from beadwright.statistics.charts.wandering import wandering
from beadwright.statistics.requirements import refuse, require_series

__all__ = [
    "EXPLAINS",
    "Choice",
    "Design",
    "Other",
    "Scale",
    "Series",
    "Stepped",
    "chart_of",
    "choose",
]

Scale = Literal["measured", "defects", "defectives"]

Design = Literal[
    "individuals", "wandering", "means", "means as individuals", "weighted average",
    "cumulative sum", "p", "np", "c", "u",
]  # fmt: skip

EXPLAINS = (
    "explains that better than values that hang together: find its cause before limits are kept."
)
"""What is said of a step that is charted with plain limits."""

_ENOUGH = 25
"""Points from which limits are more than provisional: common practice, no source."""
_SURE = 0.001
_MANY = 9
"""Size from which a range wastes what the values in between say: common practice, no source."""
_SIDE = 5
"""Points on either side of a step at least."""
_COARSE = 1.0
_SKEWED = 1.0

_Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Series:
    """Data as they came: their values, and what they are."""

    values: _Floats
    """A row of single values or counts; or rows of subgroups, filled up with NaN."""
    scale: Scale = "measured"
    inspected: _Floats | None = None
    """Pieces or units inspected of each count; None where it was one unit each time."""

    @classmethod
    def of(
        cls, values: ArrayLike, scale: Scale = "measured", inspected: ArrayLike | None = None
    ) -> Series:
        """Make a series of anything that is like an array."""
        sizes = None if inspected is None else np.asarray(inspected, dtype=np.float64)
        return cls(np.asarray(values, dtype=np.float64), scale, sizes)


@dataclass(frozen=True, slots=True)
class Other:
    """A chart that could be made instead."""

    design: Design
    why: str
    """What it would be better at, or what speaks against it."""


@dataclass(frozen=True, slots=True)
class Stepped:
    """A step that explains a series better than neighbours that hang together."""

    at: int
    """Index of the first value after it."""
    before: float
    after: float

    @property
    def said(self) -> str:
        """Say it where a point has no name and values no unit."""
        levels = f"from {self.before:.4g} to {self.after:.4g}"
        return f"A step at point {self.at + 1} ({levels}) {EXPLAINS}"


@dataclass(frozen=True, slots=True)
class Choice:
    """The chart that the data ask for."""

    design: Design
    reasons: tuple[str, ...]
    others: tuple[Other, ...]
    step: Stepped | None = None
    """The step among the reasons, if one is."""


def choose(series: Series) -> Choice:
    """Choose a chart by the form of the data.

    Parameters
    ----------
    series : Series
        The data as they came.

    Returns
    -------
    choice : Choice
        With reasons, and the other charts that can be made.

    Raises
    ------
    OutOfRange
        If the data cannot be what they are said to be, or defectives come without the pieces
        inspected.

    References
    ----------
    .. [1] What each chart is for: NIST/SEMATECH e-Handbook of Statistical Methods, 6.3. [read in: a
       second source that cites it] Where a chart of subgroup means must take their own spread:
       D. J. Wheeler, "Advanced Topics in Statistical Process Control", 1995. [from memory]

    Examples
    --------
    >>> choose(Series.of([3, 5, 2, 4], "defects")).design
    'c'
    """
    if series.scale != "measured":
        return _of_counts(series)
    if series.values.ndim == 1:
        return _of_single(require_series(2, values=series.values))
    if series.values.ndim != 2:  # noqa: PLR2004 - a row, or rows
        refuse("values", f"of shape {series.values.shape}", "a row, or rows of subgroups")
    if series.values.shape[1] == 1:
        return _of_single(require_series(2, values=series.values[:, 0]))
    return _of_subgroups(series.values)


def _of_counts(series: Series) -> Choice:
    law = "binomial" if series.scale == "defectives" else "poisson"
    if series.inspected is None and law == "binomial":
        refuse("inspected", None, "the pieces inspected each time")
    sizes = 1.0 if series.inspected is None else series.inspected
    x, n = require_counts(series.values, sizes, law)
    same = bool(n.min() == n.max())
    what = "Defective pieces are counted" if law == "binomial" else "Defects are counted"
    if law == "binomial":
        design: Design = "np" if same else "p"
        other = Other("p" if same else "np", "shows shares" if same else "needs one number each"
                      " time")  # fmt: skip
    else:
        design = "c" if same else "u"
        other = Other("u" if same else "c", "shows defects by unit" if same else "needs one number"
                      " of units each time")  # fmt: skip
    of = "the same number is inspected each time" if same else "the number inspected differs"
    said = [f"{what}, and {of}."]
    if float(x.mean()) < 1:
        said.append(
            f"There are {x.mean():.2g} a time: the chart sees an increase late. Count over longer"
            " spans, or chart the time between them."
        )
    others = [other]
    if len(x) >= _ENOUGH and float(x.mean()) >= 1:
        others.append(Other("individuals", "takes the spread that is seen, if counts depend on"
                            " each other"))  # fmt: skip
    return Choice(design, (*said, *_few(len(x))), tuple(others))


def _of_single(x: _Floats) -> Choice:
    said = ["Single measured values."]
    small = (
        Other("weighted average", "finds small lasting shifts sooner, single events later"),
        Other("cumulative sum", "finds a small lasting shift soonest, and says since when"),
    )
    if len(x) >= _ENOUGH and x.std() > 0:
        hangs = autocorrelation(x)
        said.append(str(hangs))
        if hangs.found and (step := _step(x)):
            said.append(step.said)
            other = Other("wandering", "would take the step for a part of the process")
            return Choice("individuals", tuple(said), (*small, other), step)
        if hangs.found:
            said.append("Values hang together: a plain chart would drown in false alarms.")
            plain = Other("individuals", "signals too often here: its limits take values as apart")
            return Choice("wandering", tuple(said), (plain,))
        said.append("Values stand apart.")
    wandering_too = (Other("wandering", "would allow for values that hang together"),)
    others = small + (wandering_too if len(x) >= _ENOUGH else ())
    return Choice("individuals", (*said, *_few(len(x)), *_look(x)), others)


def _step(x: _Floats) -> Stepped | None:
    """Say where a series stepped, if that explains it better than a model; else none.

    A step makes neighbours alike as well. Limits that allow for it would hide what they are for.
    """
    n, total = len(x), np.cumsum(x - x.mean())
    before = np.arange(_SIDE, n - _SIDE + 1)
    gain = total[before - 1] ** 2 * n / (before * (n - before))
    at = int(before[gain.argmax()])
    level = np.where(np.arange(n) < at, x[:at].mean(), x[at:].mean())
    own = float(((x - level) ** 2).mean())
    if not own > 0 or autocorrelation(x - level).found:
        return None
    # Two levels, the place of the step counted twice, and the spread.
    information = n * (math.log(2 * math.pi * own) + 1) + 5 * math.log(n)
    if information >= min(model.information for model in fitted(x)):
        return None
    return Stepped(at, float(level[0]), float(level[-1]))


def _of_subgroups(rows: _Floats) -> Choice:
    sizes = np.isfinite(rows).sum(axis=1).astype(np.float64)
    process = subgroups_process(rows)
    points = np.nanmean(rows, axis=1)
    of = f"{sizes.min():g}" if sizes.min() == sizes.max() else f"{sizes.min():g} to {sizes.max():g}"
    said = [f"Measured values in {len(rows)} subgroups of {of}."]
    if len(rows) >= _ENOUGH:
        square = float((np.diff(points) ** 2).mean()) / 2
        within = process.spread**2 * float((1 / sizes).mean())
        freedom = 2 * (len(rows) - 1) / 3  # of a mean square successive difference
        chance = float(variance_ratio.sf(square / within, freedom, (sizes - 1).sum()))
        if chance < _SURE:
            said.append(
                f"Neighbouring means differ {np.sqrt(square / within):.1f} times as much as the"
                " spread within subgroups explains: limits from within would signal all the time."
            )
            plain = Other("means", "takes the spread within subgroups for all there is")
            return _between(points, said, plain)
        hangs = autocorrelation(points)
        if hangs.found:
            said.append(f"Of the means: {hangs}")
            return _between(points, said, Other("means", "takes subgroups as independent"))
    by = "standard deviations" if sizes.max() >= _MANY or sizes.min() < sizes.max() else "ranges"
    said.append(f"The spread within subgroups explains how means differ; it is watched by {by}.")
    others = (
        Other("means as individuals", "takes the spread from subgroup to subgroup"),
        Other("weighted average", "finds small lasting shifts sooner"),
        Other("cumulative sum", "finds a small lasting shift soonest, and says since when"),
    )
    return Choice("means", (*said, *_few(len(rows))), others)


def _between(points: _Floats, said: list[str], plain: Other) -> Choice:
    hangs = autocorrelation(points)
    others: tuple[Other, ...] = (plain,)
    if hangs.found and (step := _step(points)):
        said.append(step.said)
        wandering_too = Other("wandering", "would take the step for a part of the process")
        return Choice("means as individuals", tuple(said), (*others, wandering_too), step)
    if hangs.found:
        said.append("The means hang together: they are charted as a series of their own.")
        return Choice("wandering", tuple(said), others)
    said.append("The means are charted as single values, with the spread from one to the next.")
    return Choice("means as individuals", tuple(said), others)


def _few(count: int) -> tuple[str, ...]:
    if count >= _ENOUGH:
        return ()
    return (f"{count} points: limits are provisional until there are {_ENOUGH}.",)


def _look(x: _Floats) -> tuple[str, ...]:
    """What a reader of limits should know of the values: coarse rounding, skew."""
    spread, notes = float(x.std(ddof=1)), []
    steps = np.unique(np.round(np.abs(np.diff(np.unique(x))), 12))
    if spread > 0 and len(steps) and float(steps[0]) > _COARSE * spread:
        notes.append("Values are rounded to steps wider than their spread: measure finer.")
    if len(x) >= _ENOUGH and spread > 0:
        skew = float((((x - x.mean()) / spread) ** 3).mean())
        if abs(skew) > _SKEWED:
            side = "high" if skew > 0 else "low"
            notes.append(
                f"Values are skewed ({skew:.1f}): more false alarms on the {side} side than one in"
                " 740."
            )
    return tuple(notes)


def chart_of(
    series: Series,
    design: Design | None = None,
    basis: Process | SeriesModel | Baseline | None = None,
    rules: RuleSet = LIMITS,
) -> Chart:
    """Make the chart that is chosen, or the one that is asked for.

    Parameters
    ----------
    series : Series
        The data as they came.
    design : Design, optional
        The chart; the one of :func:`choose` where none is given.
    basis : Process, SeriesModel or Baseline, optional
        Limits that were kept (phase 2), or what is left out and how to estimate (phase 1).
    rules : RuleSet, optional
        Asked as far as they hold for the chart.

    Returns
    -------
    chart : Chart
        With the reasons of the choice before its own.

    Raises
    ------
    OutOfRange
        If the data are not of the form that the chart needs, or the basis is none of its kind.

    Examples
    --------
    >>> chart_of(Series.of([3, 5, 2, 4], "defects")).kind
    'c'
    """
    choice = choose(series)
    taken = design or choice.design
    chart = _made(series, taken, basis, rules)
    if taken == choice.design:
        return replace(chart, reasons=tuple(dict.fromkeys((*choice.reasons, *chart.reasons))))
    instead = f"Asked for, instead of {choice.design}, which the data suggest."
    return replace(chart, reasons=(instead, *chart.reasons))


def _made(
    series: Series,
    design: Design,
    basis: Process | SeriesModel | Baseline | None,
    rules: RuleSet,
) -> Chart:
    x = series.values
    if design == "wandering":
        if isinstance(basis, Process):
            refuse("basis", "a process", "a model of the series")
        return wandering(_row(x), basis, rules)
    if isinstance(basis, SeriesModel):
        refuse("basis", "a model of the series", "a process")
    if design == "means":
        if x.ndim != 2:  # noqa: PLR2004 - rows
            refuse("design", repr(design), "one for single values")
        return means(x, basis or Baseline(by=_by(x)), rules)
    if design in {"individuals", "means as individuals"}:
        return individuals(_row(x), basis, rules)
    if design in {"weighted average", "cumulative sum"}:
        return (ewma if design == "weighted average" else cusum)(_row(x), basis)
    return _counting(series, design, basis, rules)


def _counting(
    series: Series, design: Design, basis: Process | Baseline | None, rules: RuleSet
) -> Chart:
    n = np.ones(1) if series.inspected is None else np.atleast_1d(series.inspected)
    if series.scale == "measured" or (series.scale == "defectives") != (design in {"p", "np"}):
        refuse("design", repr(design), f"one for {series.scale}")
    if design in {"np", "c"} and n.min() < n.max():
        refuse("design", repr(design), "one for numbers inspected that differ")
    if design == "c":
        return counts(series.values, basis, rules)
    if design == "np":
        return defectives(series.values, float(n[0]), basis, rules)
    sizes = n if len(n) > 1 else float(n[0])
    return (proportions if design == "p" else rates)(series.values, sizes, basis, rules)


def _row(x: _Floats) -> _Floats:
    return x if x.ndim == 1 else np.asarray(np.nanmean(x, axis=1))


def _by(x: _Floats) -> str:
    sizes = np.isfinite(x).sum(axis=1)
    return "deviation" if sizes.max() >= _MANY or sizes.min() < sizes.max() else "range"
