"""A plant drawn as beads flow through it: stages in rows, and in each the places with their state.

Read :class:`Stages`, then :func:`draw`. Every word comes from who asks; what does not fit is made
smaller, then shortened, and stands whole in the words of the picture.
"""

from __future__ import annotations

from beadwright.charts.marks import Mark, fitted
from beadwright.charts.stages_parts import pipes, stop_parts
from beadwright.charts.stages_places import HEAD, MARGIN, Stage, Stages, Stop, place
from beadwright.charts.svg import Drawing, element, escaped, frame, tone

__all__ = ["Mark", "Stage", "Stages", "Stop", "draw", "words"]

_HEADING = 18.0


def draw(picture: Stages) -> Drawing:
    """Draw a plant."""
    placed = place(picture)
    content: list[str] = [*pipes(placed)]
    for stage, spot in zip(picture.stages, placed.spots, strict=True):
        at = (spot.x, spot.top + HEAD - 10)
        said = {"font_weight": 700, "fill": tone("quiet")}
        content.append(fitted(at, stage.name, _HEADING, spot.width, **said))
        for stop, box in zip(stage.stops, spot.boxes, strict=True):
            title = element("title", {}, escaped(_said(stop)))
            whole = title + "".join(stop_parts(stage.shape, stop, box))
            name, way = ("a", {"href": stop.href}) if stop.href else ("g", {})
            content.append(element(name, way, whole))
    linked = any(stop.href for stage in picture.stages for stop in stage.stops)
    told = (picture.title, words(picture))
    size = (placed.width, placed.bottom + MARGIN)
    return frame(picture.name, size, told, content, role="group" if linked else "img")


def words(picture: Stages) -> str:
    """Say what the picture says, stage by stage."""
    return " ".join(
        f"{stage.name}: {'; '.join(map(_said, stage.stops)) or 'none'}." for stage in picture.stages
    )


def _said(stop: Stop) -> str:
    if stop.said:
        return stop.said
    mark = stop.mark.word if stop.mark else ""
    parts = (one for one in (stop.figure, *stop.lines, mark) if one)
    return ", ".join((stop.name, *parts))
