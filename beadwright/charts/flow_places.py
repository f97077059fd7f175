"""Where the lots of a flow drawing stand: layer by layer, near what they are joined to.

Read :func:`place`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from beadwright.charts.flow_spec import Flow, Node
from beadwright.charts.svg import LINE, width_of

__all__ = ["BAR", "MARGIN", "Box", "Placed", "cut", "head_lines", "place"]

BAR = 14.0
"""Width of a lot's bar."""

MARGIN = 2.0
"""Room for the edge of a bar."""

_WIDTH = 760.0
_PITCH = 118.0
"""Least distance of two layers: room for a bar and a code."""

_TALL = 300.0
"""Height of the heaviest layer's bars together."""

_GAP = 8.0
_LINE = 13.0 * LINE
_SLOT = 2 * _LINE
"""Room that the two lines beside a bar take."""

_SWEEPS = 4


@dataclass(frozen=True, slots=True)
class Box:
    """Where a lot's bar stands, and the room it has with its words."""

    x: float
    top: float
    height: float
    slot: float
    slot_height: float

    @property
    def middle(self) -> float:
        """Middle of the bar, and of the words beside it."""
        return self.slot + self.slot_height / 2


@dataclass(frozen=True, slots=True)
class Placed:
    """Every bar's place, and the scale of their heights."""

    boxes: Mapping[str, Box]
    scale: float
    """Units of the view box for each unit of mass."""
    pitch: float
    width: float
    bottom: float

    @property
    def room(self) -> float:
        """Room for words beside a bar."""
        return self.pitch - BAR - 9


def cut(words: str, room: float, size: float) -> str:
    """Shorten words that would not fit."""
    if width_of(words, size) <= room:
        return words
    while words and width_of(f"{words}…", size) > room:
        words = words[:-1]
    return f"{words.rstrip()}…"


def head_lines(name: str) -> list[str]:
    """Break a layer's name at its commas, which stay.

    >>> head_lines("shipments, scrap")
    ['shipments,', 'scrap']
    """
    return name.replace(", ", ",\n").split("\n")


def place(flow: Flow) -> Placed:
    """Place every lot: a layer's bars one under another, no two closer than their words allow."""
    layers = [[one for one in flow.nodes if one.layer == n] for n in range(len(flow.layers))]
    through = _through(flow)
    most = max((sum(through[one.key] for one in layer) for layer in layers), default=0.0)
    scale = _TALL / most if most else 1.0
    heights = {key: mass * scale for key, mass in through.items()}
    tall = max((_tall(layer, heights) for layer in layers), default=0.0)
    pitch = max(_PITCH, _WIDTH / max(1, len(layers)))
    for layer in _sweeps(layers):
        _order(flow, layer, _middles(layers, heights, tall))
    head = _LINE * max((len(head_lines(one)) for one in flow.layers), default=1) + 8
    boxes: dict[str, Box] = {}
    for number, layer in enumerate(layers):
        y = head + (tall - _tall(layer, heights)) / 2
        for one in layer:
            high = heights[one.key]
            slot = max(high, _SLOT)
            boxes[one.key] = Box(MARGIN + number * pitch, y + (slot - high) / 2, high, y, slot)
            y += slot + _GAP
    return Placed(boxes, scale, pitch, MARGIN + pitch * max(1, len(layers)), head + tall)


def _through(flow: Flow) -> dict[str, float]:
    """Give each lot the most of: its mass, what comes in, what goes on."""
    came = dict.fromkeys((one.key for one in flow.nodes), 0.0)
    went = dict(came)
    for link in flow.links:
        went[link.source] += link.mass
        came[link.into] += link.mass
    return {one.key: max(one.mass, came[one.key], went[one.key]) for one in flow.nodes}


def _tall(layer: Sequence[Node], heights: Mapping[str, float]) -> float:
    return sum(max(heights[one.key], _SLOT) + _GAP for one in layer)


def _sweeps(layers: Sequence[list[Node]]) -> Iterator[list[Node]]:
    """Order the layers there and back again, until neighbours lie near each other."""
    for turn in range(_SWEEPS):
        yield from layers if turn % 2 else reversed(layers)


def _middles(
    layers: Sequence[Sequence[Node]], heights: Mapping[str, float], tall: float
) -> dict[str, float]:
    found: dict[str, float] = {}
    for layer in layers:
        y = (tall - _tall(layer, heights)) / 2
        for one in layer:
            slot = max(heights[one.key], _SLOT)
            found[one.key] = y + slot / 2
            y += slot + _GAP
    return found


def _order(flow: Flow, layer: list[Node], middles: Mapping[str, float]) -> None:
    """Order a layer by the mean height of what its lots are joined to; folded lots stand last."""
    pulls: dict[str, list[tuple[float, float]]] = {}
    here = {one.key for one in layer}
    for link in flow.links:
        for own, other in ((link.source, link.into), (link.into, link.source)):
            if own in here:
                pulls.setdefault(own, []).append((link.mass, middles[other]))

    def rank(one: Node) -> tuple[bool, float, str]:
        pull = pulls.get(one.key, ())
        weight = sum(mass for mass, _ in pull)
        at = sum(mass * y for mass, y in pull) / weight if weight else middles[one.key]
        return bool(one.folded), at, one.key

    layer.sort(key=rank)
