"""Charts as a program reads them: all in short, or one whole.

Read :func:`charts_json` and :func:`chart_json`.
"""

from __future__ import annotations

from dataclasses import asdict
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np

from beadwright.plant.charted.answer import Charted, Charts
from beadwright.plant.charted.shown import shown
from beadwright.plant.charted.told import CHARTS_SAY, newest_of, newest_told, reasons_named
from beadwright.plant.opening import Plant
from beadwright.plant.words import iso
from beadwright.statistics.charts import Signal

__all__ = ["chart_json", "charts_json"]


def charts_json(plant: Plant, found: Charts) -> dict[str, Any]:
    """Give every chart in short, as a map that JSON can hold."""
    return {
        **plant.about,
        "at": iso(found.at_ms, plant.zone),
        "says": CHARTS_SAY,
        "by_chance": found.by_chance,
        "signalling": [
            {**_short(one, plant.zone), "newest": _newest(one, plant.zone)}
            for one in found.signalling
        ],
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
        "reasons": [] if chart is None else list(
            reasons_named(found, shown(found, "si", plant.zone))
        ),
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


def _newest(found: Charted, zone: ZoneInfo) -> dict[str, Any]:
    newest = newest_of(found)
    if newest is None:
        return {}
    return {
        "side": newest.side,
        "kind": newest.kind or None,
        "since": iso(newest.at_ms, zone),
        "lot": newest.lot or None,
        "known": newest.known,
        "says": newest_told(found, zone),
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
