"""The ways by which material came into a lot, as a network: how much an edge of it may carry.

Read :class:`Ways`. A lot's content between two things that come in is a pool: it may be drawn in
any order, and no more goes on to the next pool than the books leave in it. In blocks, and in what
is packed of them, foam and ties lie side by side in fixed parts: there a pool has a layer for each
kind of material that was drawn into it.
"""

from __future__ import annotations

import math
from collections.abc import Container, Iterable, Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from beadwright.ledger.network import BEGIN, END, Network
from beadwright.ledger.traced import COUNTS, RESIDUE_MG
from beadwright.ledger.unlike import EXACT, Off, Outputs, unlike
from beadwright.ledger.walk import Line, Walk

__all__ = ["NOWHERE", "Carry", "Edge", "Foreign", "Join", "Seen", "Ways"]

NOWHERE = -1
"""In place of a pool: a lot that was not followed, or the lot asked about; also of a step."""

_WHOLE = 0
"""The only layer of a place, a bin or a carton."""

_UNBOUNDED = 2**62
_ALIKE = Outputs(0, 0.0)


class Edge(NamedTuple):
    """How much an edge carries at most, and what of it may be of the lot in question."""

    mg: float
    whole: float = 0.0
    """The mass of all layers of what it is a layer of."""
    lot: int = 0
    """The lot drawn on, of which all is that is drawn; or the one into which something came."""
    pool: int = NOWHERE
    """The pool drawn on: what is drawn is like some part of it."""
    step: int = NOWHERE
    """The step, counted along the events, that it came out of."""
    begins: bool = False
    ours: bool = True
    """Whether it may be of the lot in question."""
    rest: bool = True
    """Whether it may be of something else."""
    outputs: Outputs = _ALIKE
    """What else came out of that step, and how unlike."""


class Join(NamedTuple):
    """A step on the way: what went in, by pool, lot and mass; what came out, by pool and mass."""

    came: int
    ins: list[tuple[int, int, int]]
    outs: list[tuple[int, int]]
    outputs: Outputs


class Carry(NamedTuple):
    """What is left in a pool goes on to the next."""

    pool: int
    into: int


class Foreign(NamedTuple):
    """Something that was not followed came into a pool: received, or of too little weight."""

    pool: int


class Seen(NamedTuple):
    """What a walk back saw."""

    walk: Walk
    own: int
    """The lot asked about."""
    steps: Iterable[int]
    """All steps that it crossed, the first one first."""
    path: Container[int]
    """Steps that brought material nearer to the lot asked about."""
    lots: Container[int]
    """Lots from which some came."""
    cut: Container[tuple[int, int]]
    """Steps and lots from which too little was drawn to be followed."""


@dataclass(slots=True)
class _Content:
    """What came into a lot since it was swept empty."""

    pool: int
    layers: dict[int, int]
    """Layers of the pool, each with its node."""
    first: dict[int, int]
    """The same of the first pool."""
    low: int = _UNBOUNDED
    """Least that was left since something came into the pool."""
    residue: int = 0
    """What may be there beyond the books, since they stood at nothing."""
    excess: int = 0
    """What was drawn or found beyond the books."""
    turned: int = 0
    """What came in and went out since it was known to hold nothing."""
    pools: list[int] = field(default_factory=list)
    carries: list[tuple[int, int, float]] = field(default_factory=list)
    """Edges from pool to pool, with the least that was left, and the part of it that may go."""


_Parts = dict[int, tuple[int, float]]
"""A step by layer: its node, and the most that went in there."""


