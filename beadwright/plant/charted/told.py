"""Charts in words: signals, since when, and the lots made since.

Read :func:`told`, and :func:`newest_told` of one in short.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from beadwright.plant.charted.answer import Charted, Charts
from beadwright.plant.charted.shown import Shown, shown
from beadwright.plant.charted.since import Since
from beadwright.plant.words import capital, number
from beadwright.statistics.changepoint import Start
from beadwright.statistics.charts import BETWEEN, EXPLAINS, Chart, LastingStep, Signal
from beadwright.units import System

__all__ = [
    "CHARTS_SAY",
    "KIND_WORDS",
    "Newest",
    "Told",
    "by_chance",
    "newest_of",
    "newest_told",
    "reasons_named",
    "told",
]

CHARTS_SAY = (
    "A signal asks for a cause to be looked for. It judges no lot: limits here are the process's"
    " own, not a standard's. Nothing is held, released or set by it."
)


KIND_WORDS: Mapping[str, str] = {
    "individuals": "single values",
    "wandering": "single values that hang together",
    "means": "means, by the spread within",
    "means as individuals": "means as single values",
    "p": "share defective (p chart)",
    "np": "number defective (np chart)",
    "c": "number of defects (c chart)",
    "u": "defects a unit (u chart)",
}
"""Kinds of chart and designs in words, where the trade's word needs some."""


@dataclass(frozen=True, slots=True)
class Told:
    """One chart in words."""

    head: str
    beads: tuple[str, ...]
    """Which bead lots limits rest on, and where each begins."""
    signals: tuple[str, ...]
    since: tuple[str, ...]
    """When it began, and what must be known of that; empty where nothing signals."""
    lots: str
    """How many lots were made since; empty where nothing signals."""
    no_hold: str
    """Why no hold is proposed; empty where one is, or nothing signals."""
    rules: tuple[str, ...]
    """Which rules were asked, from where, and how often they signal with nothing wrong."""
    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Newest:
    """The newest signal of a chart: on which side, and since when what it is of began."""

    side: str
    """``above``, ``below``, or empty."""
    kind: str = ""
    """``step``, ``drift`` or ``point``, as *Since when* tells it; empty where that is not known."""
    at_ms: int | None = None
    """From when that is; None where it is not known."""
    lot: str = ""
    """The lot that it began at; empty of cups."""
    known: bool = False
    """Whether it is known well enough that a hold is proposed."""


def told(found: Charted, units: System, zone: ZoneInfo) -> Told:
    """Put one chart into words."""
    if found.chart is None:
        return Told(f"No chart: {found.why_not}.", (), (), (), "", "", (), ())
    look, chart = shown(found, units, zone), found.chart
    kind = KIND_WORDS.get(chart.kind, chart.kind)
    head = (
        f"{number(len(found.series.points), 'point')}, {kind}: centre"
        f" {look.chart.centre[-1]:.{look.digits}f}, limits {look.chart.lower[-1]:.{look.digits}f}"
        f" to {look.chart.upper[-1]:.{look.digits}f} {look.unit}".rstrip()
        + "."
    )
    signals = tuple(_signal(one, look) for one in chart.signals)
    beside = chart.beside.signals if chart.beside is not None else ()
    if beside:
        at = ", ".join(look.labels[one.at] for one in beside)
        signals += (f"The spread within: signals at {at}.",)
    lots = f"{number(len(found.lots), 'lot')} made since then" if found.since else ""
    if found.since is not None and found.since.contain_to is not None:
        lots = f"{number(len(found.lots), 'lot')} made then"
        if found.since.start.kind == "point" and found.series.of == "beads":
            lots = f"{number(len(found.lots), 'lot')} that may hold beads of that cup's run"
    why_not = found.since.why_no_hold if found.since is not None else ""
    no_hold = f"No hold is proposed: {why_not}. A person may place one." if why_not else ""
    return Told(
        head, tuple(_beads(found, look)), signals, tuple(_since(found, look, zone)), lots, no_hold,
        tuple(_rules(found, chart)), tuple(_reasons(found, look)),
    )  # fmt: skip


