"""A control chart: its points, the limits of each, the rules that signal, and the reasons.

Read :class:`Chart`. The modules beside this one make them: ``variables``, ``subgroups``,
``attributes``, ``ewma``, ``cusum``, ``wandering`` and others; ``choose`` says which.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from beadwright.statistics.charts.rules import RuleSet, Signal, found, signals
from beadwright.statistics.requirements import refuse

__all__ = ["KINDS", "Baseline", "Chart", "Kind", "LeftOut", "Plotted", "Process", "judged", "kept"]

Kind = Literal[
    "individuals", "moving range", "mean", "range", "deviation", "p", "np", "c", "u",
    "weighted average", "cumulative sum", "residuals", "score", "t squared",
]  # fmt: skip

KINDS: tuple[Kind, ...] = (
    "individuals", "moving range", "mean", "range", "deviation", "p", "np", "c", "u",
    "weighted average", "cumulative sum", "residuals", "score", "t squared",
)  # fmt: skip

_ALL_FORMS: frozenset[Kind] = frozenset({"individuals", "mean", "residuals", "score"})
_SKEWED: frozenset[Kind] = frozenset({"range", "deviation", "p", "np", "c", "u"})


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A point that limits are not estimated from, and its cause."""

    at: int
    cause: str
    """What was found to have happened; a point without a cause is not left out."""


@dataclass(frozen=True, slots=True)
class Baseline:
    """Limits are to be estimated from the very points that are shown: phase 1."""

    left_out: tuple[LeftOut, ...] = ()
    by: str = ""
    """How the spread is estimated, of the ways that the kind of chart has; empty: its first."""


@dataclass(frozen=True, slots=True)
class Process:
    """What limits rest on. Kept from an earlier chart, it makes the next one phase 2."""

    level: float
    """Mean, proportion, count or rate: where the centre line lies."""
    spread: float
    """Standard deviation of one value within; of counts: 1, or more where they vary more."""
    by: str
    """How the spread was estimated."""
    used: int
    """Points or subgroups that it was estimated from."""
    freedom: float
    """Degrees of freedom of the spread; infinite where it is known."""
    left_out: tuple[LeftOut, ...] = ()


@dataclass(frozen=True, slots=True)
class Plotted:
    """Points with their limits, before any rule is asked."""

    kind: Kind
    points: NDArray[np.float64]
    centre: NDArray[np.float64]
    lower: NDArray[np.float64]
    upper: NDArray[np.float64]
    spread: NDArray[np.float64]
    """Standard deviation of each point."""


@dataclass(frozen=True, slots=True, eq=False)
class Chart:
    """A control chart of one series."""

    kind: Kind
    points: NDArray[np.float64]
    """What is plotted; NaN where there is no value."""
    centre: NDArray[np.float64]
    lower: NDArray[np.float64]
    upper: NDArray[np.float64]
    """Centre line and limits, each point its own."""
    spread: NDArray[np.float64]
    """Standard deviation of each point, of which the zones are made."""
    process: Process
    phase: Literal[1, 2]
    """1: limits of these points themselves; 2: limits that were kept from before."""
    rules: RuleSet
    """The rules that were asked, which may be fewer than were wanted."""
    signals: tuple[Signal, ...]
    reasons: tuple[str, ...] = ()
    """Why the chart is what it is, in sentences."""
    beside: Chart | None = None
    """The chart of the spread that belongs to it."""

    @property
    def scores(self) -> NDArray[np.float64]:
        """Points less the centre line, in their own standard deviations."""
        return (self.points - self.centre) / self.spread

    @property
    def in_control(self) -> bool:
        """Whether no rule signals, here and on the chart of the spread."""
        return not self.signals and (self.beside is None or self.beside.in_control)

    @property
    def signalled(self) -> tuple[int, ...]:
        """Indices of the points at which a rule is completed."""
        return tuple(sorted({signal.at for signal in self.signals}))


def judged(
    plotted: Plotted,
    process: Process,
    phase: Literal[1, 2],
    rules: RuleSet,
    reasons: Iterable[str] = (),
) -> Chart:
    """Ask the rules that hold for this kind of chart, and give the chart.

    Points that are left out stay on the chart; no rule counts them.

    Parameters
    ----------
    plotted : Plotted
        Points and limits.
    process : Process
        What the limits rest on.
    phase : {1, 2}
        Whether they were estimated from these points. [1]
    rules : RuleSet
        The rules that are wanted.
    reasons : iterable of str
        Why the chart is what it is.

    Returns
    -------
    chart : Chart
        With its signals.
    """
    asked, said = _valid(plotted.kind, rules)
    points = plotted.points
    if phase == 1:
        out = [one.at for one in process.left_out]
        points = points.copy()
        points[out] = np.nan
    with np.errstate(invalid="ignore"):
        z = (points - plotted.centre) / plotted.spread
        outside = (points > plotted.upper).astype(np.int8) - (points < plotted.lower)
    sides = found(z, asked, outside)
    notes = (*reasons, *said, *(_told(one) for one in process.left_out if phase == 1))
    return Chart(
        plotted.kind, plotted.points, plotted.centre, plotted.lower, plotted.upper,
        plotted.spread, process, phase, asked, signals(sides, z, asked), notes,
    )  # fmt: skip


def kept(count: int, baseline: Baseline) -> NDArray[np.bool_]:
    """Which points limits are estimated from.

    Parameters
    ----------
    count : int
        Points in all. [1]
    baseline : Baseline
        With those that are left out, each with its cause.

    Returns
    -------
    marks : ndarray, shape (count,)
        True where a point is used. [1]

    Raises
    ------
    OutOfRange
        If a point is left out without a cause, twice, or is none of the points.
    """
    marks = np.ones(count, dtype=bool)
    for one in baseline.left_out:
        if not one.cause.strip():
            refuse("left_out", f"point {one.at + 1} without a cause", "a point with its cause")
        if not 0 <= one.at < count or not marks[one.at]:
            refuse("left_out", f"point {one.at + 1}", f"one of the {count} points, and once")
        marks[one.at] = False
    return marks


def _valid(kind: Kind, rules: RuleSet) -> tuple[RuleSet, list[str]]:
    """Give the rules that hold for a kind of chart, and why others are not asked."""
    if kind in _ALL_FORMS:
        return rules, []
    if kind in _SKEWED:
        numbers = [n for n, rule in enumerate(rules.rules, 1) if rule.of_limits or rule.width == 0]
        why = "zones in sigma do not hold the shares of a normal distribution there"
    else:
        numbers = [n for n, rule in enumerate(rules.rules, 1) if rule.of_limits]
        why = "its neighbouring points hold the same values"
    left = [rule.name for n, rule in enumerate(rules.rules, 1) if n not in numbers]
    if not left:
        return rules, []
    words = f"On a chart of kind {kind} these rules are not asked: {', '.join(left)}; {why}."
    return rules.only(*numbers), [words]


def _told(one: LeftOut) -> str:
    return f"Point {one.at + 1} is left out of the limits: {one.cause}"
