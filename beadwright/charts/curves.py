"""One quantity against another: curves with their bands, points, lines across, stretches.

Read :class:`Curves`, then :func:`draw`. A curve is told from another by its own words beside it
and by its dashes, never by its tone alone; a stretch that no curve may be read in is hatched.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any, Literal

from beadwright.charts import svg
from beadwright.charts.against_limits import ticks
from beadwright.charts.svg import Drawing, figure, tone

__all__ = ["Across", "Axis", "Curve", "Curves", "Label", "Point", "Stretch", "alone", "draw"]

_WIDTH = 760.0
_LEFT, _RIGHT = 62.0, 744.0
_TOP, _HIGH, _FOOT = 30.0, 330.0, 52.0
_SMALL = 13.0
_HATCH = 8.0
_TENTH = 1e-9


@dataclass(frozen=True, slots=True)
class Label:
    """Words, where they stand on the scales, and which end of them stands there."""

    words: str
    x: float
    y: float
    anchor: Literal["start", "middle", "end"] = "start"


@dataclass(frozen=True, slots=True)
class Axis:
    """What is shown along an axis, and from where to where."""

    words: str
    """Quantity and unit, such as ``Bulk density, kg/m³``."""
    low: float
    high: float
    log: bool = False

    def share(self, value: float) -> float:
        """Give where a value lies: 0 at the low end, 1 at the high one."""
        if self.log:
            return math.log(value / self.low) / math.log(self.high / self.low)
        return (value - self.low) / (self.high - self.low)

    def marks(self) -> list[float]:
        """Give the round figures on it."""
        if self.log:
            first, last = math.floor(math.log10(self.low)), math.ceil(math.log10(self.high))
            found = [n * 10.0**power for power in range(first, last + 1) for n in (1, 2, 5)]
        else:
            found = ticks(self.low, self.high)
        slack = _TENTH * (abs(self.low) + abs(self.high))
        return [one for one in found if self.low - slack <= one <= self.high + slack]


@dataclass(frozen=True, slots=True)
class Curve:
    """Points along a curve in order, with the ends of its band where it is an estimate."""

    x: tuple[float, ...]
    y: tuple[float, ...]
    tone: str = "ink"
    dashes: str | None = None
    low: tuple[float, ...] = ()
    high: tuple[float, ...] = ()
    label: Label | None = None

    @classmethod
    def of(cls, x: Iterable[float], y: Iterable[float], **more: Any) -> Curve:
        """Give a curve through rows of figures, such as arrays."""
        rows: dict[str, Any] = {
            key: tuple(map(float, more.pop(key))) for key in ("low", "high") if key in more
        }
        return cls(tuple(map(float, x)), tuple(map(float, y)), **rows, **more)


@dataclass(frozen=True, slots=True)
class Point:
    """One point: a full disc where it is computed, a ring where it was measured or assumed."""

    x: float
    y: float
    full: bool = True
    label: Label | None = None


@dataclass(frozen=True, slots=True)
class Across:
    """A straight line at one value: across the picture, or upright."""

    value: float
    upright: bool = False
    tone: str = "quiet"
    dashes: str | None = "6 4"
    label: Label | None = None


@dataclass(frozen=True, slots=True)
class Stretch:
    """What lies between two values of x: tinted, or hatched where nothing may be read."""

    low: float
    high: float
    hatched: bool = False
    tone: str = "good"
    label: Label | None = None


@dataclass(frozen=True, slots=True)
class Curves:
    """A picture of curves."""

    name: str
    """Of a-z, digits and hyphen; no two pictures of a page share one."""
    title: str
    words: str
    """What the picture says."""
    x: Axis
    y: Axis
    curves: tuple[Curve, ...]
    points: tuple[Point, ...] = ()
    across: tuple[Across, ...] = ()
    stretches: tuple[Stretch, ...] = ()

    def at(self, x: float, y: float) -> tuple[float, float]:
        """Give where a pair of values lies, held inside the picture."""
        across, up = (min(1.0, max(0.0, part)) for part in (self.x.share(x), self.y.share(y)))
        return _LEFT + across * (_RIGHT - _LEFT), _TOP + (1 - up) * _HIGH


def draw(spec: Curves) -> Drawing:
    """Draw curves; words come last, over everything."""
    content = [
        _hatch(spec.name),
        *(_stretch(spec, one) for one in spec.stretches),
        *_scales(spec),
        *(_across(spec, one) for one in spec.across),
    ]
    for curve in spec.curves:
        content += _curve(spec, curve)
    content += [_point(spec, one) for one in spec.points]
    parts: tuple[Stretch | Across | Curve | Point, ...] = (
        *spec.stretches, *spec.across, *spec.curves, *spec.points,
    )  # fmt: skip
    content += [_label(spec, one.label) for one in parts if one.label is not None]
    size = (_WIDTH, _TOP + _HIGH + _FOOT)
    return svg.frame(spec.name, size, (spec.title, spec.words), content)


def alone(drawing: Drawing) -> str:
    """Give a picture for where there is no page: its tones put in, on a ground of its own."""
    ground = svg.rect(0, 0, drawing.width, drawing.height, fill=svg.TONES["ground"])
    head, rest = svg.plain(drawing.svg).split("</desc>", 1)
    return head.replace("<svg ", '<svg font-family="sans-serif" ', 1) + "</desc>" + ground + rest


def _hatch(name: str) -> str:
    mark = svg.line((0, _HATCH), (_HATCH, 0), stroke=tone("quiet"), stroke_width=0.8)
    size = {"width": _HATCH, "height": _HATCH, "patternUnits": "userSpaceOnUse"}
    return svg.element("defs", {}, svg.element("pattern", {"id": f"{name}-hatch", **size}, mark))


def _stretch(spec: Curves, one: Stretch) -> str:
    left, right = spec.at(one.low, spec.y.low)[0], spec.at(one.high, spec.y.low)[0]
    fill = f"url(#{spec.name}-hatch)" if one.hatched else tone(one.tone)
    opacity = 0.5 if one.hatched else 0.16
    return svg.rect(left, _TOP, right - left, _HIGH, fill=fill, opacity=opacity)


def _scales(spec: Curves) -> Iterator[str]:
    bottom = _TOP + _HIGH
    quiet = {"font_size": _SMALL, "fill": tone("quiet")}
    marks = spec.y.marks()
    for value, words in zip(marks, _figures(marks, log=spec.y.log), strict=True):
        y = spec.at(spec.x.low, value)[1]
        yield svg.line((_LEFT, y), (_RIGHT, y))
        yield svg.text(_LEFT - 7, y + 4, words, text_anchor="end", **quiet)
    marks = spec.x.marks()
    for value, words in zip(marks, _figures(marks, log=spec.x.log), strict=True):
        x = spec.at(value, spec.y.low)[0]
        yield svg.line((x, bottom), (x, bottom + 5), stroke=tone("quiet"))
        middle = min(x, _WIDTH - 1 - svg.width_of(words, _SMALL) / 2)
        yield svg.text(middle, bottom + 20, words, text_anchor="middle", **quiet)
    yield svg.line((_LEFT, bottom), (_RIGHT, bottom), stroke=tone("quiet"))
    yield svg.text(0, _SMALL + 1, spec.y.words, font_size=_SMALL, font_weight="bold")
    said = {"font_size": _SMALL, "font_weight": "bold", "text_anchor": "end"}
    yield svg.text(_RIGHT, bottom + 42, spec.x.words, **said)


def _figures(marks: list[float], *, log: bool) -> list[str]:
    if log:
        return [f"{one:g}" for one in marks]
    places = max((len(f"{one:.10g}".partition(".")[2]) for one in marks), default=0)
    return [f"{one + 0.0:.{places}f}" for one in marks]


def _across(spec: Curves, one: Across) -> str:
    ends = (
        (spec.at(one.value, spec.y.low), spec.at(one.value, spec.y.high))
        if one.upright
        else (spec.at(spec.x.low, one.value), spec.at(spec.x.high, one.value))
    )
    return svg.line(*ends, stroke=tone(one.tone), stroke_width=1.6, stroke_dasharray=one.dashes)


def _curve(spec: Curves, one: Curve) -> Iterator[str]:
    if one.low:
        there = _through(spec, one.x, one.high)
        back = _through(spec, one.x[::-1], one.low[::-1])
        outline = f"M{'L'.join([*there, *back])}Z"
        yield svg.path([outline], fill=tone(one.tone), fill_opacity=0.22, stroke="none")
    way = f"M{'L'.join(_through(spec, one.x, one.y))}"
    style: dict[str, object] = {"stroke": tone(one.tone), "stroke_width": 2.2}
    yield svg.path([way], fill="none", stroke_dasharray=one.dashes, **style)


def _through(spec: Curves, x: tuple[float, ...], y: tuple[float, ...]) -> list[str]:
    placed = (spec.at(*pair) for pair in zip(x, y, strict=True))
    return [f"{figure(right)} {figure(down)}" for right, down in placed]


def _point(spec: Curves, one: Point) -> str:
    x, y = spec.at(one.x, one.y)
    fill = tone("ink" if one.full else "ground")
    disc = {"cx": x, "cy": y, "r": 5, "fill": fill, "stroke": tone("ink"), "stroke-width": 1.6}
    return svg.element("circle", disc)


def _label(spec: Curves, label: Label) -> str:
    x, y = spec.at(label.x, label.y)
    said = {"font_size": _SMALL, "text_anchor": label.anchor, **svg.HALO}
    return svg.text(x, y + 4, label.words, **said)