def _reasons(found: Charted, look: Shown) -> Iterator[str]:
    """Give why this chart; a step that *Since when* tells is not told twice."""
    since = found.since
    if since is None or since.start.kind != "step":
        yield from reasons_named(found, look)
        return
    step = None if found.choice is None else found.choice.step
    for one, named in zip(_plain(found), reasons_named(found, look), strict=True):
        told_there = step is not None and one == step.said
        yield f"The step told under Since when {EXPLAINS}" if told_there else named


def _plain(found: Charted) -> tuple[str, ...]:
    return () if found.chart is None else tuple(found.chart.reasons)


def reasons_named(found: Charted, look: Shown) -> Iterator[str]:
    """Give why this chart, a step by its lot and in the unit: where it began, if that is known."""
    step, since = None if found.choice is None else found.choice.step, found.since
    for one in _plain(found):
        if step is None or one != step.said:
            yield one
            continue
        at, before, after = step.at, step.before, step.after
        if since is not None and since.start.kind == "step":
            start = since.start
            at, before, after = start.first, start.before, start.after
        levels = f"from {look.value(before)} to {look.value(after)}"
        yield f"A step at {look.labels[at]} ({levels}) {EXPLAINS}"


def _beads(found: Charted, look: Shown) -> Iterator[str]:
    """Say of which bead lots the points are that limits rest on."""
    if not found.beads:
        yield "Of which bead lots the points are is not known: limits may rest on several."
        return
    if len(found.beads) == 1:
        (one,) = found.beads
        yield f"{number(len(one.points), 'point')} are of bead lot {one.name}: none begins between."
    else:
        which = (
            "A point is of the lot that gave most of its beads."
            if found.series.of == "lots"
            else "A cup is of the lot whose bag went in last before it."
        )
        lots = f"{len(found.beads)} bead lots taken together, as if they were one"
        yield f"Limits rest on {lots}. {which}"
        for one in found.beads:
            begins = f"{one.name} begins at {look.labels[one.first]}"
            yield f"{begins}: {number(len(one.points), 'point')}, mean {look.value(one.level)}."
    known = sum(len(one.points) for one in found.beads)
    if known < len(found.series.points):
        yield f"Of {number(len(found.series.points) - known, 'point')} nobody knows the beads."


def _rules(found: Charted, chart: Chart) -> Iterator[str]:
    asked = "; ".join(f"{one.name}, {one.words}" for one in chart.rules.rules)
    yield f"Asked: {asked} ({chart.rules.source})."
    if found.lasting is not None:
        yield _step(found.lasting)
    yield (
        f"With nothing wrong they signal once in {found.between_false:.0f} points on the average,"
        " of independent normal values."
    )
    if found.series.scale != "measured":
        yield (
            "Of small counts that figure is rough. A run on one side is not asked of them: lots"
            " without a defective piece in a row are nothing new."
        )


def _step(one: LastingStep) -> str:
    """Say what asking for a lasting step gave."""
    hangs = f" at a correlation of {one.correlation:.2f}" if one.correlation else ""
    said = (
        f"A step of the mean that lasts is asked for too, at one false signal in {BETWEEN} points:"
        f" the likeliest gives {one.ratio:.1f} for a bound of {one.bound:.1f}{hangs}"
    )
    if one.ratio > one.bound and not one.better:
        return f"{said}, and values that hang together explain it better."
    return f"{said}."


def _signal(one: Signal, look: Shown) -> str:
    if one.rule.form == "step":
        return f"{one.rule.name} from {look.labels[one.at]} on: {one.rule.words}, {one.side}."
    since = f", since {look.labels[one.points[0]]}" if len(one.points) > 1 else ""
    side = f", {one.side}" if one.side and one.rule.form != "trend" else ""
    return f"{one.rule.name} at {look.labels[one.at]}{since}: {one.rule.words}{side}."


