"""Places that hold beads, as they stand: content, clocks, what came in and went since last empty.

Read :func:`contents`. The cost goes with the places and with what touched each since it was empty,
and after new steps with the places that they touch.
"""

from __future__ import annotations

import json
from collections.abc import Collection, Mapping
from dataclasses import dataclass

from beadwright.ledger import store
from beadwright.ledger.fold import WHOLE, members, reaching
from beadwright.ledger.indexes import IS_CONTENT
from beadwright.ledger.news import KeptAnswer, News

__all__ = ["Arrival", "Content", "Emptying", "Moved", "contents"]

_EMPTIES = "('ran_empty', 'swept_empty')"
_STATES = "('weigh', 'stocktake')"
_ALWAYS = (-1, -1)


@dataclass(frozen=True, slots=True)
class Emptying:
    """A time when a place was empty: it ran empty, or was swept."""

    step: str
    kind: str
    at_ms: int
    by: str
    inspected_by: str


@dataclass(frozen=True, slots=True)
class Arrival:
    """A step that brought beads in."""

    step: str
    kind: str
    at_ms: int
    by: str
    machine: str
    """Place where the step was made, such as an expander; empty where it has none."""
    mg: int


@dataclass(frozen=True, slots=True)
class Moved:
    """What was moved since the content was last known: in or out, known in one way."""

    sign: int
    how: str
    mg: int
    short_mg: int
    """Drawn beyond what the books held."""
    remainder_mg: int
    """What the steps that brought it in could not account for."""
    steps: int


@dataclass(frozen=True, slots=True)
class Content:
    """A place that holds beads, by the books."""

    code: str
    mg: int
    in_mg: int
    """What came in since it was last empty."""
    first: int | None
    last: int | None
    grades: tuple[str, ...]
    causes: tuple[str, ...]
    known_mg: int
    """What it held when that was last said: at the last weighing or count, or 0 when empty."""
    known_at: int | None
    """When that was; None where it was never empty and never weighed."""
    counted: bool
    """Whether somebody weighed or counted the content then, rather than it being empty."""
    moved: tuple[Moved, ...]
    """Since then."""
    arrival: Arrival | None
    """The last step that brought beads in."""
    emptied: Emptying | None
    """The last time it was empty."""
    swept: Emptying | None
    """The last time it was swept."""
    reclaim: float
    """Share of it that was moulded before, 0 to 1, as if all in it were well mixed."""


_contents: KeptAnswer[dict[str, Content]] = KeptAnswer()


def contents(plant: int) -> tuple[Content, ...]:
    """Give every place that holds beads, in order of its code."""
    found = _contents.answer(plant, lambda: _read(plant), lambda *now: _renewed(plant, *now))
    return tuple(found[code] for code in sorted(found))


def _renewed(plant: int, before: Mapping[str, Content], news: News) -> dict[str, Content]:
    """Give the places, where new steps touched some of them and no others."""
    return {**before, **_read(plant, news.lots & before.keys())}


def _read(plant: int, among: Collection[str] | None = None) -> dict[str, Content]:
    """Read every place, or some."""
    if among is not None and not among:
        return {}
    some = "" if among is None else f" AND code IN ({','.join(['%s'] * len(among))})"
    sql = (
        "SELECT no, code, mg, in_mg, first, last, grades, causes, reclaim FROM ledger_lot"
        f" WHERE p=%s AND {IS_CONTENT} AND kind='prefoam'{some} ORDER BY code"
    )
    rows = store.select(sql, [plant, *(among or ())])
    return {row[1]: _content(plant, row) for row in rows}


def _content(plant: int, row: store.Row) -> Content:
    no, code, mg, in_mg, first, last, grades, causes, reclaim = row
    emptied, empty_k = _emptying(plant, no, f"s.kind IN {_EMPTIES}")
    swept, _ = _emptying(plant, no, "t.grades='' AND s.kind='swept_empty'")
    stated = _stated(plant, no, empty_k)
    known_mg, known_at, order = stated or (0, emptied.at_ms if emptied else None, empty_k)
    marks = (members(grades), reaching(causes))
    return Content(
        code, mg, in_mg, first, last, *marks, known_mg, known_at, stated is not None,
        _moved(plant, no, order), _arrival(plant, no), emptied, swept,
        reclaim / WHOLE,
    )  # fmt: skip


def _emptying(plant: int, lot: int, which: str) -> tuple[Emptying | None, tuple[int, int]]:
    """Find the last time a place was emptied in some way, and where that stands in the order."""
    sql = (
        "SELECT s.key, s.kind, s.at_ms, s.by, s.facts, t.k, t.tie"
        # CROSS pins SQLite's join order: newest touch of the lot first, and no further.
        " FROM ledger_touch t CROSS JOIN ledger_step s"
        " WHERE t.p=%s AND t.lot=%s AND t.sign=0 AND t.first IS NULL AND s.p=t.p AND s.no=t.step"
        f" AND {which} ORDER BY t.k DESC, t.tie DESC LIMIT 1"
    )
    row = store.one(sql, [plant, lot])
    if row is None:
        return None, _ALWAYS
    key, kind, at_ms, by, facts, k, tie = row
    inspected = str(json.loads(facts).get("inspected_by", "")) if facts else ""
    return Emptying(key, kind, at_ms, by, inspected), (k, tie)


def _stated(
    plant: int, lot: int, after: tuple[int, int]
) -> tuple[int, int, tuple[int, int]] | None:
    """Find the last weighing or count of a content: mass, when, and where in the order."""
    sql = (
        "SELECT t.mg, s.at_ms, t.k, t.tie FROM ledger_touch t CROSS JOIN ledger_step s"
        " WHERE t.p=%s AND t.lot=%s AND (t.k, t.tie) > (%s, %s) AND t.sign=0"
        f" AND s.p=t.p AND s.no=t.step AND s.kind IN {_STATES}"
        " ORDER BY t.k DESC, t.tie DESC LIMIT 1"
    )
    row = store.one(sql, [plant, lot, *after])
    return None if row is None else (row[0], row[1], (row[2], row[3]))


def _moved(plant: int, lot: int, after: tuple[int, int]) -> tuple[Moved, ...]:
    sql = (
        "SELECT t.sign, t.how, sum(t.moved_mg), sum(t.differ_mg), sum(s.remainder_mg), count(*)"
        " FROM ledger_touch t CROSS JOIN ledger_step s"
        " WHERE t.p=%s AND t.lot=%s AND (t.k, t.tie) > (%s, %s) AND t.sign <> 0"
        " AND s.p=t.p AND s.no=t.step GROUP BY t.sign, t.how ORDER BY t.sign DESC, t.how"
    )
    return tuple(
        Moved(sign, how, int(mg), int(differ) if sign < 0 else 0, int(rest) if sign > 0 else 0, n)
        for sign, how, mg, differ, rest, n in store.select(sql, [plant, lot, *after])
    )


def _arrival(plant: int, lot: int) -> Arrival | None:
    sql = (
        "SELECT s.key, s.kind, s.at_ms, s.by, s.place, t.moved_mg"
        " FROM ledger_touch t CROSS JOIN ledger_step s"
        " WHERE t.p=%s AND t.lot=%s AND t.sign > 0 AND s.p=t.p AND s.no=t.step"
        " ORDER BY t.k DESC, t.tie DESC LIMIT 1"
    )
    row = store.one(sql, [plant, lot])
    return None if row is None else Arrival(*row)
