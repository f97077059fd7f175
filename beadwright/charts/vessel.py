"""How full a place that holds beads is, drawn: the level, and how far it may lie from the books.

Read :class:`Vessel`, then :func:`draw`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from beadwright.charts.stages_parts import outline
from beadwright.charts.stages_places import Box
from beadwright.charts.svg import Drawing, element, figure, frame, line, path, rect, tone

__all__ = ["Vessel", "draw"]

_WIDTH, _HEIGHT = 84.0, 120.0
_BOX = Box(2.0, 2.0, 80.0, 116.0)
_HATCH = 7.0


@dataclass(frozen=True, slots=True)
class Vessel:
    """A place's content beside the fullest; each from 0 to 1."""

    name: str
    """Of a-z, digits and hyphen; no two pictures of a page share one."""
    title: str
    words: str
    """What the picture says."""
    level: float
    low: float
    high: float
    held: bool = False


def draw(vessel: Vessel) -> Drawing:
    """Draw how full a place is: solid up to what is sure, hatched as far as it may reach."""
    content = [*_content(vessel)]
    edge = {"stroke": tone("bad" if vessel.held else "quiet")}
    width = 4.0 if vessel.held else 1.6
    content.append(path(outline("vessel", _BOX), fill="none", stroke_width=width, **edge))
    return frame(vessel.name, (_WIDTH, _HEIGHT), (vessel.title, vessel.words), content)


def _content(vessel: Vessel) -> Iterator[str]:
    steps = outline("vessel", _BOX)
    hatch, clip = f"{vessel.name}-hatch", f"{vessel.name}-clip"
    mark = line((0, _HATCH), (_HATCH, 0), stroke=tone("prefoam"), stroke_width=1.4)
    size = {"width": _HATCH, "height": _HATCH, "patternUnits": "userSpaceOnUse"}
    shape = element("clipPath", {"id": clip}, path(steps))
    yield element("defs", {}, element("pattern", {"id": hatch, **size}, mark) + shape)
    yield path(steps, fill=tone("ground"))
    low, level, high = (_y(share) for share in (vessel.low, vessel.level, vessel.high))
    if vessel.high <= 0:
        return
    bottom = _BOX.top + _BOX.height
    inside = {"clip_path": f"url(#{clip})"}
    x, wide = _BOX.x, _BOX.width
    if vessel.low > 0:
        sure: dict[str, object] = {"fill": tone("prefoam"), "fill_opacity": 0.45, **inside}
        yield rect(x, low, wide, bottom - low, **sure)
    yield rect(x, high, wide, low - high, fill=f"url(#{hatch})", **inside)
    ends = f"M{figure(x)} {figure(level)}h{figure(wide)}"
    yield path([ends], stroke=tone("ink"), stroke_width=2, **inside)


def _y(share: float) -> float:
    """Give how high a share of the fullest stands."""
    return _BOX.top + _BOX.height * (1 - min(1.0, max(0.0, share)))
