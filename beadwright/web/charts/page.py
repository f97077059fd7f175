"""What the pages of charts show.

Read :class:`ListPage` and :class:`ChartPage`.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from uuid import uuid4
from zoneinfo import ZoneInfo

from beadwright.charts import control, control_small
from beadwright.charts.control import Control
from beadwright.charts.svg import Drawing
from beadwright.errors import Fault
from beadwright.plant.charted import (
    CHARTS_SAY,
    KIND_WORDS,
    Charted,
    Charts,
    Told,
    by_chance,
    newest_told,
    shown,
    told,
)
from beadwright.plant.words import number
from beadwright.units import System

__all__ = ["ChartPage", "Few", "Line", "ListPage", "chart_page", "list_page"]

_LINKED = 60
"""Lots that are linked one by one."""


@dataclass(frozen=True, slots=True)
class Line:
    """A chart in the list."""

    key: str
    title: str
    picture: Drawing
    says: str
    newest: str
    """On which side the newest signal is, and since when; empty where nothing signals."""
    at_ms: int
    """When what its newest signal is at was made; 0 where nothing signals."""


@dataclass(frozen=True, slots=True)
class Few:
    """A series without a chart."""

    key: str
    title: str
    why: str


@dataclass(frozen=True, slots=True)
class ListPage:
    """Every chart."""

    of: str
    """A product, machine or lot that it is of; empty of all."""
    by_chance: str
    says: str
    signalling: tuple[Line, ...]
    quiet: tuple[Line, ...]
    few: tuple[Few, ...]


@dataclass(frozen=True, slots=True)
class ChartPage:
    """One chart, with the lots made since what it signals began."""

    key: str
    title: str
    told: Told
    picture: Drawing | None
    absent: tuple[str, ...]
    others: tuple[tuple[str, str, str], ...]
    """Charts that could be made instead: its name, that in words, and why or why not."""
    asked: str
    """The kind that was asked for; empty where the data chose."""
    lots: tuple[str, ...]
    more: int
    """Lots besides those linked."""
    held: str
    """The codes that a hold would name, parted by blanks."""
    count: str
    reason: str
    says: str
    may_hold: bool
    key_of_hold: str
    wrong: str = ""
    held_already: str = ""
    """Which holds reach these lots."""
    faults: tuple[Fault, ...] = ()


def list_page(found: Charts, zone: ZoneInfo, of: str = "") -> ListPage:
    """Give the list."""
    few = tuple(Few(one.series.key, one.series.title, one.why_not) for one in found.few)
    loud = tuple(_lines(found.signalling, "s", zone))
    return ListPage(
        of, by_chance(found), CHARTS_SAY, loud, tuple(_lines(found.quiet, "q", zone)), few
    )


def _lines(some: Iterable[Charted], letter: str, zone: ZoneInfo) -> Iterable[Line]:
    for at, one in enumerate(some):
        if one.chart is None:
            continue
        count = len(one.chart.signals)
        says = f"{number(count, 'signal')} in " if count else ""
        says += number(len(one.series.points), "point")
        picture = control_small.draw(f"chart-{letter}{at}", one.series.title, one.chart)
        yield Line(
            one.series.key,
            one.series.title,
            picture,
            says,
            newest_told(one, zone),
            one.signalled_ms,
        )


def chart_page(
    found: Charted, system: System, zone: ZoneInfo, *, asked: str, may_hold: bool
) -> ChartPage:
    """Give one chart."""
    series, words, picture = found.series, told(found, system, zone), None
    if found.chart is not None:
        look = shown(found, system, zone)
        picture = control.draw(
            Control(
                "chart", series.title, look.unit, look.chart, look.digits, look.labels, look.begins
            )
        )
    others = () if found.choice is None else found.choice.others
    since = words.since[0].partition(" (")[0] if words.since else ""
    reason = f"Chart {series.key}: {since[:1].lower()}{since[1:]}" if since else ""
    return ChartPage(
        series.key, series.title, words, picture, series.absent,
        tuple((one.design, KIND_WORDS.get(one.design, one.design), one.why) for one in others),
        asked, found.lots[:_LINKED],
        max(0, len(found.lots) - _LINKED), " ".join(found.lots), number(len(found.lots), "lot"),
        reason, CHARTS_SAY, may_hold and bool(found.lots), uuid4().hex,
    )  # fmt: skip
