"""Cups of beads one after the other, each place in a lane of its own about its own target.

Read :class:`Cups`, then :func:`draw`. Hot, dried and hopper cups are three different things: no
lane holds two of them. A cup within the dead-band is a disc, one above it a triangle that points
up, one below a triangle that points down, and one without a target a ring.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from beadwright.charts.svg import Drawing, element, figure, frame, line, path, rect, text, tone

__all__ = ["CupMark", "Cups", "Lane", "Side", "draw"]

Side = Literal["inside", "above", "below", ""]

_WIDTH = 760.0
_LEFT, _RIGHT = 132.0, 748.0
_TOP, _LANE, _GAP, _FOOT = 8.0, 96.0, 14.0, 34.0
_SIZE = 20.0
_RADIUS = 9.0
_ROOM = 2.0
"""How far a lane reaches at least either side of its target, in dead-bands."""
_FAR = 5.0
"""How far at most: a cup beyond stands at the edge, or one slip of the pen would hide the rest."""


@dataclass(frozen=True, slots=True)
class CupMark:
    """One cup: its turn among all that are drawn, from 0, the time as it is said, its value."""

    turn: int
    when: str
    value: float
    side: Side


@dataclass(frozen=True, slots=True)
class Lane:
    """The cups of one place, oldest first, about the target of that place."""

    where: str
    cups: tuple[CupMark, ...]
    target: float | None = None
    band: float = 0.0
    """How far from the target is left alone, either way."""


@dataclass(frozen=True, slots=True)
class Cups:
    """The newest cups, lane by lane."""

    name: str
    """Of a-z, digits and hyphen; no two pictures of a page share one."""
    title: str
    unit: str
    digits: int
    lanes: tuple[Lane, ...]


def draw(spec: Cups) -> Drawing:
    """Draw cups about the target of their place."""
    turns = 1 + max((cup.turn for lane in spec.lanes for cup in lane.cups), default=0)
    content: list[str] = []
    for at, lane in enumerate(spec.lanes):
        top = _TOP + at * (_LANE + _GAP)
        content += _lane(spec, lane, top, turns)
    bottom = _TOP + len(spec.lanes) * (_LANE + _GAP) - _GAP
    content += _times(spec, bottom)
    return frame(spec.name, (_WIDTH, bottom + _FOOT), (spec.title, _words(spec)), content)


def _lane(spec: Cups, lane: Lane, top: float, turns: int) -> Iterator[str]:
    middle, half = _scale(lane)

    def y(value: float) -> float:
        value = max(middle - half, min(middle + half, value))
        return top + _LANE / 2 - (value - middle) / half * (_LANE / 2 - _RADIUS - 3)

    if lane.target is not None:
        high, low = y(lane.target + lane.band), y(lane.target - lane.band)
        wide = _RIGHT - _LEFT
        yield rect(_LEFT, high, wide, low - high, fill=tone("good"), fill_opacity=0.14)
        for edge in (high, low):
            yield line((_LEFT, edge), (_RIGHT, edge), stroke=tone("quiet"), stroke_dasharray="6 4")
        aim = y(lane.target)
        yield line((_LEFT, aim), (_RIGHT, aim), stroke=tone("ink"), stroke_width=2)
        said = f"{lane.target:.{spec.digits}f}"
        yield text(_LEFT - 10, aim + 7, said, font_size=_SIZE, text_anchor="end")
    yield text(0, top + _LANE / 2 + 7, lane.where, font_size=_SIZE, font_weight="bold")
    for cup in lane.cups:
        yield _mark(cup.side, (_x(cup.turn, turns), y(cup.value)))


def _scale(lane: Lane) -> tuple[float, float]:
    """Middle of a lane, and how far it reaches either side."""
    values = [cup.value for cup in lane.cups]
    if lane.target is not None:
        far = max((abs(value - lane.target) for value in values), default=0.0)
        return lane.target, max(min(far, _FAR * lane.band), _ROOM * lane.band) or 1.0
    low, high = min(values, default=0.0), max(values, default=0.0)
    return (low + high) / 2, (high - low) / 2 or 1.0


def _x(turn: int, turns: int) -> float:
    return _LEFT + (turn + 0.5) * (_RIGHT - _LEFT) / turns


def _mark(side: Side, at: tuple[float, float]) -> str:
    x, y = at
    edge = {"stroke": tone("ground"), "stroke-width": 1.5}
    if side in {"above", "below"}:
        r = _RADIUS * 1.25 * (1 if side == "above" else -1)
        ways = [f"M{figure(x)} {figure(y - r)}", f"L{figure(x + r)} {figure(y + r * 0.85)}",
                f"L{figure(x - r)} {figure(y + r * 0.85)}z"]  # fmt: skip
        return element("path", {"d": " ".join(ways), "fill": tone("bad"), **edge})
    look: dict[str, object] = {"fill": tone("ink"), **edge}
    if not side:
        look = {"fill": "none", "stroke": tone("ink"), "stroke-width": 2.5}
    return element("circle", {"cx": x, "cy": y, "r": _RADIUS, **look})


def _times(spec: Cups, bottom: float) -> Iterator[str]:
    """Draw the time of the first cup and of the last."""
    cups = _in_turn(spec.lanes)
    yield path([f"M{figure(_LEFT)} {figure(bottom + 6)}H{figure(_RIGHT)}"], stroke=tone("rule"))
    if not cups:
        return
    first, last = cups[0][1], cups[-1][1]
    yield text(_LEFT, bottom + _FOOT - 6, first.when, font_size=_SIZE)
    if len(cups) > 1:
        said = {"font_size": _SIZE, "text_anchor": "end"}
        yield text(_RIGHT, bottom + _FOOT - 6, last.when, **said)


def _in_turn(lanes: Sequence[Lane]) -> list[tuple[Lane, CupMark]]:
    return sorted(((lane, cup) for lane in lanes for cup in lane.cups), key=lambda one: one[1].turn)


def _words(spec: Cups) -> str:
    """Say what the picture says, place by place."""
    said = [_lane_words(spec, lane) for lane in spec.lanes if lane.cups]
    return " ".join(said) or "No cups."


def _lane_words(spec: Cups, lane: Lane) -> str:
    digits, number = spec.digits, len(lane.cups)
    cups = ", ".join(
        f"{cup.when} {cup.value:.{digits}f}"
        + (f" {cup.side}" if cup.side in {"above", "below"} else "")
        for cup in lane.cups
    )
    some = f"{number} {lane.where} cup{'' if number == 1 else 's'}"
    if lane.target is None:
        return f"{some}, no target: {cups} {spec.unit}."
    aim = f"{lane.target:.{digits}f} ± {lane.band:.{digits}f} {spec.unit}"
    out = sum(cup.side != "inside" for cup in lane.cups)
    held = "all within" if not out else f"{number - out} within, {out} not within"
    return f"{some}, {held} {aim}: {cups}."
