"""Where the stages of a plant and their stops stand: in rows, as text is read.

Read :class:`Stages` and :func:`place`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from beadwright.charts.marks import BOLD, LEAST, Mark, wrapped
from beadwright.charts.svg import width_of

__all__ = [
    "FIGURE",
    "GAP",
    "HEAD",
    "LINE_H",
    "MARGIN",
    "MARK",
    "NAME",
    "PAD",
    "PLAIN",
    "Box",
    "Placed",
    "Shape",
    "Spot",
    "Stage",
    "Stages",
    "Stop",
    "mark_lines",
    "place",
]

MARGIN = 3.0
"""Room for the widest edge of a box."""

HEAD = 30.0
"""Room for a stage's name."""

GAP = 10.0
PAD = 10.0
NAME, FIGURE, PLAIN, MARK = 25.0, 22.0, 17.0, 18.0
"""Sizes of the words of a stop."""

LINE_H = 1.25
_BETWEEN, _BELOW = 46.0, 36.0
"""Room for the pipes beside and below stages."""

_STRETCH = 1.3
"""How much higher than its words ask a box may be, to fill its row."""

Shape = Literal["bag", "machine", "vessel", "plain"]


@dataclass(frozen=True, slots=True)
class Stop:
    """A place, or lots that stand alike: what stands in one box."""

    name: str
    figure: str = ""
    """How much, in large."""
    lines: tuple[str, ...] = ()
    mark: Mark | None = None
    level: float | None = None
    """How full it is, from 0 to 1."""
    href: str = ""
    said: str = ""
    """What it is in full; its words in order where this is empty."""


@dataclass(frozen=True, slots=True)
class Stage:
    """A stretch of the plant."""

    name: str
    shape: Shape
    stops: tuple[Stop, ...]
    columns: int = 1
    weight: float = 1.0
    """How wide a column is, beside those of the other stages of its row."""


@dataclass(frozen=True, slots=True)
class Stages:
    """A plant: rows of stages, each from left to right, the rows from above."""

    name: str
    """Of a-z, digits and hyphen; no two pictures of a page share one."""
    title: str
    rows: tuple[tuple[Stage, ...], ...]
    width: float = 1240.0

    @property
    def stages(self) -> tuple[Stage, ...]:
        """Every stage, in order."""
        return tuple(stage for row in self.rows for stage in row)


@dataclass(frozen=True, slots=True)
class Box:
    """Where a stop stands."""

    x: float
    top: float
    width: float
    height: float

    @property
    def room(self) -> float:
        """Room for its words."""
        return self.width - 2 * PAD


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a stage stands."""

    x: float
    top: float
    width: float
    height: float
    boxes: tuple[Box, ...]
    row: int

    @property
    def middle(self) -> float:
        """Middle of its width."""
        return self.x + self.width / 2


@dataclass(frozen=True, slots=True)
class Placed:
    """Where everything stands."""

    spots: tuple[Spot, ...]
    width: float
    bottom: float


def mark_lines(mark: Mark, room: float) -> list[str]:
    """Give a mark's word beside its shape: in one line if it fits there, else in two."""
    beside = room - MARK - 8
    if width_of(mark.word, MARK) * BOLD * LEAST <= beside:
        return [mark.word]
    return wrapped(mark.word, MARK, beside, 2)


def _need(stop: Stop, width: float) -> float:
    """Height that a stop's words ask for."""
    high = NAME * LINE_H + (FIGURE * LINE_H if stop.figure else 0)
    high += len(stop.lines) * PLAIN * LINE_H
    if stop.mark is not None:
        high += len(mark_lines(stop.mark, width - 2 * PAD)) * MARK * LINE_H + 4
    return high + 2 * PAD


def place(picture: Stages) -> Placed:
    """Place every stage: rows as high as the highest stage in them asks."""
    spots: list[Spot] = []
    top = MARGIN
    for number, row in enumerate(picture.rows):
        widths = _widths(row, picture.width - 2 * MARGIN)
        needs = [_stage_need(stage, width) for stage, width in zip(row, widths, strict=True)]
        height = HEAD + max(needs, default=0.0)
        x = MARGIN
        for stage, width in zip(row, widths, strict=True):
            boxes = _boxes(stage, (x, top + HEAD, width, height - HEAD))
            spots.append(Spot(x, top, width, height, boxes, number))
            x += width + _BETWEEN
        top += height + _BELOW
    return Placed(tuple(spots), picture.width, max(MARGIN, top - _BELOW))


def _widths(row: Sequence[Stage], whole: float) -> list[float]:
    room = whole - _BETWEEN * (len(row) - 1)
    total = sum(stage.columns * stage.weight for stage in row)
    return [room * stage.columns * stage.weight / total for stage in row]


def _column(stage: Stage, width: float) -> float:
    return (width - GAP * (stage.columns - 1)) / stage.columns


def _stage_need(stage: Stage, width: float) -> float:
    column = _column(stage, width)
    each = max((_need(stop, column) for stop in stage.stops), default=0.0)
    deep = -(-len(stage.stops) // stage.columns)
    return deep * each + max(0, deep - 1) * GAP


def _boxes(stage: Stage, area: tuple[float, float, float, float]) -> tuple[Box, ...]:
    x, top, width, height = area
    column = _column(stage, width)
    deep = max(1, -(-len(stage.stops) // stage.columns))
    each = max((_need(stop, column) for stop in stage.stops), default=0.0)
    each = min(each * _STRETCH, (height - (deep - 1) * GAP) / deep)
    return tuple(
        Box(
            x + (at % stage.columns) * (column + GAP),
            top + (at // stage.columns) * (each + GAP),
            column,
            each,
        )
        for at in range(len(stage.stops))
    )
