"""Charts in words, and as a program reads them: signals, since when, and the lots made since.

Read :func:`told` and :func:`charts_json`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np

from beadwright.plant.charted.answer import Charted, Charts
from beadwright.plant.charted.shown import Shown, shown
from beadwright.plant.charted.since import Since
from beadwright.plant.opening import Plant
from beadwright.plant.words import capital, iso, number
from beadwright.statistics.changepoint import Start
from beadwright.statistics.charts import BETWEEN, EXPLAINS, Chart, LastingStep, Signal
from beadwright.units import System

__all__ = [
    "CHARTS_SAY",
    "KIND_WORDS",
    "Told",
    "by_chance",
    "chart_json",
    "charts_json",
    "newest_told",
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
    """Give why this chart: a step by lot and unit, and once where *Since when* tells it."""
    chart, choice = found.chart, found.choice
    step = None if choice is None else choice.step
    for one in () if chart is None else chart.reasons:
        if step is None or one != step.said:
            yield one
        elif found.since is not None and found.since.start.kind == "step":
            yield f"The step told under Since when {EXPLAINS}"
        else:
            levels = f"from {look.value(step.before)} to {look.value(step.after)}"
            yield f"A step at {look.labels[step.at]} ({levels}) {EXPLAINS}"


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


def newest_told(found: Charted, zone: ZoneInfo) -> str:
    """Say of the newest signal on which side it is, and since when; empty where none is."""
    signals = () if found.chart is None else found.chart.signals
    if not signals:
        return ""
    newest = max(signals, key=lambda one: one.at)
    side = newest.side or "either side"
    since = found.since
    if since is None:
        return f"{side}, since when is not known"
    point = found.series.points[since.start.first]
    day = datetime.fromtimestamp(point.at_ms / 1000, zone)
    where = f"{point.lot}, " if found.series.of == "lots" else ""
    if since.start.kind == "point":
        return f"{side}, one point alone"
    doubtful = " (hardly known)" if since.why_no_hold else ""
    return f"{side}, most likely since {where}{day:%Y-%m-%d}{doubtful}"


def by_chance(found: Charts) -> str:
    """Say how many signals chance alone gives."""
    some = (*found.signalling, *found.quiet)
    points = sum(len(one.series.points) for one in some)
    return (
        f"{number(len(some), 'chart')} of {points:,} points; with nothing wrong, chance alone gives"
        f" some {found.by_chance:.0f} signals in so many."
    )


def charts_json(plant: Plant, found: Charts) -> dict[str, Any]:
    """Give every chart in short, as a map that JSON can hold."""
    return {
        **plant.about,
        "at": iso(found.at_ms, plant.zone),
        "says": CHARTS_SAY,
        "by_chance": found.by_chance,
        "signalling": [_short(one, plant.zone) for one in found.signalling],
        "quiet": [_short(one, plant.zone) for one in found.quiet],
        "without_chart": [
            {**_named(one), "points": len(one.series.points), "why": one.why_not}
            for one in found.few
        ],
    }


def chart_json(plant: Plant, found: Charted, at_ms: int) -> dict[str, Any]:
    """Give one chart whole; values in SI, a cup's as per cent off its target."""
    chart, choice = found.chart, found.choice
    points = [_point(found, at, plant.zone) for at in range(len(found.series.points))]
    return {
        **plant.about,
        "at": iso(at_ms, plant.zone),
        "says": CHARTS_SAY,
        **_named(found),
        "why_not": found.why_not,
        "kind": None if chart is None else chart.kind,
        "chosen": None if choice is None else choice.design,
        "others": [] if choice is None else [
            {"kind": one.design, "why": one.why} for one in choice.others
        ],
        "reasons": [] if chart is None else list(chart.reasons),
        "rules": None if chart is None else chart.rules.name,
        "rules_from": None if chart is None else chart.rules.source,
        "between_false": None if chart is None else found.between_false,
        "lasting_step": None if found.lasting is None else {
            **asdict(found.lasting), "found": found.lasting.found,
        },
        "absent": list(found.series.absent),
        "bead_lots": [
            {"name": one.name, "first": one.first, "points": list(one.points), "mean": one.level}
            for one in found.beads
        ],
        "points": points,
        "signals": [] if chart is None else [_signal_json(one) for one in chart.signals],
        "since": _since_json(found, plant.zone),
        "lots": list(found.lots),
    }  # fmt: skip


def _named(found: Charted) -> dict[str, Any]:
    series = found.series
    return {
        "key": series.key,
        "title": series.title,
        "characteristic": series.characteristic,
        "product": series.product,
        "machine": series.machine,
    }


def _short(found: Charted, zone: ZoneInfo) -> dict[str, Any]:
    chart = found.chart
    return {
        **_named(found),
        "points": len(found.series.points),
        "kind": None if chart is None else chart.kind,
        "signals": 0 if chart is None else len(chart.signals),
        "signalled": iso(found.signalled_ms or None, zone),
    }


def _point(found: Charted, at: int, zone: ZoneInfo) -> dict[str, Any]:
    one, chart = found.series.points[at], found.chart
    limits = {
        name: None if chart is None else _finite(getattr(chart, part)[at])
        for name, part in (("plotted", "points"), ("centre", "centre"), ("lower", "lower"),
                           ("upper", "upper"))
    }  # fmt: skip
    inspected = one.inspected or None
    return {"at": iso(one.at_ms, zone), "lot": one.lot, "step": one.step,
            "values": list(one.values), "inspected": inspected, **limits}  # fmt: skip


def _finite(value: float) -> float | None:
    return float(value) if np.isfinite(value) else None


def _signal_json(one: Signal) -> dict[str, Any]:
    return {"rule": one.rule.name, "words": one.rule.words, "at": one.at,
            "points": list(one.points), "side": one.side}  # fmt: skip


def _since_json(found: Charted, zone: ZoneInfo) -> dict[str, Any] | None:
    since = found.since
    if since is None:
        return None
    start, points = since.start, found.series.points
    return {
        "kind": start.kind,
        "ordinary": since.ordinary,
        "first": start.first,
        "first_at": iso(points[start.first].at_ms, zone),
        "earliest": start.earliest,
        "latest": start.latest,
        "among": list(start.among),
        "confidence": start.confidence,
        "before": start.before,
        "after": start.after,
        "hold_from": since.contain_from,
        "hold_to": since.contain_to,
        "hold_proposed": not since.why_no_hold,
        "why_no_hold": since.why_no_hold,
        "cautions": list(start.cautions),
    }
