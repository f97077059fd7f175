"""A room hour by hour: what is given off in it, and how near its air comes to the limit.

Read :class:`RoomHours`, then :func:`draw`. Two panels over one axis of hours; each band is drawn
with its middle. Hours that are not known are hatched and say so: an empty panel could be taken for
a clean room.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from beadwright.charts import svg
from beadwright.charts.against_limits import ticks
from beadwright.charts.svg import Drawing, figure, tone

__all__ = ["Across", "Band", "HourBand", "RoomHours", "draw"]

_WIDTH = 800.0
_LEFT, _RIGHT = 62.0, 788.0
_TOP, _UPPER, _LOWER, _GAP, _FOOT = 26.0, 110.0, 190.0, 40.0, 26.0
_SMALL = 13.0
_HATCH = 8.0
_ROOM = 1.12
_EVERY_H = 6
Band = tuple[float, float, float]
"""Low end, value, high end."""


@dataclass(frozen=True, slots=True)
class HourBand:
    """One hour; what is not known is None."""

    when: str
    """When it begins, as it is said."""
    off: Band | None
    share: Band | None
    """Per cent of the limit."""


@dataclass(frozen=True, slots=True)
class Across:
    """A line across the lower panel, in per cent of the limit that is taken."""

    value: float
    words: str
    taken: bool
    """Whether the room is judged by it; others are dashed."""
    always: bool = True
    """Whether the panel reaches up to it; else it is drawn where the panel does."""


@dataclass(frozen=True, slots=True)
class RoomHours:
    """A room's hours, those that are past first."""

    name: str
    """Of a-z, digits and hyphen; no two pictures of a page share one."""
    title: str
    hours: tuple[HourBand, ...]
    past: int
    """How many of them are past."""
    unit: str
    """Of what is given off, such as ``kg/h``."""
    digits: tuple[int, int]
    """After the point: of what is given off, of the shares."""
    lines: tuple[Across, ...]
    why_unknown: str = ""


@dataclass(frozen=True, slots=True)
class _Panel:
    top: float
    bottom: float
    most: float

    def y(self, value: float) -> float:
        return self.bottom - min(value / self.most, 1.0) * (self.bottom - self.top)


def draw(spec: RoomHours) -> Drawing:
    """Draw a room's hours."""
    offs = [hour.off for hour in spec.hours]
    shares = [hour.share for hour in spec.hours]
    upper = _Panel(_TOP, _TOP + _UPPER, _top_of(offs, ()))
    top = upper.bottom + _GAP
    always = tuple(one.value for one in spec.lines if one.always)
    lower = _Panel(top, top + _LOWER, _top_of(shares, always))
    content = [
        _hatch(spec.name),
        *_panel(spec, upper, offs, (f"Given off, {spec.unit}", "prefoam")),
        *_panel(spec, lower, shares, ("Share of the lower explosive limit, %", "block")),
        *_across(spec, lower),
        *_hours(spec, upper, lower),
    ]
    size = (_WIDTH, lower.bottom + _FOOT)
    return svg.frame(spec.name, size, (spec.title, _words(spec)), content)


def _top_of(bands: Sequence[Band | None], lines: Sequence[float]) -> float:
    most = max((*(one[2] for one in bands if one is not None), *lines), default=0.0)
    return _ROOM * most or 1.0


def _hatch(name: str) -> str:
    mark = svg.line((0, _HATCH), (_HATCH, 0), stroke=tone("quiet"), stroke_width=0.8)
    size = {"width": _HATCH, "height": _HATCH, "patternUnits": "userSpaceOnUse"}
    pattern = svg.element("pattern", {"id": f"{name}-hatch", **size}, mark)
    return svg.element("defs", {}, pattern)


def _x(spec: RoomHours, hour: float) -> float:
    return _LEFT + hour / max(1, len(spec.hours)) * (_RIGHT - _LEFT)


def _panel(
    spec: RoomHours, panel: _Panel, bands: Sequence[Band | None], told: tuple[str, str]
) -> Iterator[str]:
    title, colour = told
    yield svg.text(0, panel.top - 9, title, font_size=_SMALL, font_weight="bold")
    yield from _scale(panel)
    for known, start, end in _stretches(bands):
        if known:
            yield from _band(spec, panel, (start, bands[start:end]), colour)
        else:
            left, right = _x(spec, start), _x(spec, end)
            fill = f"url(#{spec.name}-hatch)"
            high = panel.bottom - panel.top
            yield svg.rect(left, panel.top, right - left, high, fill=fill, opacity=0.6)
            yield _unknown(left, right, (panel.top + panel.bottom) / 2)


def _unknown(left: float, right: float, middle: float) -> str:
    said = {"font_size": _SMALL, "font_weight": "bold", "text_anchor": "middle", **svg.HALO}
    words = "unknown" if right - left > svg.width_of("unknown", _SMALL) else "?"
    return svg.text((3 * left + right) / 4, middle, words, **said)  # off the line of now


def _stretches(bands: Sequence[Band | None]) -> Iterator[tuple[bool, int, int]]:
    """Give the stretches of hours that are known, and of those that are not."""
    start = 0
    for i in range(1, len(bands) + 1):
        if i == len(bands) or (bands[i] is None) != (bands[start] is None):
            yield bands[start] is not None, start, i
            start = i


