"""Every silo with beads on one axis of time: its signed hours, its window by estimate, and now.

Read :class:`SiloHours`, then :func:`draw`. The signed hours are a solid bar, for they decide. The
estimate is an outlined bar below it: plain where both its ends agree, hatched as far as its band
reaches, with a stroke at each end by estimate. What is not known is dashed and says so.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from beadwright.charts import svg
from beadwright.charts.marks import fitted
from beadwright.charts.svg import Drawing, figure, tone

__all__ = ["Band", "SiloHours", "SiloRow", "Tick", "draw"]

Band = tuple[float, float, float]
"""Early end, by estimate, late end; in hours from now."""

_WIDTH = 800.0
_LEFT, _RIGHT = 176.0, 792.0
_HEAD, _ROW, _FOOT = 64.0, 66.0, 30.0
_NAME, _AGES, _SMALL = 22.0, 17.0, 14.0
_SIGNED, _ESTIMATED = (8.0, 20.0), (34.0, 18.0)
"""Top within its row, and height."""
_HATCH = 7.0


@dataclass(frozen=True, slots=True)
class Tick:
    """A mark of the axis."""

    at_h: float
    words: str
    """Empty: a mark between those with words."""


@dataclass(frozen=True, slots=True)
class SiloRow:
    """One silo; hours from now."""

    place: str
    ages: str
    """As it stands under its name: ``14 to 19 h old``."""
    first_h: float
    """When its first bead came in, below nothing."""
    last_h: float
    signed: tuple[float, float] | None
    """None where no hours are signed."""
    opens: Band | None
    """None where it is not known."""
    closes: Band | None
    why: str
    """Why there is no estimate."""
    words: str
    """The row in words."""
    held: bool = False


@dataclass(frozen=True, slots=True)
class SiloHours:
    """Silos on one axis of time."""

    name: str
    """Of a-z, digits and hyphen; no two pictures of a page share one."""
    title: str
    now: str
    """As it is said: ``now, Fri 08:10``."""
    rows: tuple[SiloRow, ...]
    from_h: float
    """Where the axis begins, below nothing."""
    until_h: float
    ticks: tuple[Tick, ...]

    def x(self, hour: float) -> float:
        """Where an hour lies; beyond the axis at its end."""
        share = (hour - self.from_h) / (self.until_h - self.from_h)
        return _LEFT + min(1.0, max(0.0, share)) * (_RIGHT - _LEFT)

    def beyond(self, hour: float) -> bool:
        """Whether an hour lies after the axis."""
        return hour > self.until_h


def draw(spec: SiloHours) -> Drawing:
    """Draw the silos."""
    bottom = _HEAD + max(1, len(spec.rows)) * _ROW
    content = [_patterns(spec.name), *_legend(spec), *_axis(spec, bottom)]
    for n, row in enumerate(spec.rows):
        content += _row(spec, row, _HEAD + n * _ROW)
    content += _now(spec, bottom)
    for n, row in enumerate(spec.rows):
        content += _lacking(spec, row, _HEAD + n * _ROW)
    size = (_WIDTH, bottom + _FOOT)
    return svg.frame(spec.name, size, (spec.title, _words(spec)), content)


def _patterns(name: str) -> str:
    mark = svg.line((0, _HATCH), (_HATCH, 0), stroke=tone("ink"), stroke_width=1.1)
    size = {"width": _HATCH, "height": _HATCH, "patternUnits": "userSpaceOnUse"}
    pattern = svg.element("pattern", {"id": f"{name}-hatch", **size}, mark)
    return svg.element("defs", {}, pattern)


def _legend(spec: SiloHours) -> Iterator[str]:
    """Say above the rows what each sort of bar is."""
    y, high = 6.0, 16.0
    yield svg.rect(0, y, 34, high, fill=tone("ink"))
    yield svg.text(42, y + 13, "signed: decides", font_size=_SMALL)
    x = 176.0
    yield svg.rect(x, y, 34, high, fill=tone("prefoam"), fill_opacity=0.35)
    yield _outline(x, y, 34, high)
    yield from (_stroke(end, y, high) for end in (x, x + 34))
    yield svg.text(x + 42, y + 13, "fit by estimate", font_size=_SMALL)
    x = 340.0
    yield svg.rect(x, y, 34, high, fill=f"url(#{spec.name}-hatch)", opacity=0.75)
    yield _outline(x, y, 34, high)
    yield svg.text(x + 42, y + 13, "in doubt: its band", font_size=_SMALL)
    x = 526.0
    yield from _clocks(x, x + 34, y + 8)
    yield svg.text(x + 46, y + 13, "first and last bead in", font_size=_SMALL)


def _axis(spec: SiloHours, bottom: float) -> Iterator[str]:
    for tick in spec.ticks:
        x = spec.x(tick.at_h)
        dashes = None if tick.words else "2 5"
        yield svg.line((x, _HEAD), (x, bottom + 4), stroke_dasharray=dashes)
        if tick.words:
            half = svg.width_of(tick.words, _SMALL) / 2
            middle = min(max(x, _LEFT + half), _WIDTH - half)
            said = {"font_size": _SMALL, "fill": tone("quiet"), "text_anchor": "middle"}
            yield svg.text(middle, bottom + 20, tick.words, **said)


def _row(spec: SiloHours, row: SiloRow, top: float) -> Iterator[str]:
    yield svg.line((0, top), (_WIDTH, top))
    room = _LEFT - 14
    at = (22, 43, 61) if row.held else (27, 51, 0)
    yield fitted((0, top + at[0]), row.place, _NAME, room, font_weight="bold")
    yield fitted((0, top + at[1]), row.ages, _AGES, room)
    if row.held:
        said = {"font_size": _AGES, "font_weight": "bold", "fill": tone("bad")}
        yield svg.text(0, top + at[2], "held", **said)
    yield from _clocks(spec.x(row.first_h), spec.x(row.last_h), top + _SIGNED[0] + _SIGNED[1] / 2)
    yield from _signed(spec, row, top + _SIGNED[0])
    yield from _estimated(spec, row, top + _ESTIMATED[0])


def _clocks(first: float, last: float, y: float) -> Iterator[str]:
    """Draw when its first and its last bead came in: two strokes and a line between them."""
    ends = f"M{figure(first)} {figure(y - 6)}v12M{figure(last)} {figure(y - 6)}v12"
    between = f"M{figure(first)} {figure(y)}H{figure(last)}"
    yield svg.path([ends, between], fill="none", stroke=tone("quiet"), stroke_width=2.5)


def _signed(spec: SiloHours, row: SiloRow, y: float) -> Iterator[str]:
    if row.signed is None or row.signed[1] <= spec.from_h:
        return
    left, right = map(spec.x, row.signed)
    high = _SIGNED[1]
    yield svg.rect(left, y, max(1.5, right - left), high, fill=tone("ink"))
    if spec.beyond(row.signed[1]):
        yield _onwards(right, y + high / 2, "ground")


def _estimated(spec: SiloHours, row: SiloRow, y: float) -> Iterator[str]:
    high = _ESTIMATED[1]
    if row.opens is None or row.closes is None:
        yield svg.rect(_LEFT, y, _RIGHT - _LEFT, high, fill="none", stroke=tone("quiet"),
                       stroke_dasharray="5 4")  # fmt: skip
        return
    starts, ends = row.opens, row.closes
    sure = (starts[2], ends[0]) if starts[2] < ends[0] else None
    left, right = spec.x(starts[0]), spec.x(ends[2])
    hatched = [(starts[0], sure[0]), (sure[1], ends[2])] if sure else [(starts[0], ends[2])]
    for one, other in hatched:
        a, b = spec.x(one), spec.x(other)
        if b > a:
            yield svg.rect(a, y, b - a, high, fill=f"url(#{spec.name}-hatch)", opacity=0.75)
    if sure:
        a, b = map(spec.x, sure)
        yield svg.rect(a, y, max(1.5, b - a), high, fill=tone("prefoam"), fill_opacity=0.35)
    yield _outline(left, y, max(1.5, right - left), high)
    for end in (starts[1], ends[1]):
        if spec.from_h <= end <= spec.until_h:
            yield _stroke(spec.x(end), y, high)
    if spec.beyond(ends[2]):
        yield _onwards(right, y + high / 2, "ink")


def _stroke(x: float, y: float, high: float) -> str:
    """Draw an end by estimate."""
    return svg.line((x, y - 4), (x, y + high + 4), stroke=tone("ink"), stroke_width=4)


def _lacking(spec: SiloHours, row: SiloRow, top: float) -> Iterator[str]:
    """Say what has no bar, over the line of now."""
    y = top + _SIGNED[0] + 15
    if row.signed is None:
        x = min(spec.x(row.last_h) + 8, _RIGHT - svg.width_of("no hours signed", _SMALL))
        yield svg.text(x, y, "no hours signed", font_size=_SMALL, **svg.HALO)
    elif row.signed[1] <= spec.from_h:
        yield svg.text(_LEFT + 4, y, "signed hours are over", font_size=_SMALL, **svg.HALO)
    if row.opens is None or row.closes is None:
        at, room = (_LEFT + 8, top + _ESTIMATED[0] + 14), _RIGHT - _LEFT - 16
        yield fitted(at, row.why, _SMALL, room, font_weight="bold", **svg.HALO)


def _outline(x: float, y: float, width: float, high: float) -> str:
    return svg.rect(x, y, width, high, fill="none", stroke=tone("ink"), stroke_width=1.5)


def _onwards(x: float, y: float, colour: str) -> str:
    """Draw that a bar goes on after the axis."""
    head = f"M{figure(x - 11)} {figure(y - 6)}l7 6l-7 6"
    edge = tone("ink" if colour == "ground" else "ground")
    under = svg.path([head], fill="none", stroke=edge, stroke_width=6)
    return under + svg.path([head], fill="none", stroke=tone(colour), stroke_width=2.5)


def _now(spec: SiloHours, bottom: float) -> Iterator[str]:
    """Draw now as a line across all rows, with its time above them."""
    x = spec.x(0)
    top = _HEAD - 12
    edge = {"stroke": tone("ground"), "stroke_width": 7}
    yield svg.line((x, top), (x, bottom), **edge)
    yield svg.line((x, top), (x, bottom), stroke=tone("bad"), stroke_width=3)
    half = svg.width_of(spec.now, _SMALL + 2) / 2
    middle = min(max(x, _LEFT + half), _WIDTH - half)
    said = {"font_size": _SMALL + 2, "font_weight": "bold", "text_anchor": "middle"}
    yield svg.text(middle, top - 5, spec.now, fill=tone("bad"), **svg.HALO, **said)


def _words(spec: SiloHours) -> str:
    """Say what the picture says."""
    if not spec.rows:
        return "No silo holds beads."
    return " ".join((f"{spec.now[0].upper()}{spec.now[1:]}.", *(row.words for row in spec.rows)))
