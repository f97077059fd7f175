"""Kinds of defects, the greatest loss first: a bar each, with the interval of its share.

Read :func:`draw`. What may be as frequent as the first is said in words beside its bar, and the
interval is drawn over the bar: nothing is told by colour alone.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from beadwright.charts import svg
from beadwright.charts.against_limits import ticks
from beadwright.charts.svg import Drawing, tone
from beadwright.statistics.defects import Cause, Pareto

__all__ = ["ParetoChart", "draw"]

_WIDTH = 720.0
_LEFT, _RIGHT = 190.0, 500.0
"""Between these lie the bars; words to the right."""

_TOP, _ROW, _BAR = 10.0, 34.0, 20.0
_FOOT = 52.0
_SMALL = 13.0
_CAP = 5.0


@dataclass(frozen=True, slots=True)
class ParetoChart:
    """What is drawn."""

    of: Pareto
    title: str
    loss: str = ""
    """What the loss is counted in, such as ``kg``; empty where each defect counts one."""
    name: str = "pareto"


def draw(spec: ParetoChart) -> Drawing:
    """Draw the kinds of defects; words come last, over everything."""
    causes = spec.of.causes
    high = max(one.upper for one in causes)
    marks = ticks(0.0, 100 * high)
    top = max(marks[-1], 100 * high)
    bottom = _TOP + _ROW * len(causes)
    content = list(_scale(marks, top, bottom))
    for at, cause in enumerate(causes):
        content += _row(spec, cause, _TOP + _ROW * at, top)
    size = (_WIDTH, bottom + _FOOT)
    return svg.frame(spec.name, size, (spec.title, _said(spec)), content)


def _at(share: float, top: float) -> float:
    """Where a share in per cent lies."""
    return _LEFT + (_RIGHT - _LEFT) * share / top


def _scale(marks: list[float], top: float, bottom: float) -> Iterator[str]:
    quiet = {"font_size": _SMALL, "fill": tone("quiet"), "text_anchor": "middle"}
    for mark in marks:
        x = _at(mark, top)
        yield svg.line((x, _TOP - 4), (x, bottom))
        yield svg.text(x, bottom + 18, f"{mark:g}", **quiet)
    bold = {"font_size": _SMALL, "font_weight": "bold"}
    yield svg.text(_RIGHT, bottom + 40, "Share of all defects, %", text_anchor="end", **bold)


def _row(spec: ParetoChart, cause: Cause, y: float, top: float) -> Iterator[str]:
    middle = y + _ROW / 2
    width = _at(100 * cause.share, top) - _LEFT
    yield svg.rect(_LEFT, middle - _BAR / 2, width, _BAR, fill=tone("bead"), fill_opacity=0.55)
    low, high = _at(100 * cause.lower, top), _at(100 * cause.upper, top)
    ink = {"stroke": tone("ink"), "stroke_width": 1.6}
    yield svg.line((low, middle), (high, middle), **ink)
    for end in (low, high):
        yield svg.line((end, middle - _CAP), (end, middle + _CAP), **ink)
    yield svg.text(_LEFT - 8, middle + 5, _short(cause.name), text_anchor="end")
    yield svg.text(_RIGHT + 14, middle + 5, _figures(spec, cause), font_size=_SMALL)


def _short(name: str) -> str:
    """Cut a name to the room at the left."""
    while name and svg.width_of(name) > _LEFT - 12:
        name = name.removesuffix("…")[:-1].rstrip() + "…"
    return name


def _figures(spec: ParetoChart, cause: Cause) -> str:
    lost = f", {cause.loss:.3g} {spec.loss}" if spec.loss else ""
    running = f"together {100 * cause.running:.0f} %"
    return f"{cause.count}, {100 * cause.share:.0f} %{lost}; {running}"


def _said(spec: ParetoChart) -> str:
    each = (
        f"{one.name}: {_figures(spec, one)}, between {100 * one.lower:.0f} and "
        f"{100 * one.upper:.0f} % of all."
        for one in spec.of.causes
    )
    return " ".join((*spec.of.words, *each))