class Ways:
    """All ways into a lot, with what each edge of them carries."""

    def __init__(self, seen: Seen, off: Off = EXACT) -> None:
        """Join what a walk back saw; ``off`` is how far masses may be off."""
        self.off = off
        self.net = Network()
        self.edges: list[Edge] = []
        self.events: list[Join | Carry | Foreign] = []
        """In the fold's order: a pool's inflows stand before what is drawn from it."""
        self.pools = 0
        self.pools_of: dict[int, list[int]] = {}
        self.joined: set[int] = set()
        """Lots into which something came that was followed."""
        self.unsure: set[int] = set()
        """Pools in which something unknown may be, for the books were off."""
        self.own = seen.own
        self._seen = seen
        self._content: dict[int, _Content] = {}
        self._part: dict[int, float] = {}
        """For each node of a pool, the greatest part of the pool that it can be."""
        self._layers: dict[str, int] = {}
        self._ends: list[tuple[int, int]] = []
        self._growth: dict[int, float] = {}
        """For the nodes of a step out of which more came than went in, by how much."""
        for step in seen.steps:
            self._cross(step)
        for lot, content in self._content.items():
            self._close(lot, content)
        if self._growth:
            self._scale()

    def _edge(self, tail: int, head: int, edge: Edge) -> int:
        self.edges.append(edge)
        self._ends.append((tail, head))
        return self.net.edge(tail, head)

    def _cross(self, step: int) -> None:
        seen = self._seen
        lines = seen.walk.lines[step]
        came = sum([line[4] for line in lines if line[3] < 0]) if step in seen.path else 0
        join = Join(came, [], [], unlike(lines)) if came else None
        parts: _Parts = {}
        for line in lines:  # inputs first, then statements of stock, then outputs
            sign, lot = line[3], line[2]
            if sign < 0 and join is not None and line[4]:
                self._draw(step, line, join, parts)
            if sign <= 0 and lot in self._content:
                self._stated(line, "" if sign else seen.walk.steps[step].kind)
            elif sign > 0 and line[4]:
                if lot == seen.own:
                    self._arrive(line, join, parts)
                elif lot in seen.lots:
                    self._come_in(line, join, parts)
        if join is not None:
            left = sum([line[4] for line in lines if line[3] > 0])
            if left > came:
                self._growth.update({node: left / came for node, _ in parts.values()})
            self.events.append(join)

    def _draw(self, step: int, line: Line, join: Join, parts: _Parts) -> None:
        """Join what is drawn to its step."""
        lot, mg = line[2], line[4]
        layer = self._layer_of(lot)
        own = lot == self._seen.own
        content = self._content.get(lot)
        if content is None or (step, lot) in self._seen.cut:
            self._edge(
                BEGIN, self._node_of(parts, layer, mg), Edge(mg, lot=lot, begins=True, ours=own)
            )
            join.ins.append((NOWHERE, lot, mg))
            return
        for source, node in content.layers.items():
            most = mg * self._part[node]
            into = self._node_of(parts, source or layer, most)
            self._edge(node, into, Edge(most, mg, lot, content.pool))
            self._edge(BEGIN, into, Edge(most, lot=lot, begins=True, ours=False, rest=False))
        join.ins.append((content.pool, lot, mg))

    def _node_of(self, parts: _Parts, layer: int, mg: float) -> int:
        node, there = parts.get(layer) or (self.net.node(), 0.0)
        parts[layer] = node, there + mg
        return node

    def _layer_of(self, lot: int) -> int:
        """Give the layer of what is drawn from a lot: by its kind."""
        facts = self._seen.walk.lots.get(lot)
        kind = "" if facts is None else facts.kind
        return self._layers.setdefault(kind, len(self._layers) + 1)

    def _stated(self, line: Line, kind: str) -> None:
        """Follow what the books say is left."""
        _, _, lot, sign, moved, after, differ, _ = line
        content = self._content[lot]
        content.turned += moved
        if kind == "swept_empty":
            self._close(lot, self._content.pop(lot))
            return
        emptied = moved >= after + moved - differ and lot in self._seen.walk.places
        if kind == "ran_empty" or (sign and emptied):
            content.residue = RESIDUE_MG
            if not sign:
                content.turned = 0
        if sign or kind in COUNTS:
            content.excess += max(0, differ)
        content.low = min(content.low, after + content.residue + self._may_be_off(content))

    def _may_be_off(self, content: _Content) -> int:
        """Give how much more may lie there than the books say, of all that was weighed."""
        return math.ceil(self.off.share * content.turned)

    def _part_of(self, join: Join, mg: float, out: int) -> float:
        """Give the greatest part of an output that is of one layer of what went in."""
        part = min(1.0, mg / join.came)
        if part < 1:
            part = join.outputs.most(self.off.most(part), out)
        return part

    def _arrive(
        self, line: Line, join: Join | None, parts: Mapping[int, tuple[int, float]]
    ) -> None:
        """Join a step to the lot asked about."""
        out = line[4]
        if join is None:
            self._edge(BEGIN, END, Edge(out, begins=True, ours=False))
            return
        join.outs.append((NOWHERE, out))
        step = len(self.events)
        for node, mg in parts.values():
            part = self._part_of(join, mg, out)
            self._edge(node, END, Edge(out * part, out, step=step, outputs=join.outputs))

    def _come_in(
        self, line: Line, join: Join | None, parts: Mapping[int, tuple[int, float]]
    ) -> None:
        """Join a step to a lot on the way."""
        lot, out = line[2], line[4]
        quiet = lot in self._seen.walk.quiet
        content = self._content_of(lot)
        content.turned += out
        if join is None:
            self.events.append(Foreign(content.pool))
            node = self._into(content, self._layer_of(lot) if quiet else _WHOLE, 1.0)
            self._edge(BEGIN, node, Edge(out, lot=lot, begins=True, ours=False))
            return
        self.joined.add(lot)
        join.outs.append((content.pool, out))
        for layer, (tail, mg) in parts.items():
            part = self._part_of(join, mg, out)
            node = self._into(content, layer, part) if quiet else self._into(content, _WHOLE, 1.0)
            edge = Edge(out * part, out, step=len(self.events), outputs=join.outputs)
            self._edge(tail, node, edge)

    def _into(self, content: _Content, layer: int, part: float) -> int:
        node = content.layers.get(layer)
        if node is None:
            node = content.layers[layer] = self.net.node()
        self._part[node] = max(self._part.get(node, 0.0), part)
        return node

    def _content_of(self, lot: int) -> _Content:
        """Give the content of a lot, ready to take something in."""
        content = self._content.get(lot)
        if content is None:
            layers: dict[int, int] = {}
            content = self._content[lot] = _Content(self.pools, layers, layers)
        elif content.low == _UNBOUNDED:
            return content
        else:
            old, content.layers = content.layers, {}
            self.events.append(Carry(content.pool, self.pools))
            for layer, node in old.items():
                part = self._part[node]
                number = self._edge(node, self._into(content, layer, part), Edge(0.0))
                content.carries.append((number, content.low, part))
            content.pool, content.low = self.pools, _UNBOUNDED
        content.pools.append(content.pool)
        self.pools_of.setdefault(lot, []).append(content.pool)
        self.pools += 1
        return content

    def _close(self, lot: int, content: _Content) -> None:
        """Say what goes on from pool to pool, now that all of it is known.

        What was drawn or found beyond the books had been there before, or is from somewhere else.
        """
        more, quiet = content.excess, lot in self._seen.walk.quiet
        for number, low, part in content.carries:
            self.edges[number] = Edge((low + more) * part)
        if more:
            for node in content.first.values():
                edge = Edge(more * self._part[node], lot=lot, begins=True, ours=quiet)
                self._edge(BEGIN, node, edge)
            if not quiet:
                self.unsure.update(content.pools)

    def _scale(self) -> None:
        """Count each edge by what can become of it at most where more came out than went in.

        An edge was made before those that lead on from its head.
        """
        worth = {END: 1.0}
        for i in range(len(self._ends) - 1, -1, -1):
            tail, head = self._ends[i]
            by = worth.get(head, 1.0)
            worth[tail] = max(worth.get(tail, 1.0), by * self._growth.get(tail, 1.0))
            if by > 1:
                edge = self.edges[i]
                mg, apart = edge.outputs
                self.edges[i] = edge._replace(
                    mg=edge.mg * by, whole=edge.whole * by, outputs=Outputs(mg * by, apart * by)
                )
