"""What `chart` says: every series, those that signal first; or one, with the lots made since."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from zoneinfo import ZoneInfo

from beadwright.charts import control
from beadwright.charts.control import Control
from beadwright.cli import drawing
from beadwright.cli.printed import Page, local, write_json
from beadwright.errors import Misuse
from beadwright.plant.charted import (
    CHARTS_SAY,
    KIND_WORDS,
    Charted,
    Told,
    by_chance,
    chart_json,
    charted,
    charts,
    charts_json,
    newest_told,
    shown,
    told,
)
from beadwright.plant.moment import moment
from beadwright.plant.opening import Plant
from beadwright.plant.words import in_runs, number
from beadwright.units import System

__all__ = ["Asked", "every", "one"]


@dataclass(frozen=True, slots=True)
class Asked:
    """One chart that is asked for."""

    key: str
    kind: str
    picture: Path | None
    units: System


def every(plant: Plant, kind: str, picture: Path | None, of: str, *, json: bool) -> None:
    """Print every series in short.

    Raises
    ------
    Misuse
        If a kind or a picture is asked for, which belong to one series.
    """
    if kind or picture is not None:
        message = "--kind and --picture belong to one series: name it, as `chart` lists them"
        raise Misuse(message)
    found = charts(plant, moment(plant), of)
    if json:
        write_json(charts_json(plant, found))
        return
    page = Page()
    which = f"plant {plant.code}, {of}" if of else f"plant {plant.code}"
    page.line(f"{plant.name}, {which}: {number(len(found.signalling), 'chart')} signal")
    page.line(by_chance(found))
    page.heading("Signals, the newest first")
    for loud in found.signalling:
        page.item(_signalling(loud, plant.zone))
    page.heading("Quiet")
    page.table(("!series", "what", "points>"), [
        (each.series.key, each.series.title, str(len(each.series.points)))
        for each in found.quiet
    ])  # fmt: skip
    if found.few:
        page.heading("No chart yet")
        for few in found.few:
            page.item(f"{few.series.key}: {few.why_not}")
    page.line()
    page.line(CHARTS_SAY)


def _signalling(found: Charted, zone: ZoneInfo) -> str:
    """Say of a series that signals what it is, when last, on which side and since when."""
    series, signals = found.series, () if found.chart is None else found.chart.signals
    return (
        f"{series.key}: {series.title}; {number(len(signals), 'signal')} in"
        f" {number(len(series.points), 'point')}, the newest of"
        f" {local(found.signalled_ms or 0, zone)}, {newest_told(found, zone)}."
    )


def one(plant: Plant, asked: Asked, *, json: bool) -> None:
    """Print one chart; draw it where that is asked for.

    Raises
    ------
    Misuse
        If there is no such series or chart, or the picture's file is there already.
    """
    at_ms = moment(plant)
    found = charted(plant, asked.key, at_ms, kind=asked.kind)
    if asked.picture is not None:
        _draw(plant, found, asked.picture, asked.units)
    if json:
        write_json(chart_json(plant, found, at_ms))
        return
    words, page = told(found, asked.units, plant.zone), Page()
    page.line(found.series.title)
    page.line(words.head)
    page.heading("Bead lots")
    for text in words.beads:
        page.item(text)
    page.heading("Signals")
    for text in words.signals or ("None.",):
        page.item(text)
    if words.since:
        page.heading("Since when")
        for text in words.since:
            page.item(text)
    _lots(page, found, words)
    page.heading("Why this chart")
    for text in (*words.reasons, *words.rules, *found.series.absent):
        page.item(text)
    if found.choice is not None:
        for other in found.choice.others:
            kind = KIND_WORDS.get(other.design, other.design)
            page.item(f'Could be charted as {kind} (--kind "{other.design}"): {other.why}.')
    page.line()
    page.line(CHARTS_SAY)


def _lots(page: Page, found: Charted, words: Told) -> None:
    if not found.lots:
        return
    page.heading(words.lots)
    page.line(in_runs(found.lots), indent=2)
    if words.no_hold:
        page.line(words.no_hold)


def _draw(plant: Plant, found: Charted, to: Path, units: System) -> None:
    if found.chart is None:
        message = f"{found.series.key} has no chart to draw: {found.why_not}"
        raise Misuse(message)
    look = shown(found, units, plant.zone)
    spec = Control(
        "chart", found.series.title, look.unit, look.chart, look.digits, look.labels, look.begins
    )
    drawing.draw(control.draw(spec), to)
