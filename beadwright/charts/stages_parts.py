"""What a stop of a drawn plant is made of, and the pipes between the stages.

Read :func:`stop_parts` and :func:`pipes`.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from beadwright.charts.marks import fitted, shape
from beadwright.charts.stages_places import (
    FIGURE,
    HEAD,
    LINE_H,
    MARK,
    NAME,
    PAD,
    PLAIN,
    Box,
    Placed,
    Shape,
    Spot,
    Stop,
    mark_lines,
)
from beadwright.charts.svg import figure, path, rect, tone

__all__ = ["outline", "pipes", "stop_parts"]

_EDGE, _HELD_EDGE = 1.6, 4.0
_CONE = 14.0
"""How high the cone at the foot of a vessel is."""

_GLASS = 12.0
"""How wide the glass is that shows a vessel's level."""

_BEAD = 10.0
_ARROW = 9.0


def stop_parts(kind: Shape, stop: Stop, box: Box) -> Iterator[str]:
    """Draw a stop: its outline and how full it is, its words, its mark at the foot."""
    bad = stop.mark is not None and stop.mark.kind == "bad"
    edge = tone("bad") if bad else tone("quiet")
    steps = outline(kind, box)
    yield path(steps, fill=tone("ground"))
    if stop.level is not None:
        yield from _filling(box, stop.level)
    yield path(steps, fill="none", stroke=edge, stroke_width=_HELD_EDGE if bad else _EDGE)
    x, y = box.x + PAD, box.top + PAD + NAME * 0.85
    room = box.room - (0 if stop.level is None else _GLASS - PAD / 2)
    yield fitted((x, y), stop.name, NAME, room, font_weight=700)
    if stop.figure:
        y += FIGURE * LINE_H
        yield fitted((x, y), stop.figure, FIGURE, room, font_weight=600)
    for line in stop.lines:
        y += PLAIN * LINE_H
        yield fitted((x, y), line, PLAIN, room)
    if stop.mark is not None:
        yield from _mark(stop, box)


def _mark(stop: Stop, box: Box) -> Iterator[str]:
    if stop.mark is None:
        return
    lines = mark_lines(stop.mark, box.room)
    foot = box.top + box.height - PAD - 0.2 * MARK
    y = foot - (len(lines) - 1) * MARK * LINE_H
    yield from shape(stop.mark.kind, (box.x + PAD + MARK / 2, y - 0.35 * MARK), MARK)
    colour = stop.mark.kind if stop.mark.kind in {"good", "warn", "bad"} else "ink"
    for at, line in enumerate(lines):
        spot = (box.x + PAD + MARK + 8, y + at * MARK * LINE_H)
        room = box.room - MARK - 8
        yield fitted(spot, line, MARK, room, font_weight=700, fill=tone(colour))


def outline(kind: Shape, box: Box) -> list[str]:
    """Give the outline of a stop: a vessel has a cone, a bag round corners, a machine none."""
    x, y, w, h = box.x, box.top, box.width, box.height
    if kind == "vessel":
        slope = w * 0.16
        corners = [(x, y), (x + w, y), (x + w, y + h - _CONE), (x + w - slope, y + h),
                   (x + slope, y + h), (x, y + h - _CONE)]  # fmt: skip
        first, *others = (f"{figure(a)} {figure(b)}" for a, b in corners)
        return [f"M{first}", *(f"L{one}" for one in others), "Z"]
    r = {"bag": 16.0, "machine": 0.0, "plain": 6.0}[kind]
    bend = f"a{figure(r)} {figure(r)} 0 0 1"
    return [
        f"M{figure(x + r)} {figure(y)}", f"h{figure(w - 2 * r)}",
        f"{bend} {figure(r)} {figure(r)}", f"v{figure(h - 2 * r)}",
        f"{bend} {figure(-r)} {figure(r)}", f"h{figure(-(w - 2 * r))}",
        f"{bend} {figure(-r)} {figure(-r)}", f"v{figure(-(h - 2 * r))}",
        f"{bend} {figure(r)} {figure(-r)}", "Z",
    ]  # fmt: skip


def _filling(box: Box, level: float) -> Iterator[str]:
    """Show how full a vessel is as a level glass at its edge, where no words stand."""
    full = box.height - _CONE
    high = full * min(1.0, level)
    x = box.x + box.width - _GLASS
    yield rect(x, box.top + full - high, _GLASS, high, fill=tone("prefoam"))
    yield rect(x, box.top, _GLASS, full, fill="none", stroke=tone("quiet"), stroke_width=1)


def pipes(placed: Placed) -> Iterator[str]:
    """Draw the beads' way from stage to stage: along a row, and down to the next."""
    for one, following in pairwise(placed.spots):
        yield from _across(one, following) if one.row == following.row else _down(one, following)


def _across(one: Spot, following: Spot) -> Iterator[str]:
    y = one.top + HEAD + (one.height - HEAD) / 2
    start, end = one.x + one.width + 10, following.x - 7
    yield _beads([f"M{figure(start)} {figure(y)}", f"H{figure(end - _ARROW)}"])
    yield _arrow(end, y, (-_ARROW, 0))


def _down(one: Spot, following: Spot) -> Iterator[str]:
    top, bottom = one.top + one.height, following.top
    # The last row of a stage need not be full: the way starts below whatever stands lowest.
    y = (top + bottom) / 2 - 4
    x0, x1 = one.middle, following.middle
    end = bottom + 2
    steps = [f"M{figure(x0)} {figure(top + 9)}", f"V{figure(y)}", f"H{figure(x1)}",
             f"V{figure(end - _ARROW)}"]  # fmt: skip
    yield _beads(steps)
    yield _arrow(x1, end, (0, -_ARROW))


def _beads(steps: list[str]) -> str:
    """Draw a way as beads in a row: dashes of no length with round ends."""
    return path(
        steps, fill="none", stroke=tone("prefoam"), stroke_width=_BEAD,
        stroke_linecap="round", stroke_dasharray=f"0 {_BEAD * 1.35:g}",
    )  # fmt: skip


def _arrow(x: float, y: float, back: tuple[float, float]) -> str:
    dx, dy = back
    one = (x + dx + dy * 0.8, y + dy + dx * 0.8)
    other = (x + dx - dy * 0.8, y + dy - dx * 0.8)
    corners = " L".join(f"{figure(a)} {figure(b)}" for a, b in ((x, y), one, other))
    return path([f"M{corners} Z"], fill=tone("ink"))
