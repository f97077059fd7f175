"""Bounds of a trace back: the least and the most of a lot that can be of each lot before it.

Read :func:`bounds`. The most is the greatest flow from that lot along the ways into the lot asked
about; the least is what is left of the whole when as much as can be comes from anywhere else. An
edge carries no more of it than any part of what it comes from can hold. The lots at which the ways
begin, and what is not listed, are one whole: what one of them is at least, the others leave.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping
from typing import NamedTuple

from beadwright.ledger.ways import NOWHERE, Carry, Edge, Join, Ways

__all__ = ["Bounds", "bounds"]

_WORK = 200_000
"""Edges times lots beyond which no flow is looked for: what can be said of each part is said."""

_NOISE = 1e-9


class Bounds(NamedTuple):
    """The least and the most share of a lot in all that came into the lot asked about."""

    least: float = 0.0
    most: float = 1.0
    round: bool = False
    """Whether some of what is drawn from it had been drawn from it before, and come back."""


class _Parts(NamedTuple):
    """What any part of what is in a pool, or came out of a step, holds of the lot in question."""

    least: list[float]
    most: list[float]
    floor: list[float]
    """The least of what came out of each event that is a step; of others, nothing."""
    roof: list[float]


def bounds(ways: Ways, drawn: Mapping[int, int], mass: int) -> dict[int, Bounds]:
    """Give the bounds of each lot; ``drawn`` is what was drawn from each on the way."""
    if not mass:
        return {}
    flows = len(drawn) * len(ways.edges) <= _WORK
    found = {lot: _of(ways, lot, mass, None if flows else mg) for lot, mg in drawn.items()}
    first = [lot for lot in drawn if lot not in ways.joined]
    unlisted = ways.off.odds * _unlisted(ways, first) / mass
    return found | _closed({lot: found[lot] for lot in first}, unlisted)


def _of(ways: Ways, lot: int, mass: int, drawn: int | None) -> Bounds:
    """Give the bounds of a lot by flows; where ``drawn`` is given, without, for that is quick."""
    parts = _parts(ways, lot)
    least = most = 0.0
    runs = 0
    for i, event in enumerate(ways.events):
        if isinstance(event, Join):
            for pool, out in event.outs:
                if pool == NOWHERE:
                    runs += 1
                    least += out * event.outputs.least(parts.floor[i], out)
                    most += out * event.outputs.most(parts.roof[i], out)
    again = any(parts.most[pool] for pool in ways.pools_of.get(lot, ()))
    low, high = least / mass, most / mass
    if runs > 1:  # how much of the whole each run is, is weighed too
        low, high = ways.off.least(min(1.0, low)), ways.off.most(min(1.0, high))
    by = ways.off.odds / mass
    if drawn is not None:
        high = min(high, by * drawn)
    elif most - least > _NOISE * mass:
        high = min(high, by * ways.net.most([_ours(edge, lot, parts) for edge in ways.edges]))
        rest = ways.net.most([_rest(edge, lot, parts) for edge in ways.edges])
        low = max(low, 1 - by * rest)
    return Bounds(low, high, again)


def _closed(found: Mapping[int, Bounds], unlisted: float) -> dict[int, Bounds]:
    """Close the bounds of lots that make up a whole, together with what is not listed."""
    least = math.fsum(one.least for one in found.values())
    most = math.fsum(one.most for one in found.values()) + unlisted
    if least > 1 + _NOISE or most < 1 - _NOISE:
        return {}  # the books were off
    return {
        lot: one._replace(
            least=max(one.least, 1 - (most - one.most)), most=min(one.most, 1 - (least - one.least))
        )
        for lot, one in found.items()
    }


def _unlisted(ways: Ways, first: Collection[int]) -> int:
    """Give the most that can be of none of the lots at which the ways begin."""
    known = set(first)
    begins = [edge.begins and edge.rest and edge.lot not in known for edge in ways.edges]
    if not any(begins):
        return 0
    carried = [
        math.ceil(edge.mg - _NOISE) if begins[i] or not edge.begins else 0
        for i, edge in enumerate(ways.edges)
    ]
    return ways.net.most(carried)


def _parts(ways: Ways, lot: int) -> _Parts:
    """Carry the bounds of any part of what is there from pool to step to pool."""
    least, most = [1.0] * ways.pools, [0.0] * ways.pools
    floor, roof = [0.0] * len(ways.events), [0.0] * len(ways.events)
    for pool in ways.unsure:
        least[pool] = 0.0
    for i, event in enumerate(ways.events):
        if isinstance(event, Join):
            low, high = _went_in(event, (lot, ways.own), least, most)
            mixed = len(event.ins) > 1
            floor[i] = ways.off.least(low) if mixed else low
            roof[i] = ways.off.most(high) if mixed else high
            for pool, out in event.outs:
                if pool != NOWHERE:
                    least[pool] = min(least[pool], event.outputs.least(floor[i], out))
                    most[pool] = max(most[pool], event.outputs.most(roof[i], out))
        elif isinstance(event, Carry):
            least[event.into] = min(least[event.into], least[event.pool])
            most[event.into] = max(most[event.into], most[event.pool])
        else:
            least[event.pool] = 0.0
    return _Parts(least, most, floor, roof)


def _went_in(
    join: Join, lots: tuple[int, int], least: list[float], most: list[float]
) -> tuple[float, float]:
    """Give the least and the most of a lot in any part of what a step was made of.

    What is drawn from the lot asked about, and comes back into it, may be of any.
    """
    lot, own = lots
    low = high = 0.0
    for pool, source, mg in join.ins:
        if source == lot:
            low += mg
            high += mg
        elif pool != NOWHERE:
            low += mg * min(least[pool], most[pool])
            high += mg * most[pool]
        elif source == own:
            high += mg
    return low / join.came, min(1.0, high / join.came)


def _ours(edge: Edge, lot: int, parts: _Parts) -> int:
    """Give how much of a lot an edge may carry, in mg."""
    if edge.lot == lot:
        mg = edge.mg if edge.begins else 0.0
    elif edge.begins:
        mg = edge.mg if edge.ours else 0.0
    elif edge.pool != NOWHERE:
        mg = min(edge.mg, edge.whole * parts.most[edge.pool])
    elif edge.step != NOWHERE:
        mg = min(edge.mg, edge.whole * edge.outputs.most(parts.roof[edge.step], edge.whole))
    else:
        mg = edge.mg
    return math.ceil(mg - _NOISE)


def _rest(edge: Edge, lot: int, parts: _Parts) -> int:
    """Give how much of all else an edge may carry, in mg."""
    if edge.lot == lot or (edge.begins and not edge.rest):
        return 0
    mg = edge.mg
    if edge.pool != NOWHERE:
        mg = min(mg, edge.whole * (1 - parts.least[edge.pool]))
    elif edge.step != NOWHERE:
        mg = min(mg, edge.whole * (1 - edge.outputs.least(parts.floor[edge.step], edge.whole)))
    return math.ceil(mg - _NOISE)
