"""Marks on a control chart: numbers of signals clear of every diamond, and where bead lots begin.

Read :class:`Panel`, then :func:`numbers` and :func:`begun`.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from beadwright.charts import svg
from beadwright.charts.svg import tone
from beadwright.statistics.charts.chart import Chart

__all__ = [
    "DIAMOND",
    "LEFT",
    "RIGHT",
    "SMALL",
    "WIDTH",
    "Begins",
    "Panel",
    "begun",
    "completing",
    "numbers",
    "rows_of",
]

WIDTH = 760.0
LEFT, RIGHT = 64.0, 656.0
"""Between these lie the points; limits are named to their right."""

SMALL = 14.0
DIAMOND = 7.0
"""Half of the height of a diamond."""

_ROWS = 2
"""Rows of names above a chart; a bead lot without room in them is named beneath alone."""
_TRIES = 14
"""Places on one side of a point that are tried for its number."""


@dataclass(frozen=True, slots=True)
class Panel:
    """One chart's place on the picture: from values to where they lie."""

    chart: Chart
    top: float
    height: float
    low: float
    high: float

    def x(self, index: float) -> float:
        """Give where a point lies along."""
        return LEFT + (index + 0.5) * (RIGHT - LEFT) / len(self.chart.points)

    def y(self, value: float) -> float:
        """Give how high a value lies; one beyond the picture lies at its edge."""
        inside = min(max(value, self.low), self.high)
        return self.top + self.height * (1 - (inside - self.low) / (self.high - self.low))

    def far(self, value: float) -> bool:
        """Whether a value lies beyond the picture."""
        return not self.low <= value <= self.high


class Begins(NamedTuple):
    """Where a bead lot begins, and where its name stands; without room, no name."""

    at: int
    name: str
    x: float
    row: int


class _Box(NamedTuple):
    x: float
    y: float
    wide: float
    high: float

    def meets(self, other: _Box) -> bool:
        return (
            abs(self.x - other.x) < (self.wide + other.wide) / 2
            and abs(self.y - other.y) < (self.high + other.high) / 2
        )


def completing(chart: Chart) -> set[int]:
    """Give the points that complete a signal, and the last one beyond the limits of each."""
    ends = {signal.at for signal in chart.signals}
    return ends | {one.points[-1] for one in chart.signals if one.rule.of_limits and one.points}


def numbers(panel: Panel, most: int) -> Iterator[str]:
    """Number each signal at the point that completes it, clear of diamonds and of each other."""
    at: dict[int, list[int]] = {}
    for number, signal in enumerate(panel.chart.signals[:most], start=1):
        at.setdefault(signal.at, []).append(number)
    width = 2 * DIAMOND + 4
    taken = [
        _Box(panel.x(index), panel.y(float(panel.chart.points[index])), width, width)
        for index in completing(panel.chart)
    ]
    for index, some in at.items():
        words = ", ".join(map(str, some))
        box = _clear(panel, index, svg.width_of(words, SMALL), taken)
        taken.append(box)
        bold = {"font_size": SMALL, "font_weight": "bold", "text_anchor": "middle"}
        base = box.y + 0.36 * SMALL
        yield svg.text(box.x, base, words, **bold, fill=tone("bad"), **svg.HALO)


def _clear(panel: Panel, index: int, wide: float, taken: Sequence[_Box]) -> _Box:
    """Find room for a number: nearest its point on the outer side, else on the other."""
    value = float(panel.chart.points[index])
    x, y = panel.x(index), panel.y(value)
    outer = -1 if value >= float(panel.chart.centre[index]) else 1
    first = _Box(x, y + outer * (DIAMOND + SMALL), wide, SMALL)
    for step in range(_TRIES):
        for side in (outer, -outer):
            off = DIAMOND + 0.75 * SMALL + step * SMALL / 2
            box = _Box(x, y + side * off, wide, SMALL)
            inside = panel.top < box.y - SMALL / 2 and box.y + SMALL / 2 < panel.top + panel.height
            if inside and not any(box.meets(other) for other in taken):
                return box
    return first


def rows_of(begins: Iterable[tuple[int, str]], count: int) -> list[Begins]:
    """Place the names of bead lots above a chart of so many points, in as few rows as hold them."""
    ends = [0.0] * _ROWS
    placed = []
    for at, name in sorted(begins):
        wide = svg.width_of(name, SMALL)
        x = min(LEFT + at * (RIGHT - LEFT) / count + 3, WIDTH - wide - 2)
        row = next((one for one in range(_ROWS) if ends[one] <= x), None)
        if row is None:
            placed.append(Begins(at, "", x, 0))
            continue
        ends[row] = x + wide + 8
        placed.append(Begins(at, name, x, row))
    return placed


def begun(panel: Panel, placed: Sequence[Begins], *, named: bool = True) -> Iterator[str]:
    """Draw an upright broken line where each bead lot begins; ``named``: its name above."""
    rows = 1 + max((one.row for one in placed), default=0)
    for one in placed:
        x = panel.x(one.at - 0.5)
        foot = panel.top + panel.height
        line = SMALL * svg.LINE
        top = panel.top - (rows - one.row) * line if named and one.name else panel.top
        yield svg.line((x, top), (x, foot), stroke=tone("prefoam"), stroke_dasharray="2 4",
                       stroke_width=1.5)  # fmt: skip
        if named and one.name:
            base = panel.top - (rows - 1 - one.row) * line - 11
            yield svg.text(one.x, base, one.name, font_size=SMALL, fill=tone("quiet"))
