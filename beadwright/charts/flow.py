"""What a lot was made of and what was made of it, drawn as it flows: widths are masses.

Read :class:`Flow`, then :func:`fold` and :func:`draw`. Lots stand in layers from left to right, in
the order of the plant. What a place may have mixed is an estimate, and its bands have broken edges.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from beadwright.charts import flow_places
from beadwright.charts.flow_bands import bands
from beadwright.charts.flow_places import BAR, Placed
from beadwright.charts.flow_spec import Flow, Link, Node, amount, told
from beadwright.charts.svg import (
    HALO,
    LINE,
    Drawing,
    element,
    escaped,
    frame,
    rect,
    text,
    tone,
    width_of,
)

__all__ = ["Flow", "Link", "Node", "draw", "fold", "told"]

_SMALL = 13.0
_FOOT = 2.6 * _SMALL
_HAIR = 0.003
"""Share of the heaviest lot below which a lot's band is no more than a hair."""

_KNOWN = "solid edge: weighed or counted"
_ESTIMATED = "broken edge, ≈: estimated, as if well mixed"


def fold(flow: Flow, *, keep: int = 6, opened: Iterable[int] = ()) -> Flow:
    """Draw the lesser lots of each layer together as one, but where a layer was opened.

    Lesser are those past the heaviest few, and those too light to be more than a hair.
    What flows in and out of the layer stays the same: ``n others`` have the sum of their masses,
    and of the links that they had.
    """
    named: dict[str, str] = {}
    nodes: list[Node] = []
    hair = _HAIR * max((one.mass for one in flow.nodes), default=0.0)
    for layer in range(len(flow.layers)):
        here = [one for one in flow.nodes if one.layer == layer]
        order = sorted(here, key=lambda one: (not one.asked, -one.mass, one.key))
        rest = [
            one for n, one in enumerate(order) if not one.asked and (n >= keep or one.mass < hair)
        ]
        if layer in frozenset(opened) or len(rest) < 2:  # noqa: PLR2004 - one alone has a name
            nodes += order
            continue
        others = _others(layer, rest, flow.opens)
        named |= {one.key: others.key for one in rest}
        nodes += [*(one for one in order if one.key not in named), others]
    return replace(flow, nodes=tuple(nodes), links=_joined(flow.links, named))


def _others(layer: int, rest: Sequence[Node], opens: str) -> Node:
    return Node(
        f"others-{layer}",
        layer,
        f"{len(rest)} others",
        sum(one.mass for one in rest),
        rest[0].tone,
        estimated=any(one.estimated for one in rest),
        href=f"{opens}{layer}" if opens else "",
        folded=len(rest),
    )


def _joined(links: Iterable[Link], named: Mapping[str, str]) -> tuple[Link, ...]:
    found: dict[tuple[str, str], Link] = {}
    for one in links:
        key = named.get(one.source, one.source), named.get(one.into, one.into)
        before = found.get(key)
        mass = one.mass + (before.mass if before else 0.0)
        estimated = one.estimated or (before is not None and before.estimated)
        found[key] = Link(*key, mass, estimated=estimated)
    return tuple(found.values())


def draw(flow: Flow) -> Drawing:
    """Draw a flow; fold it before, or a bag with a hundred bundles is a hundred lines."""
    placed = flow_places.place(flow)
    height = placed.bottom + _FOOT
    nodes = (_node(flow, node, placed) for node in flow.nodes)
    legend = _legend(flow, placed.bottom)
    content = (*_heads(flow, placed), *bands(flow, placed), *nodes, *legend)
    size = (placed.width, height)
    return frame(flow.name, size, (flow.title, _words(flow)), content, role="group")


def _heads(flow: Flow, placed: Placed) -> Iterable[str]:
    for layer, name in enumerate(flow.layers):
        x = flow_places.MARGIN + layer * placed.pitch
        for at, words in enumerate(flow_places.head_lines(name)):
            shown, y = flow_places.cut(words, placed.room, _SMALL), _SMALL * (1 + at * LINE)
            yield text(x, y, shown, font_size=_SMALL, fill=tone("quiet"))


def _node(flow: Flow, node: Node, placed: Placed) -> str:
    box = placed.boxes[node.key]
    wide = 3 if node.asked else 1
    bar = {"fill": tone(node.tone), "stroke": tone("ink"), "stroke_width": wide}
    if node.folded:
        bar["stroke_dasharray"] = "3 2"
    parts = [rect(box.x, box.top, BAR, max(box.height, 0.5), **bar)]
    mass = told(node.mass, flow.unit, estimated=node.estimated)
    lines = [(node.name, "ink", 600), (mass, "quiet", 400)]
    base = box.middle - _SMALL * LINE / 2 + 0.36 * _SMALL
    for at, (words, colour, weight) in enumerate(lines):
        parts.append(
            text(
                box.x + BAR + 5, base + at * _SMALL * LINE,
                flow_places.cut(words, placed.room, _SMALL),
                font_size=_SMALL, fill=tone(colour), font_weight=weight,
                **HALO,
            )
        )  # fmt: skip
    whole = "".join((element("title", {}, _title(flow, node)), *parts))
    if not node.href:
        return element("g", {}, whole)
    room = rect(box.x, box.slot, placed.pitch - 4, box.slot_height, fill="none",
                pointer_events="all")  # fmt: skip
    return element("a", {"href": node.href}, whole + room)


def _title(flow: Flow, node: Node) -> str:
    return escaped(f"{node.name}: {node.said or flow.layers[node.layer]}")


def _legend(flow: Flow, bottom: float) -> Iterable[str]:
    y = bottom + 1.7 * _SMALL
    there = {one.estimated for one in flow.links}
    kinds = ((False, _KNOWN, None), (True, _ESTIMATED, "4 3"))
    said = [(words, dashes) for estimated, words, dashes in kinds if estimated in there]
    x = flow_places.MARGIN
    for words, dashes in said:
        yield rect(
            x, y - 10, 26, 11, fill=tone("bead"), fill_opacity=0.3,
            stroke=tone("ink"), stroke_width=1, stroke_dasharray=dashes,
        )  # fmt: skip
        yield text(x + 33, y, words, font_size=_SMALL, fill=tone("quiet"))
        x += 33 + width_of(words, _SMALL) + 24


def _words(flow: Flow) -> str:
    """Say what the picture says, layer by layer."""
    parts = []
    for layer, name in enumerate(flow.layers):
        here = [one for one in flow.nodes if one.layer == layer]
        about = {True: "about ", False: ""}
        each = [f"{n.name} {about[n.estimated]}{amount(n.mass, flow.unit)}" for n in here]
        if each:
            parts.append(f"{name}: {', '.join(each)}.")
    return " ".join(parts)
