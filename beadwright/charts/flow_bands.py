"""The bands of a flow drawing: what went from one lot into another, as wide as its mass.

Read :func:`bands`.
"""

from __future__ import annotations

from collections.abc import Iterator

from beadwright.charts.flow_places import BAR, Placed
from beadwright.charts.flow_spec import Flow, Link
from beadwright.charts.svg import figure, path, tone

__all__ = ["bands"]


def bands(flow: Flow, placed: Placed) -> Iterator[str]:
    """Draw every link: side by side at both of its ends, the widest first and so underneath."""
    starts, ends = _ends(flow, placed, leaving=True), _ends(flow, placed, leaving=False)
    tones = {one.key: one.tone for one in flow.nodes}
    for link in sorted(flow.links, key=lambda one: -one.mass):
        wide = link.mass * placed.scale
        start = placed.boxes[link.source].x + BAR, starts[link.source, link.into]
        end = placed.boxes[link.into].x, ends[link.source, link.into]
        yield path(
            _steps(start, end, wide),
            fill=tone(tones[link.source]),
            fill_opacity=0.3,
            stroke=tone(tones[link.source]),
            stroke_width=1,
            stroke_dasharray="4 3" if link.estimated else None,
        )


def _ends(flow: Flow, placed: Placed, *, leaving: bool) -> dict[tuple[str, str], float]:
    """Give the upper edge of each link where it leaves a bar, or where it reaches one."""
    boxes, found = placed.boxes, {}

    def order(link: Link) -> tuple[float, str, str]:
        other = link.into if leaving else link.source
        return boxes[other].middle, link.source, link.into

    at: dict[str, float] = {}
    for link in sorted(flow.links, key=order):
        own = link.source if leaving else link.into
        y = at.get(own, boxes[own].top)
        found[link.source, link.into] = y
        at[own] = y + link.mass * placed.scale
    return found


def _steps(start: tuple[float, float], end: tuple[float, float], wide: float) -> Iterator[str]:
    (x0, y0), (x1, y1) = start, end
    bend = max(24.0, abs(x1 - x0) / 2)
    upper = (x0, y0), (x0 + bend, y0), (x1 - bend, y1), (x1, y1)
    lower = (x1, y1 + wide), (x1 - bend, y1 + wide), (x0 + bend, y0 + wide), (x0, y0 + wide)
    for sign, curve in (("M", upper), ("L", lower)):
        first, *others = (f"{figure(x)} {figure(y)}" for x, y in curve)
        yield f"{sign}{first}C{','.join(others)}"
    yield "Z"
