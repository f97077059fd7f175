"""The control chart of one series of a plant: points, why this kind, signals, and since when.

Read :func:`charted`; :func:`charts` asks it of every series. A chart asks for a cause to be looked
for; it holds, refuses and releases nothing.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Literal, get_args

import numpy as np
from numpy.typing import NDArray

from beadwright.errors import Misuse, OutOfRange
from beadwright.ledger import settings
from beadwright.plant.charted.bead_lots import BeadLot, bead_lots
from beadwright.plant.charted.every import watched
from beadwright.plant.charted.made_since import lots_since
from beadwright.plant.charted.series import LEAST, Watched
from beadwright.plant.charted.since import Event, Row, Since, event_of, since_when
from beadwright.plant.opening import Plant
from beadwright.plant.words import number
from beadwright.statistics.charts import (
    BETWEEN,
    LASTING,
    LIMITS,
    NELSON,
    Chart,
    Choice,
    Design,
    Kind,
    LastingStep,
    Other,
    RuleSet,
    Series,
    Signal,
    chart_of,
    choose,
    lasting_step,
    rule_run_length,
)
from beadwright.statistics.charts.lasting import LEAST as LEAST_FOR_STEP

__all__ = ["COUNT_RULES", "DESIGNS", "RULES", "Charted", "Charts", "charted", "charts"]

RULES = NELSON.only(1, 2)
"""Of measured values: one point beyond the limits, and nine in a row on one side. Which of the
published rules are asked is our choice: every further one gives more false alarms."""

COUNT_RULES = LIMITS
"""Of counts, which lie mostly below their mean where they are small: nine lots without a single
defective piece in a row are no signal."""

_SURE = 25
"""Lots from which their means show whether lots differ by more than blocks within one do, as in
:func:`beadwright.statistics.charts.choose`."""

_LOTS_APART = (
    "Fewer than 25 lots cannot show whether lots differ by more than blocks within one: their means"
    " are charted with the spread from lot to lot."
)

_STEPPED: frozenset[Kind] = frozenset({"individuals", "mean", "residuals"})
"""Charts of measured values whose lots are asked for a lasting step."""

_KEPT = 512
"""Charts that are kept in memory, some 20 kB each: a new point makes a new one."""

DESIGNS: tuple[str, ...] = get_args(Design)

_Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Charted:
    """A series with its chart."""

    series: Watched
    choice: Choice | None
    """The chart that the data ask for; None where none can be made."""
    chart: Chart | None
    lasting: LastingStep | None = None
    """The likeliest lasting step, signal or not; None where none was asked for."""
    why_not: str = ""
    """Why there is no chart."""
    event: Event | None = None
    """The newest of what it signals."""
    since: Since | None = None
    """When that began; None where nothing signals, or too little is known."""
    lots: tuple[str, ...] = ()
    """Block lots made since then, those without a point too; where it is over, until then."""
    beads: tuple[BeadLot, ...] = ()
    """The bead lots that its points are of, where one chart is asked for alone."""

    @property
    def between_false(self) -> float:
        """Points between two signals with nothing wrong, of independent normal values."""
        rules = _run_length(self.chart.rules if self.chart is not None else RULES)
        return rules if self.lasting is None else 1 / (1 / rules + 1 / BETWEEN)

    @property
    def signalled_ms(self) -> int:
        """Time of the newest point that completes a signal; 0 where none does."""
        if self.chart is None or not self.chart.signals:
            return 0
        return self.series.points[max(one.at for one in self.chart.signals)].at_ms


@dataclass(frozen=True, slots=True)
class Charts:
    """Every series of a plant: those that signal, the newest signal first, then the others."""

    at_ms: int
    signalling: tuple[Charted, ...]
    quiet: tuple[Charted, ...]
    few: tuple[Charted, ...]
    """Without a chart."""

    @property
    def by_chance(self) -> float:
        """Signals that so many points give with nothing wrong, by the run length of the rules."""
        return sum(
            len(one.series.points) / one.between_false
            for one in (*self.signalling, *self.quiet)
            if one.chart is not None
        )


@lru_cache(maxsize=8)
def _run_length(rules: RuleSet) -> float:
    return rule_run_length(rules).mean


def charts(plant: Plant, at_ms: int, of: str = "") -> Charts:
    """Chart every series of a plant; ``of``: those of a product, a machine or a lot alone."""
    every = watched(plant.no, settings.load(plant.no), at_ms).values()
    found = [_made(one, None) for one in every if not of or one.is_of(of)]
    made = [one for one in found if one.chart is not None]
    loud = [one for one in made if one.chart is not None and one.chart.signals]
    return Charts(
        at_ms,
        tuple(sorted(loud, key=lambda one: (-one.signalled_ms, one.series.key))),
        tuple(one for one in made if one.chart is not None and not one.chart.signals),
        tuple(one for one in found if one.chart is None),
    )


def charted(plant: Plant, key: str, at_ms: int, *, kind: str = "") -> Charted:
    """Chart one series, with the lots made since what it signals began.

    ``kind`` is a chart to make instead of the one that the data ask for, of :data:`DESIGNS`.

    Raises
    ------
    Misuse
        If the plant has no such series, or its data cannot be charted so.
    """
    in_force = settings.load(plant.no)
    every = watched(plant.no, in_force, at_ms)
    if key not in every:
        message = f"{plant.code} has no series {key}: `chart` without a name lists them"
        raise Misuse(message)
    if kind and kind not in DESIGNS:
        message = f"{kind} is no kind of chart; those: {', '.join(DESIGNS)}"
        raise Misuse(message)
    found = _made(every[key], kind or None)
    if kind and found.chart is None:
        message = f"{key} cannot be charted as {kind}: {found.why_not}"
        raise Misuse(message)
    beads = bead_lots(plant.no, found.series) if found.chart is not None else ()
    if found.since is None:
        return replace(found, beads=beads)
    lots = lots_since(plant.no, found.series, found.since, at_ms)
    return replace(found, lots=lots, beads=beads)


@lru_cache(maxsize=_KEPT)
def _made(series: Watched, design: str | None) -> Charted:
    """Chart a series; the very same points are charted once, because models take time to fit."""
    if series.few:
        few = f"{number(len(series.points), 'point')} until now; charted from {LEAST} on"
        return Charted(series, None, None, why_not=few)
    data, row = _data(series)
    rules = RULES if series.scale == "measured" else COUNT_RULES
    wanted: Design | None = next((one for one in get_args(Design) if one == design), None)
    try:
        choice = _choice(data)
        chart = chart_of(data, wanted or choice.design, rules=rules)
        if wanted in {None, choice.design}:
            chart = replace(chart, reasons=_said(choice, chart))
    except OutOfRange as no:
        return Charted(series, None, None, why_not=_why(no, row.values))
    lasting = _lasting(series, chart, row)
    chart = _with_step(chart, lasting)
    event = event_of(chart)
    since = None if event is None else since_when(event, row)
    return Charted(series, choice, chart, lasting, "", event, since)


def _lasting(series: Watched, chart: Chart, row: Row) -> LastingStep | None:
    """Ask lots for a step that lasts. Cups are not asked: their level wanders by nature."""
    if series.of != "lots" or chart.kind not in _STEPPED or len(row.values) < LEAST_FOR_STEP:
        return None
    return lasting_step(row.values)


def _with_step(chart: Chart, lasting: LastingStep | None) -> Chart:
    if lasting is None or not lasting.found:
        return chart
    points = tuple(range(lasting.at, len(chart.points)))
    side: Literal["above", "below"] = "above" if lasting.after > lasting.before else "below"
    signal = Signal(LASTING, lasting.at, points, side)
    return replace(chart, signals=(*chart.signals, signal))


def _choice(data: Series) -> Choice:
    """Choose as the data ask for; of few lots, by the spread from lot to lot."""
    choice = choose(data)
    if choice.design != "means" or len(data.values) >= _SURE:
        return choice
    plain = Other("means", "takes the spread within lots for all there is")
    said = (*choice.reasons[:1], _LOTS_APART, *choice.reasons[2:])
    return Choice("means as individuals", said, (plain,))


def _said(choice: Choice, chart: Chart) -> tuple[str, ...]:
    """Give the reasons of the choice, then the chart's own."""
    own = [one for one in chart.reasons if not one.startswith("Asked for")]
    return tuple(dict.fromkeys((*choice.reasons, *own)))


def _why(no: OutOfRange, values: _Floats) -> str:
    return "its values do not differ" if values.min() == values.max() else str(no)


def _data(series: Watched) -> tuple[Series, Row]:
    """Give what is charted, and beside it a row of one value for each point."""
    first = np.array([one.values[0] for one in series.points])
    if series.scale != "measured":
        inspected = np.array([float(one.inspected) for one in series.points])
        return Series.of(first, series.scale, inspected), Row(first, inspected)
    most = max(len(one.values) for one in series.points)
    mean = np.array([sum(one.values) / len(one.values) for one in series.points])
    if most == 1 or min(len(one.values) for one in series.points) == 1:
        return Series.of(mean), Row(mean)
    rows = np.full((len(series.points), most), np.nan)
    for row, one in zip(rows, series.points, strict=True):
        row[: len(one.values)] = one.values
    if np.nanmax(rows, axis=1).max() == np.nanmin(rows, axis=1).min():
        return Series.of(mean), Row(mean)
    return Series.of(rows), Row(mean)