def _since(found: Charted, look: Shown, zone: ZoneInfo) -> Iterator[str]:
    since, points = found.since, found.series.points
    if since is None:
        if found.event is not None:
            yield "When it began cannot be said: too few points lie before it."
        return
    start = since.start
    clock = datetime.fromtimestamp(points[start.first].at_ms / 1000, zone)
    when = f" ({clock:%Y-%m-%d %H:%M})" if found.series.of == "lots" else f" ({clock:%Y})"
    if start.kind == "point":
        yield from _alone(since, look, when)
        return
    what = "it stepped" if start.kind == "step" else "it began to drift"
    yield (
        f"Most likely {what} at {look.labels[start.first]}{when},"
        f" from {look.value(start.before)} to {look.value(start.after)}."
    )
    yield _interval(start, look)
    made = f"what was made from {look.labels[since.contain_from]}"
    if since.contain_to is None:
        made, why = f"{made} on", "nothing shows that it is over"
    else:
        made = f"{made} to {look.labels[since.contain_to]}"
        why = "what followed was as before"
    yield f"{capital(made)} may be changed: {why}." if since.why_no_hold else f"Hold {made}: {why}."
    for one in found.beads[1:]:
        if one.first in start.among:
            yield f"Bead lot {one.name} begins there too, at {look.labels[one.first]}."
    if len(start.among) > 1:
        more = "pieces of the lots" if found.series.of == "lots" else "cups"
        yield f"More {more} between narrow it."
    yield from start.cautions


def _alone(since: Since, look: Shown, when: str) -> Iterator[str]:
    """Say that one point stands alone, and what was made with it."""
    start = since.start
    after = f"the {number(since.ordinary, 'point')} after it lie about {look.value(start.before)}"
    yield (
        f"One point alone, {look.labels[start.first]}{when}, at {look.value(start.after)};"
        f" {after}, as those before it."
    )
    yield "No step and no drift is shown: one point off explains the values better than either."
    yield f"Hold what was made with {look.labels[start.first]} alone, until its cause is known."


def _interval(start: Start, look: Shown) -> str:
    sure = f"With {100 * start.confidence:.0f} % it began"
    if start.earliest == start.latest:
        return f"{sure} there."
    return f"{sure} between {look.labels[start.earliest]} and {look.labels[start.latest]}."


def newest_of(found: Charted) -> Newest | None:
    """Give the newest signal's side, and since when what it is of began; None without a signal."""
    signals = () if found.chart is None else found.chart.signals
    if not signals:
        return None
    side, since = max(signals, key=lambda one: one.at).side, found.since
    if since is None:
        return Newest(side)
    point = found.series.points[since.start.first]
    lot = point.lot if found.series.of == "lots" else ""
    return Newest(side, since.start.kind, point.at_ms, lot, known=not since.why_no_hold)


def newest_told(found: Charted, zone: ZoneInfo) -> str:
    """Say of the newest signal on which side it is, and since when; empty where none is."""
    newest = newest_of(found)
    if newest is None:
        return ""
    side = newest.side or "either side"
    if newest.at_ms is None:
        return f"{side}, since when is not known"
    day = datetime.fromtimestamp(newest.at_ms / 1000, zone)
    where = f"{newest.lot}, " if newest.lot else ""
    if newest.kind == "point":
        return f"{side}, one point alone"
    doubtful = "" if newest.known else " (hardly known)"
    return f"{side}, most likely since {where}{day:%Y-%m-%d}{doubtful}"


def by_chance(found: Charts) -> str:
    """Say how many signals chance alone gives."""
    some = (*found.signalling, *found.quiet)
    points = sum(len(one.series.points) for one in some)
    return (
        f"{number(len(some), 'chart')} of {points:,} points; with nothing wrong, chance alone gives"
        f" some {found.by_chance:.0f} signals in so many."
    )
