"""A figure of several groups day by day: a line each, told apart by its dashes and its name.

Read :class:`DayByDay`, then :func:`draw`. A full disc is a day of which all is known, a ring one of
which a part is not; a day without a figure breaks the line.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from beadwright.charts import svg
from beadwright.charts.against_limits import ticks
from beadwright.charts.marks import wrapped
from beadwright.charts.svg import Drawing, tone

__all__ = ["DayByDay", "DayLine", "DayPoint", "draw"]

_WIDTH = 760.0
_LEFT, _RIGHT = 64.0, 560.0
"""Between these lie the days; lines are named to the right."""

_TOP, _HIGH, _FOOT = 30.0, 300.0, 44.0
_SMALL = 14.0
_ROW = _SMALL * 1.2
_RADIUS = 4.0
_DASHES = (None, "9 4", "2 4", "14 4 2 4", "5 3", "2 8")
_MOST_DAYS = 62
"""Days beyond which marks of single days would lie over each other."""


@dataclass(frozen=True, slots=True)
class DayPoint:
    """One day; ``whole`` where all that makes the figure is known."""

    day: date
    value: float
    whole: bool = True


@dataclass(frozen=True, slots=True)
class DayLine:
    """A group, its days oldest first."""

    name: str
    points: tuple[DayPoint, ...]


@dataclass(frozen=True, slots=True)
class DayByDay:
    """What is drawn: at most six lines."""

    name: str
    """Of a-z, digits and hyphen; no two pictures of a page share one."""
    title: str
    unit: str
    """What the figure is in; stands above the scale."""
    lines: tuple[DayLine, ...]
    said: str = ""
    """What must be known besides; stands beneath."""
    digits: int = 2


@dataclass(frozen=True, slots=True)
class _Scale:
    first: date
    days: int
    low: float
    high: float

    def x(self, day: date) -> float:
        """Give where a day lies along."""
        return _LEFT + ((day - self.first).days + 0.5) * (_RIGHT - _LEFT) / self.days

    def y(self, value: float) -> float:
        """Give how high a value lies."""
        return _TOP + _HIGH * (1 - (value - self.low) / (self.high - self.low))


def draw(spec: DayByDay) -> Drawing:
    """Draw the lines; there must be a point."""
    scale = _scale(spec)
    content = [*_axes(spec, scale)]
    for at, one in enumerate(spec.lines):
        content += _line(one, scale, _DASHES[at % len(_DASHES)])
    content += _names(spec, scale)
    foot = _TOP + _HIGH + _FOOT
    for row in wrapped(spec.said, _SMALL, _WIDTH - 8, 3) if spec.said else ():
        content.append(svg.text(4, foot + _SMALL, row, font_size=_SMALL))
        foot += _SMALL * svg.LINE
    return svg.frame(spec.name, (_WIDTH, foot + 8), (spec.title, _words(spec)), content)


def _scale(spec: DayByDay) -> _Scale:
    points = [point for one in spec.lines for point in one.points]
    days, values = [one.day for one in points], [one.value for one in points]
    room = max(0.08 * (max(values) - min(values)), 0.02 * abs(max(values)), 1e-9)
    low = min(values) - room
    if min(values) >= 0:
        low = max(0.0, low)
    return _Scale(min(days), (max(days) - min(days)).days + 1, low, max(values) + room)


def _axes(spec: DayByDay, scale: _Scale) -> Iterator[str]:
    bottom = _TOP + _HIGH
    said = {"font_size": _SMALL, "fill": tone("quiet")}
    yield svg.text(4, 16, spec.unit, **said)
    yield svg.line((_LEFT, _TOP), (_LEFT, bottom), stroke=tone("quiet"))
    yield svg.line((_LEFT, bottom), (_RIGHT, bottom), stroke=tone("quiet"))
    marks = [one for one in ticks(scale.low, scale.high, 5) if scale.low <= one <= scale.high]
    digits = max((len(f"{one:.6f}".rstrip("0").partition(".")[2]) for one in marks), default=0)
    for one in marks:
        y = scale.y(one)
        yield svg.line((_LEFT - 5, y), (_RIGHT, y))
        yield svg.text(_LEFT - 8, y + 5, f"{one:.{digits}f}", text_anchor="end", **said)
    wide = svg.width_of("00-00", _SMALL) + 12
    step = max(1, -int(-scale.days * wide // (_RIGHT - _LEFT)))
    for number in range(0, scale.days, step):
        day = date.fromordinal(scale.first.toordinal() + number)
        x = scale.x(day)
        yield svg.line((x, bottom), (x, bottom + 5), stroke=tone("quiet"))
        words = f"{day:%m-%d}"
        yield svg.text(x, bottom + 8 + _SMALL, words, text_anchor="middle", **said)


def _line(one: DayLine, scale: _Scale, dashes: str | None) -> Iterator[str]:
    steps, before = [], 0
    for point in one.points:
        place = f"{svg.figure(scale.x(point.day))} {svg.figure(scale.y(point.value))}"
        steps.append(f"{'L' if before and _follows(before, point.day) else 'M'}{place}")
        before = point.day.toordinal()
    look = {"fill": "none", "stroke": tone("ink"), "stroke_width": 1.5}
    yield svg.path(steps, stroke_dasharray=dashes, **look)
    if scale.days > _MOST_DAYS:
        return
    for point in one.points:
        fill = tone("ink" if point.whole else "ground")
        yield svg.element("circle", {
            "cx": scale.x(point.day), "cy": scale.y(point.value), "r": _RADIUS, "fill": fill,
            "stroke": tone("ink"), "stroke-width": 1.5,
        })  # fmt: skip


def _follows(before: int, day: date) -> bool:
    """Whether a line goes on: over a weekend it does, over a week without a figure not."""
    return day.toordinal() - before < 7  # noqa: PLR2004 - days of a week


def _names(spec: DayByDay, scale: _Scale) -> Iterator[str]:
    """Name each line at its end, moved apart where two end together."""
    ends = sorted((scale.y(one.points[-1].value), at) for at, one in enumerate(spec.lines))
    for (end, at), y in zip(ends, _apart([y for y, _ in ends]), strict=True):
        one = spec.lines[at]
        x = scale.x(one.points[-1].day)
        yield svg.line((x + _RADIUS + 2, end), (_RIGHT + 30, y), stroke=tone("quiet"))
        words = f"{one.name} {one.points[-1].value:.{spec.digits}f}"
        yield svg.text(_RIGHT + 35, y + 5, words, font_size=_SMALL)


def _apart(wanted: Sequence[float]) -> list[float]:
    """Move rows apart, each as near to where it is wanted as those above it let it be."""
    placed: list[float] = []
    for y in wanted:
        placed.append(max(y, placed[-1] + _ROW) if placed else max(y, _TOP))
    over = (placed[-1] - (_TOP + _HIGH)) if placed else 0.0
    if over <= 0:
        return placed
    placed[-1] -= over
    for at in range(len(placed) - 2, -1, -1):
        placed[at] = min(placed[at], placed[at + 1] - _ROW)
    return placed


def _words(spec: DayByDay) -> str:
    each = (_said(one, spec.digits) for one in spec.lines)
    return " ".join((f"{spec.unit}.", *each, spec.said)).strip()


def _said(one: DayLine, digits: int) -> str:
    first, last = one.points[0], one.points[-1]
    values = [point.value for point in one.points]
    return (
        f"{one.name}: {first.value:.{digits}f} on {first.day}, {last.value:.{digits}f} on"
        f" {last.day}, between {min(values):.{digits}f} and {max(values):.{digits}f}."
    )
