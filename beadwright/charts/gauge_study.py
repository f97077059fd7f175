"""Pictures of a gauge study: readings by part, by person, and people's lines over the parts.

Read :class:`Readings`, then :func:`draw`. People are told apart by the shape of their marks and by
their names beside their lines, never by tone alone.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from beadwright.charts import svg
from beadwright.charts.against_limits import ticks
from beadwright.charts.svg import Drawing, figure, tone

__all__ = ["Level", "Line", "Mark", "Readings", "draw"]

_WIDTH, _HIGH = 760.0, 260.0
_LEFT, _RIGHT = 66.0, 744.0
_TOP, _FOOT = 46.0, 50.0
_SMALL = 13.0
_R = 4.6
_SIDES = (0, 4, 3, 5, 6, 8)
"""Corners of the shapes, by person: disc, diamond, triangle and on; then they come round again."""
_DASHES = (None, "7 4", "2 3", "10 3 2 3")
_TILT = 7.0
"""Width of a digit: names of parts that do not fit beside each other are left out in turn."""


@dataclass(frozen=True, slots=True)
class Mark:
    """One reading: over which place, whose, and what."""

    place: int
    series: int
    value: float
    alone: bool = False
    """Whether it does not seem to belong to the others of its cell."""


@dataclass(frozen=True, slots=True)
class Line:
    """A line through means, one over each place."""

    values: tuple[float, ...]
    words: str = ""
    series: int = -1
    """Whose; below zero, of all."""


@dataclass(frozen=True, slots=True)
class Level:
    """A value across the picture, with its words."""

    value: float
    words: str
    right: bool = False
    """Whether they stand at its right end, beneath it: else at its left, above."""


@dataclass(frozen=True, slots=True)
class Readings:
    """What is drawn."""

    name: str
    title: str
    words: str
    across: str
    """What stands along the picture, such as ``part``."""
    up: str
    """Quantity and unit."""
    places: tuple[str, ...]
    series: tuple[str, ...]
    marks: tuple[Mark, ...] = ()
    lines: tuple[Line, ...] = ()
    levels: tuple[Level, ...] = ()

    @property
    def span(self) -> tuple[float, float]:
        """Lowest and highest of what is shown, with room beyond."""
        shown = [one.value for one in self.marks] + [one.value for one in self.levels]
        shown += [value for line in self.lines for value in line.values]
        low, high = min(shown), max(shown)
        room = 0.06 * (high - low) or max(abs(high), 1.0) * 0.01
        return low - room, high + room

    def x(self, place: float) -> float:
        """Give where a place lies: the middle of its strip."""
        return _LEFT + (place + 0.5) / len(self.places) * (_RIGHT - _LEFT)

    def y(self, value: float) -> float:
        """Give where a value lies."""
        low, high = self.span
        return _TOP + (high - value) / (high - low) * _HIGH


def draw(spec: Readings) -> Drawing:
    """Draw readings; words come last, over everything."""
    content = [*_scales(spec), *(_level(spec, one) for one in spec.levels)]
    content += [_line(spec, one) for one in spec.lines]
    content += [_mark(spec, one) for one in spec.marks]
    content += [*_key(spec), *_named(spec)]
    size = (_WIDTH, _TOP + _HIGH + _FOOT)
    return svg.frame(spec.name, size, (spec.title, spec.words), content)


def _scales(spec: Readings) -> Iterator[str]:
    quiet = {"font_size": _SMALL, "fill": tone("quiet")}
    low, high = spec.span
    marks = [one for one in ticks(low, high) if low <= one <= high]
    digits = max((len(f"{one:.10g}".partition(".")[2]) for one in marks), default=0)
    for one in marks:
        yield svg.line((_LEFT, spec.y(one)), (_RIGHT, spec.y(one)))
        words = f"{one + 0.0:.{digits}f}"
        yield svg.text(_LEFT - 7, spec.y(one) + 4, words, text_anchor="end", **quiet)
    bottom = _TOP + _HIGH
    yield svg.line((_LEFT, bottom), (_RIGHT, bottom), stroke=tone("quiet"))
    widest = max(svg.width_of(one, _SMALL) for one in spec.places) + _TILT
    every = math.ceil(widest * len(spec.places) / (_RIGHT - _LEFT))
    for n, words in enumerate(spec.places):
        if n % every == 0:
            yield svg.text(spec.x(n), bottom + 19, words, text_anchor="middle", **quiet)
    yield svg.text(0, _SMALL + 1, spec.up, font_size=_SMALL, font_weight="bold")
    said = {"font_size": _SMALL, "font_weight": "bold", "text_anchor": "end"}
    yield svg.text(_RIGHT, bottom + 40, spec.across, **said)


def _key(spec: Readings) -> Iterator[str]:
    """Name the marks of each person above the picture, where there is room for all."""
    whose = sorted({one.series for one in spec.marks})
    wide = [svg.width_of(spec.series[one], _SMALL) + 30 for one in whose]
    start = _RIGHT - sum(wide)
    if len(whose) < 2 or start < _LEFT:  # noqa: PLR2004 - one alone needs no key
        return
    for one, width in zip(whose, wide, strict=True):
        yield _shape(one, (start + 8, _TOP - 15))
        yield svg.text(start + 18, _TOP - 10, spec.series[one], font_size=_SMALL)
        start += width


def _mark(spec: Readings, one: Mark) -> str:
    """Draw a reading, each person's beside the others' of the place."""
    number = len({mark.series for mark in spec.marks})
    strip = (_RIGHT - _LEFT) / len(spec.places)
    own = (one.series - (number - 1) / 2) * min(16.0, 0.8 * strip / max(number, 1))
    at = (spec.x(one.place) + (own if number > 1 else 0.0), spec.y(one.value))
    shape = _shape(one.series, at)
    if not one.alone:
        return shape
    ring = {"cx": at[0], "cy": at[1], "r": 2.1 * _R, "fill": "none", "stroke": tone("bad")}
    return shape + svg.element("circle", {**ring, "stroke-width": 2})


def _shape(series: int, at: tuple[float, float]) -> str:
    x, y = at
    style = {"fill": tone("ground"), "stroke": tone("ink"), "stroke-width": 1.5}
    sides = _SIDES[series % len(_SIDES)]
    if not sides:
        return svg.element("circle", {"cx": x, "cy": y, "r": _R, **style})
    turns = [math.tau * n / sides - math.pi / 2 for n in range(sides)]
    corners = [f"{figure(x + _R * 1.2 * math.cos(t))} {figure(y + _R * 1.2 * math.sin(t))}"
               for t in turns]  # fmt: skip
    return svg.path([f"M{'L'.join(corners)}Z"], fill=style["fill"], stroke=style["stroke"],
                    stroke_width=1.5)  # fmt: skip


def _line(spec: Readings, one: Line) -> str:
    points = [f"{figure(spec.x(n))} {figure(spec.y(value))}" for n, value in enumerate(one.values)]
    dashes = None if one.series < 0 else _DASHES[one.series % len(_DASHES)]
    shade = tone("block" if one.series < 0 else "ink")
    return svg.path(
        [f"M{'L'.join(points)}"], fill="none", stroke=shade, stroke_width=1.8,
        stroke_dasharray=dashes,
    )  # fmt: skip


def _level(spec: Readings, one: Level) -> str:
    ends = ((_LEFT, spec.y(one.value)), (_RIGHT, spec.y(one.value)))
    return svg.line(*ends, stroke=tone("bad"), stroke_width=1.6, stroke_dasharray="6 4")


def _named(spec: Readings) -> Iterator[str]:
    """Name lines at their ends, apart from each other, and levels at the left."""
    said = {"font_size": _SMALL, **svg.HALO}
    for one in spec.levels:
        x, below, anchor = (_RIGHT - 4, 15.0, "end") if one.right else (_LEFT + 4, -5.0, "start")
        yield svg.text(x, spec.y(one.value) + below, one.words, text_anchor=anchor, **said)
    ends = sorted((spec.y(one.values[-1]), one.words) for one in spec.lines if one.words)
    last = -math.inf
    for y, words in ends:
        last = max(y, last + _SMALL * 1.15)
        yield svg.text(_RIGHT - 2, last + 4, words, text_anchor="end", **said)