def _band(
    spec: RoomHours, panel: _Panel, part: tuple[int, Sequence[Band | None]], colour: str
) -> Iterator[str]:
    """Draw a stretch: the band between its ends, and its middle; each hour level across."""
    start, bands = part
    known = [one for one in bands if one is not None]

    def along(side: int) -> list[str]:
        points = []
        for i, one in enumerate(known, start):
            y = figure(panel.y(one[side]))
            points += [f"{figure(_x(spec, i))} {y}", f"{figure(_x(spec, i + 1))} {y}"]
        return points

    high, low = along(2), along(0)
    outline = f"M{'L'.join([*high, *reversed(low)])}Z"
    yield svg.path([outline], fill=tone(colour), fill_opacity=0.35, stroke="none")
    middle = f"M{'L'.join(along(1))}"
    yield svg.path([middle], fill="none", stroke=tone("ink"), stroke_width=2)


def _scale(panel: _Panel) -> Iterator[str]:
    marks = [one for one in ticks(0, panel.most, 4) if one <= panel.most * (1 + 1e-9)]
    places = max((len(f"{one:g}".partition(".")[2]) for one in marks), default=0)
    for value in marks:
        y = panel.y(value)
        yield svg.line((_LEFT, y), (_RIGHT, y))
        said = {"font_size": _SMALL, "fill": tone("quiet"), "text_anchor": "end"}
        yield svg.text(_LEFT - 6, y + 4, f"{value:.{places}f}", **said)


def _across(spec: RoomHours, panel: _Panel) -> Iterator[str]:
    """Draw each line with its words above it; where they would lie over another's, below."""
    shown = sorted(
        (one for one in spec.lines if one.value <= panel.most), key=lambda one: -one.value
    )
    for i, one in enumerate(shown):
        y = panel.y(one.value)
        dashes = None if one.taken else "6 4"
        colour = tone("bad" if one.taken else "quiet")
        yield svg.line(
            (_LEFT, y), (_RIGHT, y), stroke=colour, stroke_width=2, stroke_dasharray=dashes
        )
        near = i > 0 and y - panel.y(shown[i - 1].value) < _SMALL * svg.LINE + 4
        base = y + _SMALL + 3 if near else y - 5
        said = {"font_size": _SMALL, "text_anchor": "end", **svg.HALO}
        yield svg.text(_RIGHT - 4, base, one.words, **said)


def _hours(spec: RoomHours, upper: _Panel, lower: _Panel) -> Iterator[str]:
    """Draw the hours, and where now is."""
    base = lower.bottom + _SMALL + 6
    for i in range(0, len(spec.hours), _EVERY_H):
        x = _x(spec, i)
        yield svg.line((x, lower.bottom), (x, lower.bottom + 5), stroke=tone("quiet"))
        said = {"font_size": _SMALL, "fill": tone("quiet"), "text_anchor": "middle"}
        yield svg.text(x, base, spec.hours[i].when, **said)
    now = _x(spec, spec.past)
    yield svg.line((now, upper.top - 4), (now, lower.bottom), stroke=tone("ink"),
                   stroke_width=1.5, stroke_dasharray="2 3")  # fmt: skip
    yield svg.text(now + 5, upper.top + 9, "now", font_size=_SMALL, **svg.HALO)


def _words(spec: RoomHours) -> str:
    """Say what the picture says."""
    off, share = spec.digits
    parts = [
        _said("Given off", spec, lambda hour: hour.off, (spec.unit, off)),
        _said("Share of the lower explosive limit", spec, lambda hour: hour.share, ("%", share)),
    ]
    if spec.why_unknown:
        parts.append(f"Unknown for want of: {spec.why_unknown}.")
    lines = "; ".join(f"{one.words} at {one.value:.3g} %" for one in spec.lines if one.always)
    if lines:
        parts.append(f"Lines: {lines}.")
    return " ".join(parts)


def _said(
    title: str, spec: RoomHours, of: Callable[[HourBand], Band | None], how: tuple[str, int]
) -> str:
    told = []
    for name, hours in (
        ("in the hours past", spec.hours[: spec.past]),
        ("in the hours to come", spec.hours[spec.past :]),
    ):
        known = [(hour.when, band) for hour in hours if (band := of(hour)) is not None]
        if not known:
            told.append(f"{name} unknown")
            continue
        when, most = max(known, key=lambda one: one[1][2])
        lacking = len(hours) - len(known)
        rest = f", {lacking} of {len(hours)} unknown" if lacking else ""
        told.append(f"{name} at most {_figures(most, how)} from {when}{rest}")
    now = of(spec.hours[spec.past]) if spec.past < len(spec.hours) else None
    at = "unknown" if now is None else _figures(now, how)
    return f"{title}: now {at}; {'; '.join(told)}."


def _figures(band: Band, how: tuple[str, int]) -> str:
    unit, digits = how
    low, value, high = (f"{one:.{digits}f}" for one in band)
    return f"{value} {unit} ({low} to {high})"
