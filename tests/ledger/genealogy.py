"""Genealogy said a second time: a graph of steps for networkx, and foam that is really mixed.

Read :func:`reach` (who may hold material of whom) and :func:`mixed` (one way in which it may have
gone, against which the bounds of a trace are held).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import NamedTuple

import networkx as nx

from tests.ledger.projections import rows

__all__ = ["Touch", "mixed", "reach", "touches"]


class Touch(NamedTuple):
    """A line as the projections keep it, in the fold's order."""

    step: int
    kind: str
    lot: str
    sign: int
    mg: int
    differ: int
    after: int


def touches(no: int) -> list[Touch]:
    """Every line of a plant, in order."""
    sql = (
        "SELECT t.step, s.kind, l.code, t.sign, t.moved_mg, t.differ_mg, t.mg FROM ledger_touch t"
        " JOIN ledger_step s ON s.p=t.p AND s.no=t.step"
        " JOIN ledger_lot l ON l.p=t.p AND l.no=t.lot WHERE t.p=%s ORDER BY t.k, t.tie, t.line"
    )
    return [Touch(*row) for row in rows(sql, [no])]


def reach(lines: Iterable[Touch], *, drained: bool) -> dict[str, set[str]]:
    """For each lot, those that hold material of it, walked from step to step.

    What came into a lot ends at its next swept empty; where ``drained`` is false, also when the
    books stood at nothing: then nothing of it is expected, though some of it may be there.
    """
    graph: nx.DiGraph[tuple[str, object]] = nx.DiGraph()
    open_: dict[str, list[int]] = {}
    outputs: dict[int, set[str]] = {}
    for line in lines:
        if line.sign < 0 and line.mg:
            graph.add_edge(("lot", line.lot), ("step", line.step))
            graph.add_edges_from(
                (("into", (source, line.lot)), ("step", line.step))
                for source in open_.get(line.lot, ())
            )
        if line.kind == "swept_empty" and line.sign == 0:
            open_[line.lot] = []
        if not drained and not line.after:
            open_[line.lot] = []
        if line.sign > 0 and line.mg:
            graph.add_edge(("step", line.step), ("into", (line.step, line.lot)))
            open_.setdefault(line.lot, []).append(line.step)
            outputs.setdefault(line.step, set()).add(line.lot)
    found: dict[str, set[str]] = {}
    for node in [n for n in graph if n[0] == "lot"]:
        ends = nx.descendants(graph, node)
        found[str(node[1])] = {end[1][1] for end in ends if end[0] == "into"}
    return found


Layer = tuple[dict[str, float], float]
"""A part of a lot that stays together: shares of the lots it is of, and its mass in mg."""


@dataclass
class _Pile:
    """What lies in a lot, in layers, the oldest first."""

    layers: list[Layer] = field(default_factory=list)

    def mass(self) -> float:
        return sum(mg for _, mg in self.layers)


def mixed(lines: Iterable[Touch], *, newest: bool) -> dict[tuple[str, str], tuple[float, float]]:
    """One way in which material may have gone: (of, into) to its mass, and all that came in.

    Layers stay as they came; a draw takes the newest first, or the oldest. Only for records in
    which no draw passes the books and nothing is stated but swept empty.
    """
    piles: dict[str, _Pile] = {}
    into: dict[tuple[str, str], float] = {}
    total: dict[str, float] = {}
    step, hand = -1, _Pile()
    for line in lines:
        if line.step != step:
            step, hand = line.step, _Pile()
        pile = piles.setdefault(line.lot, _Pile())
        if line.sign < 0:
            hand.layers += _taken(pile, line.mg, line.lot, newest=newest)
        elif line.sign == 0 and line.kind == "swept_empty":
            pile.layers.clear()
        elif line.sign > 0:
            blend = _blend(hand)
            pile.layers.append((blend, line.mg))
            total[line.lot] = total.get(line.lot, 0.0) + line.mg
            for of, share in blend.items():
                into[of, line.lot] = into.get((of, line.lot), 0.0) + share * line.mg
    return {pair: (mg, total[pair[1]]) for pair, mg in into.items()}


def _taken(pile: _Pile, mg: float, lot: str, *, newest: bool) -> list[Layer]:
    taken: list[Layer] = []
    while mg > 0 and pile.layers:
        i = -1 if newest else 0
        shares, there = pile.layers[i]
        part = min(mg, there)
        taken.append(({**shares, lot: 1.0}, part))
        mg -= part
        if part < there:
            pile.layers[i] = (shares, there - part)
        else:
            del pile.layers[i]
    return taken


def _blend(hand: _Pile) -> dict[str, float]:
    """Shares of what a step took in, well mixed in the step itself."""
    mass = hand.mass()
    if not mass:
        return {}  # lines of nothing hand nothing on
    found: dict[str, float] = {}
    for shares, mg in hand.layers:
        for of, share in shares.items():
            found[of] = found.get(of, 0.0) + share * mg / mass
    return found
