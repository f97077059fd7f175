"""A control chart in small, for a list: the line, its limits, and where it signals.

Read :func:`draw`. It has no figures; the words beside it say them, and the whole chart is one step
further.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from beadwright.charts import svg
from beadwright.charts.svg import Drawing, tone
from beadwright.statistics.charts import Chart

__all__ = ["draw"]

_WIDTH, _HEIGHT = 240.0, 64.0
_EDGE = 6.0
_FAR = 2.2
"""How far from the centre a point is drawn at most, in distances of the limit."""


def draw(name: str, title: str, chart: Chart) -> Drawing:
    """Draw a chart in small; each point by its own limits.

    ``name`` is of a-z, digits and hyphen; no two pictures of a page share one.
    """
    words = f"{len(chart.points)} points and their limits; signals: {len(chart.signals) or 'none'}."
    return svg.frame(name, (_WIDTH, _HEIGHT), (title, words), _content(chart))


def _content(chart: Chart) -> Iterator[str]:
    for side in (-1, 1):
        ends = ((_EDGE, _y(side)), (_WIDTH - _EDGE, _y(side)))
        yield svg.line(*ends, stroke=tone("bad"), stroke_dasharray="5 3")
    yield svg.line((_EDGE, _y(0)), (_WIDTH - _EDGE, _y(0)), stroke=tone("quiet"))
    places = [_y(one) for one in _from_centre(chart)]
    apart = (_WIDTH - 2 * _EDGE) / max(len(places) - 1, 1)
    steps, joined = [], False
    for index, y in enumerate(places):
        if np.isfinite(y):
            x = svg.figure(_EDGE + index * apart)
            steps.append(f"{'L' if joined else 'M'}{x} {svg.figure(y)}")
        joined = bool(np.isfinite(y))
    yield svg.path(steps, fill="none", stroke=tone("bead"), stroke_width=1.5)
    for index in chart.signalled:
        top = f"M{svg.figure(_EDGE + index * apart)} {svg.figure(places[index] - 5)}"
        yield svg.path([f"{top}l5 5l-5 5l-5 -5z"], fill=tone("bad"))


def _from_centre(chart: Chart) -> list[float]:
    """Distance of each point from the centre line, in that of its limit on that side."""
    off = chart.points - chart.centre
    wide = np.where(off >= 0, chart.upper - chart.centre, chart.centre - chart.lower)
    with np.errstate(invalid="ignore", divide="ignore"):
        share = np.where(off == 0, 0.0, off / np.where(wide > 0, wide, np.inf))
    return [float(one) for one in np.clip(share, -_FAR, _FAR)]


def _y(share: float) -> float:
    return _HEIGHT / 2 * (1 - share / (_FAR + 0.3))
