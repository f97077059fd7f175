"""Readings against their limits: every piece a mark on one scale, the limits as lines across it.

Read :class:`AgainstLimits`, then :func:`draw`. A piece beyond a limit has another shape, and the
side that is not allowed is hatched: nothing is told by colour alone.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from beadwright.charts import svg
from beadwright.charts.svg import Drawing, tone

__all__ = ["AgainstLimits", "Bound", "Strip", "draw", "ticks"]

_WIDTH = 700.0
_LEFT, _RIGHT = 176.0, 676.0
"""Between these lies the scale."""

_RADIUS = 5.0
_ROW = 2 * _RADIUS + 1
_LEAST_STRIP = 50.0
_MOST_STACK = 120.0
_SMALL = 13.0
_HATCH = 8.0


@dataclass(frozen=True, slots=True)
class Bound:
    """A limit, in the unit of the picture."""

    value: float
    way: Literal["min", "max", "within"]
    words: str
    """As it is said: ``at least 21.6 kg/m³, mean of 3``."""
    of: Literal["each", "mean"] = "each"
    """What it limits: every piece, or their mean alone."""

    @property
    def lines(self) -> tuple[float, ...]:
        """Where it lies on the scale: to either side of zero where a change is limited."""
        return (-self.value, self.value) if self.way == "within" else (self.value,)

    def short(self, digits: int) -> str:
        """Give what stands at its line: ``≥ 21.6 each``."""
        sign = {"min": "≥ ", "max": "≤ ", "within": "± "}[self.way]
        return f"{sign}{self.value:.{digits}f} {self.of}"

    def forbids(self, value: float) -> bool:
        """Whether a value lies beyond it."""
        if self.way == "min":
            return value < self.value
        return (abs(value) if self.way == "within" else value) > self.value


@dataclass(frozen=True, slots=True)
class Strip:
    """Pieces that may be pooled: of one state, at one place."""

    name: str
    values: tuple[float, ...]
    mean: float | None = None
    note: str = ""
    """What is to be known of them, such as ``screens only``."""
    judged: bool = True
    """Whether the limits judge these pieces."""


@dataclass(frozen=True, slots=True)
class AgainstLimits:
    """One characteristic of a lot: its readings, strip by strip, and its limits."""

    name: str
    """Of a-z, digits and hyphen; no two pictures of a page share one."""
    title: str
    unit: str
    strips: tuple[Strip, ...]
    bounds: tuple[Bound, ...] = ()
    digits: int = 1
    one: str = "piece"
    """What was measured, in words."""


@dataclass(frozen=True, slots=True)
class _Scale:
    """From a value to where it lies."""

    low: float
    high: float
    step: float

    def at(self, value: float) -> float:
        return _LEFT + (value - self.low) / (self.high - self.low) * (_RIGHT - _LEFT)

    @classmethod
    def of(cls, spec: AgainstLimits) -> _Scale:
        """Hold every piece and every limit, with some room beyond."""
        shown = [value for strip in spec.strips for value in strip.values]
        shown += [line for bound in spec.bounds for line in bound.lines]
        low, high = min(shown, default=0.0), max(shown, default=1.0)
        size = max(abs(low), abs(high))
        room = max(0.12 * (high - low), 1e-6 * size) or 1.0
        marks = ticks(low - room, high + room)
        return cls(marks[0], marks[-1], marks[1] - marks[0])


def ticks(low: float, high: float, about: int = 6) -> list[float]:
    """Give round figures from just below a span to just above it.

    >>> ticks(0.3, 9.2)
    [0.0, 2.0, 4.0, 6.0, 8.0, 10.0]
    """
    rough = (high - low) / about
    power = 10.0 ** math.floor(math.log10(rough))
    step = next(n * power for n in (1.0, 2.0, 2.5, 5.0, 10.0) if n * power >= rough)
    first, last = math.floor(low / step + 1e-9), math.ceil(high / step - 1e-9)
    return [round(n * step, 12) for n in range(first, last + 1)]


def draw(spec: AgainstLimits) -> Drawing:
    """Draw readings against their limits."""
    scale = _Scale.of(spec)
    content: list[str] = [_hatch(spec.name)]
    rows = _rows(spec, scale)
    top = 12.0 + len(set(rows)) * _SMALL * svg.LINE
    tops: list[float] = []
    bottom = top
    for strip in spec.strips:
        tops.append(bottom)
        bottom += _height(strip, scale)
    content += _forbidden(spec, scale, (top, bottom))
    content += _bounds(spec, scale, rows, (top, bottom))
    for strip, above in zip(spec.strips, tops, strict=True):
        content += _strip(spec, strip, scale, above)
    content += _axis(spec, scale, bottom)
    return svg.frame(
        spec.name, (_WIDTH, bottom + 2.9 * _SMALL), (spec.title, _words(spec)), content
    )


def _hatch(name: str) -> str:
    mark = svg.line((0, _HATCH), (_HATCH, 0), stroke=tone("bad"), stroke_width=0.8)
    size = {"width": _HATCH, "height": _HATCH, "patternUnits": "userSpaceOnUse"}
    pattern = svg.element("pattern", {"id": f"{name}-hatch", **size}, mark)
    return svg.element("defs", {}, pattern)


def _columns(values: Sequence[float], scale: _Scale) -> dict[int, list[float]]:
    """Put pieces that would lie over each other into columns, by where they lie."""
    found: dict[int, list[float]] = {}
    for value in sorted(values):
        found.setdefault(round(scale.at(value) / _ROW), []).append(value)
    return found


def _stack(strip: Strip, scale: _Scale) -> tuple[int, float]:
    """Give how many pieces the highest column holds, and how far apart they stand in it."""
    most = max((len(column) for column in _columns(strip.values, scale).values()), default=1)
    return most, min(_ROW, _MOST_STACK / most)


def _height(strip: Strip, scale: _Scale) -> float:
    most, apart = _stack(strip, scale)
    lines = 2 + bool(strip.note)
    return max(_LEAST_STRIP, most * apart + 24, lines * _SMALL * svg.LINE + 12)


def _in_order(spec: AgainstLimits) -> list[Bound]:
    return sorted(spec.bounds, key=lambda one: one.lines[-1])


def _rows(spec: AgainstLimits, scale: _Scale) -> list[int]:
    """Give each limit's words a row of their own where they would lie over another's."""
    ends: list[float] = []
    rows = []
    for bound in _in_order(spec):
        start, end = _span(bound.short(spec.digits), scale.at(bound.lines[-1]))
        row = next((n for n, last in enumerate(ends) if last < start), len(ends))
        ends[row : row + 1] = [end + 8]
        rows.append(row)
    return rows


def _span(words: str, x: float) -> tuple[float, float]:
    """Give where a limit's words begin and end: over its line, inside the picture."""
    wide = svg.width_of(words, _SMALL)
    start = min(max(4.0, x - wide / 2), _WIDTH - 4 - wide)
    return start, start + wide


