"""What scales weighed: the remainders of steps, and what places held when they were emptied.

Read :func:`weighed` and :func:`emptied`. The scale of a step is in its facts; a step that names
none is in neither.
"""

from __future__ import annotations

import json
from dataclasses import dataclass

from beadwright.ledger import store

__all__ = ["Emptied", "Weighed", "emptied", "weighed"]

_SCALE = '%"scale":%'
_EMPTIES = frozenset({"ran_empty", "swept_empty"})


@dataclass(frozen=True, slots=True)
class Weighed:
    """The steps of one run that one scale weighed, or one step without a run."""

    scale: str
    kind: str
    at_ms: int
    """Of the last step."""
    mg: int
    """What went in."""
    remainder_mg: int
    """What did not come out and nobody accounted for; below 0 where more came out."""
    steps: tuple[str, ...]
    """Their client keys."""


@dataclass(frozen=True, slots=True)
class Emptied:
    """A place that ran empty after fillings weighed on one scale, and on no other."""

    scale: str
    place: str
    at_ms: int
    mg: int
    """What came in since it was last empty."""
    short_mg: int
    """What was drawn beyond the books, less what the books still held at the end."""


def weighed(plant: int) -> list[Weighed]:
    """Give what each scale weighed, in order of happening."""
    sql = (
        "SELECT s.no, s.key, s.kind, s.at_ms, s.run, s.facts, s.remainder_mg, sum(t.moved_mg)"
        " FROM ledger_step s JOIN ledger_touch t ON t.p=s.p AND t.step=s.no AND t.sign < 0"
        " WHERE s.p=%s AND s.facts LIKE %s AND NOT s.reversed"
        " GROUP BY s.no, s.key, s.kind, s.at_ms, s.run, s.facts, s.remainder_mg, s.k, s.tie"
        " ORDER BY s.k, s.tie"
    )
    found: dict[tuple[str, str, str], Weighed] = {}
    for no, key, kind, at_ms, run, facts, remainder, mg in store.select(sql, [plant, _SCALE]):
        scale = str(json.loads(facts).get("scale", ""))
        if not scale:
            continue
        name = (scale, kind, run or f"step {no}")
        last = found.pop(name, Weighed(scale, kind, at_ms, 0, 0, ()))
        found[name] = Weighed(
            scale,
            kind,
            at_ms,
            last.mg + int(mg),
            last.remainder_mg + int(remainder),
            (*last.steps, key),
        )
    return list(found.values())


def emptied(plant: int) -> list[Emptied]:
    """Give what places held at their end, in order of happening."""
    sql = (
        "SELECT l.code, s.kind, s.at_ms, s.facts, t.sign, t.moved_mg, t.differ_mg"
        " FROM ledger_lot l CROSS JOIN ledger_touch t CROSS JOIN ledger_step s"
        " WHERE t.p=l.p AND t.lot=l.no AND s.p=t.p AND s.no=t.step"
        " AND l.p=%s AND l.what='content' ORDER BY l.no, t.k, t.tie, t.line"
    )
    found: list[Emptied] = []
    place, scales, came, short = "", set[str](), 0, 0
    for code, kind, at_ms, facts, sign, moved, differ in store.select(sql, [plant]):
        if code != place:
            place, scales, came, short = code, set[str](), 0, 0
        short += int(differ)
        if sign > 0:
            came += int(moved)
            scales.add(str(json.loads(facts).get("scale", "")) if facts else "")
        if kind in _EMPTIES:
            if came and len(scales) == 1 and "" not in scales:
                found.append(Emptied(next(iter(scales)), code, at_ms, came, short))
            scales, came, short = set[str](), 0, 0
    return sorted(found, key=lambda one: (one.at_ms, one.place))
