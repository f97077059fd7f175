"""A control chart: points with centre line and limits, every signal numbered and named beneath.

Read :class:`Control`, then :func:`draw`. A point that completes a signal is a full diamond with its
number, one that belongs to it a ring, one left out of the limits a cross in a dashed ring: nothing
is told by colour alone. The chart of the spread stands beneath, on the same points.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from beadwright.charts import svg
from beadwright.charts.against_limits import ticks
from beadwright.charts.control_marks import (
    DIAMOND,
    LEFT,
    RIGHT,
    SMALL,
    WIDTH,
    Panel,
    begun,
    completing,
    numbers,
    rows_of,
)
from beadwright.charts.marks import wrapped
from beadwright.charts.svg import Drawing, tone
from beadwright.statistics.charts.chart import Chart

__all__ = ["Control", "draw"]

_MAIN, _BESIDE, _GAP = 300.0, 120.0, 18.0
_LINE = SMALL * svg.LINE
_FAR = 2.6
"""How far from the centre a point is drawn at most, in distances of the limit."""
_MOST = 10
"""Signals that are named beneath; the rest are counted."""
_MANY = 120
"""Points beyond which they are too close for marks of their own."""

_Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Control:
    """A chart and how it is to be shown."""

    name: str
    """Of a-z, digits and hyphen; no two pictures of a page share one."""
    title: str
    unit: str
    chart: Chart
    digits: int = 2
    labels: tuple[str, ...] = ()
    """What each point is, such as its day; else points are numbered."""
    begins: tuple[tuple[int, str], ...] = ()
    """Points at which a bead lot begins, and its name."""


def draw(spec: Control) -> Drawing:
    """Draw a control chart, with the chart of its spread where it has one."""
    placed = rows_of(spec.begins, len(spec.chart.points))
    rows = len({one.row for one in placed})
    top = 12.0 + (_LINE * rows + 4 if rows else 0)
    panel = _panel(spec.chart, top, _MAIN)
    content = [*begun(panel, placed), *_drawn(spec, panel, numbered=True)]
    bottom = top + _MAIN
    if spec.chart.beside is not None:
        below = _panel(spec.chart.beside, bottom + _GAP, _BESIDE)
        content += begun(below, placed, named=False)
        content += _drawn(spec, below, numbered=False)
        bottom += _GAP + _BESIDE
    content += _along(spec, panel, bottom)
    foot = bottom + 2 * _LINE
    for line in _named(spec):
        content.append(svg.text(4, foot + SMALL, line, font_size=SMALL))
        foot += _LINE
    return svg.frame(spec.name, (WIDTH, foot + 10), (spec.title, _words(spec)), content)


def _panel(chart: Chart, top: float, height: float) -> Panel:
    """Hold every limit, and points as far as they do not squeeze the rest."""
    lower, upper = float(np.nanmin(chart.lower)), float(np.nanmax(chart.upper))
    middle, half = (lower + upper) / 2, max((upper - lower) / 2, 1e-12)
    points = chart.points[np.isfinite(chart.points)]
    low = min(lower, float(points.min(initial=lower)))
    high = max(upper, float(points.max(initial=upper)))
    low, high = max(low, middle - _FAR * half), min(high, middle + _FAR * half)
    if not high - low > 1e-9 * max(abs(low), abs(high)):  # no defect at all, or no spread
        low, high = low - 1.0, high + 1.0
    room = 0.08 * (high - low)
    return Panel(chart, top, height, low - room, high + room)


def _drawn(spec: Control, panel: Panel, *, numbered: bool) -> Iterator[str]:
    yield from _scale(spec, panel)
    yield from _limits(spec, panel)
    yield from _through(panel)
    yield from _points(panel)
    if numbered:
        yield from numbers(panel, _MOST)


def _scale(spec: Control, panel: Panel) -> Iterator[str]:
    bottom = panel.top + panel.height
    yield svg.line((LEFT, panel.top), (LEFT, bottom), stroke=tone("quiet"))
    yield svg.line((LEFT, bottom), (RIGHT, bottom), stroke=tone("quiet"))
    said = {"font_size": SMALL, "fill": tone("quiet"), "text_anchor": "end"}
    marks = ticks(panel.low, panel.high, 5 if panel.height > _BESIDE else 2)
    digits = max(0, *(len(f"{mark:.6f}".rstrip("0").partition(".")[2]) for mark in marks))
    for mark in marks:
        if panel.far(mark):
            continue
        y = panel.y(mark)
        yield svg.line((LEFT - 5, y), (LEFT, y), stroke=tone("quiet"))
        yield svg.text(LEFT - 8, y + 5, f"{mark + 0.0:.{digits}f}", **said)
    if panel.height > _BESIDE and spec.unit:
        yield svg.text(LEFT + 6, panel.top + 4, spec.unit, font_size=SMALL, fill=tone("quiet"))


def _limits(spec: Control, panel: Panel) -> Iterator[str]:
    chart = panel.chart
    if any(rule.form == "beyond" and 0 < rule.width < 3 for rule in chart.rules.rules):  # noqa: PLR2004 - zones lie within the limits
        for side in (-2, -1, 1, 2):
            line = chart.centre + side * chart.spread
            yield _stepped(panel, line, stroke=tone("rule"), stroke_width=1)
    yield _stepped(panel, chart.centre, stroke=tone("ink"), stroke_width=1.5)
    placed: list[float] = []
    named = ((chart.upper, "UCL"), (chart.centre, "CL"), (chart.lower, "LCL"))
    for line, word in named:
        if word != "CL":
            yield _stepped(panel, line, stroke=tone("bad"), stroke_width=2, stroke_dasharray="9 4")
        last = float(line[np.isfinite(line)][-1])
        y = max(panel.y(last) + 5, *(one + SMALL + 1 for one in placed), 0.0)
        placed.append(y)
        words = f"{word} {last:.{spec.digits}f}"
        yield svg.text(RIGHT + 8, y, words, font_size=SMALL, fill=tone("ink"))


def _stepped(panel: Panel, line: _Floats, **look: object) -> str:
    """A line that holds from half way before each point to half way after it."""
    steps, level, drawn = [], None, False
    for index, value in enumerate(line.tolist()):
        if not np.isfinite(value):
            drawn = False
            continue
        start, y = svg.figure(panel.x(index - 0.5)), svg.figure(panel.y(value))
        if not drawn:
            steps.append(f"M{start} {y}")
        elif value != level:
            steps.append(f"H{start}V{y}")
        level, drawn = value, True
        if index + 1 == len(line) or not np.isfinite(line[index + 1]):
            steps.append(f"H{svg.figure(panel.x(index + 0.5))}")
    return svg.path(steps, fill="none", **look)


def _through(panel: Panel) -> Iterator[str]:
    """Join points that follow each other."""
    steps, before = [], False
    for index, value in enumerate(panel.chart.points.tolist()):
        if np.isfinite(value):
            place = f"{svg.figure(panel.x(index))} {svg.figure(panel.y(value))}"
            steps.append(f"{'L' if before else 'M'}{place}")
        before = bool(np.isfinite(value))
    if steps:
        yield svg.path(steps, fill="none", stroke=tone("bead"), stroke_width=1.5)


def _points(panel: Panel) -> Iterator[str]:
    chart = panel.chart
    ends = completing(chart)
    part = {index for signal in chart.signals for index in signal.points}
    out = {one.at for one in chart.process.left_out} if chart.phase == 1 else set()
    count = len(chart.points)
    radius = 4.2 if count <= _MANY // 2 else 3.2 if count <= _MANY else 0.0
    for index, value in enumerate(chart.points.tolist()):
        if not np.isfinite(value):
            continue
        at = (panel.x(index), panel.y(value))
        if index in out:
            yield from _crossed(at)
        elif index in ends:
            yield _diamond(at, far=panel.far(value))
        elif index in part:
            yield _disc(at, max(radius, 3.2) + 0.8, fill=tone("ground"), stroke=tone("bad"), wide=2)
        elif radius:
            yield _disc(at, radius, fill=tone("ink"), stroke=tone("ground"), wide=1)


def _disc(at: tuple[float, float], radius: float, *, fill: str, stroke: str, wide: float) -> str:
    circle = {"cx": at[0], "cy": at[1], "r": radius, "fill": fill, "stroke": stroke}
    return svg.element("circle", {**circle, "stroke-width": wide})


def _diamond(at: tuple[float, float], *, far: bool) -> str:
    """A full diamond; one beyond the picture is drawn at its edge, hollow."""
    (x, y), r = at, DIAMOND
    steps = [f"M{svg.figure(x)} {svg.figure(y - r)}l{r:g} {r:g}l-{r:g} {r:g}l-{r:g} -{r:g}z"]
    fill = tone("ground" if far else "bad")
    return svg.path(steps, fill=fill, stroke=tone("bad"), stroke_width=2)


def _crossed(at: tuple[float, float]) -> Iterator[str]:
    (x, y), r = at, 6.0
    ring = {"cx": x, "cy": y, "r": r, "fill": tone("ground"), "stroke": tone("quiet")}
    yield svg.element("circle", {**ring, "stroke-width": 1.5, "stroke-dasharray": "3 2"})
    a = r * 0.6
    for side in (-1, 1):
        yield svg.line((x - a, y - a * side), (x + a, y + a * side), stroke=tone("quiet"),
                       stroke_width=1.5)  # fmt: skip


def _along(spec: Control, panel: Panel, bottom: float) -> Iterator[str]:
    """Say what points are: the first, the last, and some between that have room."""
    count = len(spec.chart.points)
    wide = max((svg.width_of(_label(spec, i), SMALL) for i in (0, count - 1)), default=0.0) + 16
    room = max(2, int((RIGHT - LEFT) / max(wide, 40.0)))
    shown = sorted({round(i) for i in np.linspace(0, count - 1, min(room, 7, count))})
    for index in shown:
        x = panel.x(index)
        yield svg.line((x, bottom), (x, bottom + 5), stroke=tone("quiet"))
        words = _label(spec, index)
        half = svg.width_of(words, SMALL) / 2
        middle = min(max(x, half + 2), WIDTH - half - 2)
        said = {"font_size": SMALL, "fill": tone("quiet"), "text_anchor": "middle"}
        yield svg.text(middle, bottom + 6 + SMALL, words, **said)


def _label(spec: Control, index: int) -> str:
    return spec.labels[index] if index < len(spec.labels) else f"{index + 1}"


def _named(spec: Control) -> Iterator[str]:
    """Name the signals beneath, then what is left out."""
    chart = spec.chart
    for number, signal in enumerate(chart.signals[:_MOST], start=1):
        at = _label(spec, signal.at)
        run = len(signal.points) > 1
        since = f", since {_label(spec, signal.points[0])}" if run else ""
        side = f", {signal.side}" if signal.side and signal.rule.form != "trend" else ""
        words = f"{number}. {signal.rule.name} at {at}{since}: {signal.rule.words}{side}."
        yield from _lines(words)
    if len(chart.signals) > _MOST:
        yield f"and {len(chart.signals) - _MOST} signals more."
    if not chart.signals:
        yield f"No signal by: {chart.rules.name}."
    beside = chart.beside.signals if chart.beside is not None else ()
    if beside and chart.beside is not None:
        points = ", ".join(_label(spec, one.at) for one in beside[:_MOST])
        yield from _lines(f"In the {chart.beside.kind}: signals at {points}.")
    if spec.begins:
        begin = ", ".join(f"{name} at {_label(spec, at)}" for at, name in spec.begins)
        yield from _lines(f"Upright broken lines: a bead lot begins ({begin}).")
    for one in chart.process.left_out if chart.phase == 1 else ():
        yield from _lines(f"× {_label(spec, one.at)} is left out of the limits: {one.cause}")


def _lines(words: str) -> Sequence[str]:
    return wrapped(words, SMALL, WIDTH - 8, 3)


def _words(spec: Control) -> str:
    """Say what the picture says."""
    chart, digits = spec.chart, spec.digits
    unit = f" {spec.unit}" if spec.unit else ""
    lower, centre, upper = (float(part[-1]) for part in (chart.lower, chart.centre, chart.upper))
    differ = any(a != b for a, b in pairwise(chart.upper.tolist()))
    own = " at the last point" if differ else ""
    which = "limits of these points" if chart.phase == 1 else "limits kept from before"
    head = (
        f"Control chart ({chart.kind}) of {len(chart.points)} points, {which}: centre"
        f" {centre:.{digits}f}, limits {lower:.{digits}f} to {upper:.{digits}f}{unit}{own}."
    )
    return " ".join((head, *_named(spec)))