def _forbidden(spec: AgainstLimits, scale: _Scale, span: tuple[float, float]) -> Iterator[str]:
    """Hatch what lies beyond the strictest limit of every piece, to either side."""
    top, bottom = span
    every = [bound for bound in spec.bounds if bound.of == "each"]
    lower = [b.lines[0] for b in every if b.way != "max"]
    upper = [b.lines[-1] for b in every if b.way != "min"]
    sides = []
    if lower:
        sides.append((_LEFT, scale.at(max(lower))))
    if upper:
        sides.append((scale.at(min(upper)), _RIGHT))
    for start, end in sides:
        fill = f"url(#{spec.name}-hatch)"
        yield svg.rect(start, top, max(0.0, end - start), bottom - top, fill=fill, opacity=0.35)


def _bounds(
    spec: AgainstLimits, scale: _Scale, rows: Sequence[int], span: tuple[float, float]
) -> Iterator[str]:
    """Draw every line, then every limit's words: a line passes behind the words of another."""
    top, bottom = span
    placed = [
        (one, _SMALL + row * _SMALL * svg.LINE)
        for one, row in zip(_in_order(spec), rows, strict=True)
    ]
    for bound, base in placed:
        dashes = None if bound.of == "each" else "6 4"
        for value in bound.lines:
            x = scale.at(value)
            yield svg.line((x, base + 4), (x, top))
            yield svg.line(
                (x, top), (x, bottom), stroke=tone("bad"), stroke_width=2, stroke_dasharray=dashes
            )
    for bound, base in placed:
        words = bound.short(spec.digits)
        start, _ = _span(words, scale.at(bound.lines[-1]))
        yield svg.text(start, base, words, font_size=_SMALL, **svg.HALO)
    yield svg.line((_LEFT, top), (_RIGHT, top))


def _strip(spec: AgainstLimits, strip: Strip, scale: _Scale, top: float) -> Iterator[str]:
    height, (_, apart) = _height(strip, scale), _stack(strip, scale)
    base = top + height - _RADIUS - 6
    yield svg.line((4, top + height), (_RIGHT, top + height))
    said = [(strip.name, tone("ink")), (_counted(spec, strip), tone("quiet"))]
    if strip.note:
        said.append((strip.note, tone("quiet")))
    for at, (words, colour) in enumerate(said):
        y = top + 18 + at * _SMALL * svg.LINE
        yield svg.text(4, y, _cut(words, _LEFT - 12), font_size=_SMALL, fill=colour)
    if strip.mean is not None:
        means = [bound for bound in spec.bounds if bound.of == "mean"] if strip.judged else []
        beyond = any(bound.forbids(strip.mean) for bound in means)
        yield _mean(scale.at(strip.mean), base, beyond=beyond)
    for column in _columns(strip.values, scale).values():
        for at, value in enumerate(column):
            yield _piece(spec, strip, (scale.at(value), base - at * apart), value)


def _counted(spec: AgainstLimits, strip: Strip) -> str:
    n = len(strip.values)
    mean = "" if strip.mean is None else f", mean {strip.mean:.{spec.digits}f}"
    return f"n = {n}{mean}"


def _cut(words: str, room: float) -> str:
    """Shorten words that would not fit."""
    if svg.width_of(words, _SMALL) <= room:
        return words
    while words and svg.width_of(f"{words}…", _SMALL) > room:
        words = words[:-1]
    return f"{words.rstrip()}…"


def _mean(x: float, base: float, *, beyond: bool) -> str:
    """Draw the mean: a diamond on the strip's foot; a full one where it lies beyond a limit."""
    y, half = base + _RADIUS + 6, 6
    steps = (f"M{svg.figure(x)} {svg.figure(y - half)}", f"l{half} {half}", f"l-{half} {half}",
             f"l-{half} -{half}", "z")  # fmt: skip
    fill = tone("bad" if beyond else "ground")
    return svg.path(steps, fill=fill, stroke=tone("ink"), stroke_width=1.6)


def _piece(spec: AgainstLimits, strip: Strip, at: tuple[float, float], value: float) -> str:
    """Draw a piece: a disc; a ring where nothing judges it; a cross where it lies beyond."""
    x, y = at
    every = [bound for bound in spec.bounds if bound.of == "each"]
    if strip.judged and any(bound.forbids(value) for bound in every):
        r = _RADIUS - 0.5
        steps = [f"M{svg.figure(x + a * r)} {svg.figure(y - r)}L{svg.figure(x - a * r)}"
                 f" {svg.figure(y + r)}" for a in (-1, 1)]  # fmt: skip
        return svg.path(steps, stroke=tone("bad"), stroke_width=2.6, fill="none")
    filled = tone("bead") if strip.judged else tone("ground")
    circle = {"cx": x, "cy": y, "r": _RADIUS, "fill": filled, "stroke": tone("ink")}
    return svg.element("circle", {**circle, "stroke-width": 1.2})


def _axis(spec: AgainstLimits, scale: _Scale, top: float) -> Iterator[str]:
    count = round((scale.high - scale.low) / scale.step)
    digits = max(0, -math.floor(math.log10(scale.step) + 1e-9))
    if round(scale.step, digits) != round(scale.step, 12):
        digits += 1  # two and a half of a power of ten
    base = top + 6 + _SMALL
    for at in range(count + 1):
        value = scale.low + at * scale.step
        x = scale.at(value)
        yield svg.line((x, top), (x, top + 5), stroke=tone("quiet"))
        words = f"{round(value, digits) + 0.0:.{digits}f}"
        middle = min(x, _WIDTH - 1 - svg.width_of(words, _SMALL) / 2)
        said = {"font_size": _SMALL, "fill": tone("quiet"), "text_anchor": "middle"}
        yield svg.text(middle, base, words, **said)
    yield svg.text(4, base, _cut(spec.unit, _LEFT - 20), font_size=_SMALL, fill=tone("quiet"))


def _words(spec: AgainstLimits) -> str:
    """Say what the picture says."""
    unit = f" {spec.unit}" if spec.unit else ""
    parts = []
    for strip in spec.strips:
        if not strip.values:
            continue
        low, high = (f"{f(strip.values):.{spec.digits}f}" for f in (min, max))
        span = f"{low}{unit}" if low == high else f"{low} to {high}{unit}"
        mean = "" if strip.mean is None else f", mean {strip.mean:.{spec.digits}f}"
        count = len(strip.values)
        many = f"{count} {spec.one}{'' if count == 1 else 's'}"
        note = f" ({strip.note})" if strip.note else ""
        parts.append(f"{strip.name}{note}: {many}, {span}{mean}.")
    parts += [f"Limit: {bound.words}; {_beyond(spec, bound)}." for bound in spec.bounds]
    return " ".join(parts) or "No readings."


def _unjudged(spec: AgainstLimits, bound: Bound) -> str:
    """Say that nothing shown is judged, and whether it would not be met all the same."""
    said = "nothing here is judged against it"
    means = [one.mean for one in spec.strips if one.values and one.mean is not None]
    every = [value for one in spec.strips for value in one.values]
    if any(map(bound.forbids, means if bound.of == "mean" else every)):
        return f"{said}, and it would not be met"
    return said


def _beyond(spec: AgainstLimits, bound: Bound) -> str:
    strips = [strip for strip in spec.strips if strip.judged and strip.values]
    if not strips:
        return _unjudged(spec, bound)
    if bound.of == "mean":
        beyond = any(one.mean is not None and bound.forbids(one.mean) for one in strips)
        return "the mean lies beyond it" if beyond else "the mean lies inside it"
    judged = [value for strip in strips for value in strip.values]
    count = sum(map(bound.forbids, judged))
    if not count:
        return f"no {spec.one} lies beyond it"
    return f"{count} of {len(judged)} {spec.one}s {'lies' if count == 1 else 'lie'} beyond it"
