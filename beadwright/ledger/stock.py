"""What stands in the plant, summed up, and what was made and shipped last: for a picture of it all.

Read :func:`sums`. Places that hold beads are told by :mod:`beadwright.ledger.places`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from beadwright.ledger import store
from beadwright.ledger.account import OUTSIDE
from beadwright.ledger.fold import members
from beadwright.ledger.holds import closed_causes
from beadwright.ledger.indexes import HERE
from beadwright.ledger.lots import LotView, get_many
from beadwright.ledger.news import KeptAnswer, News

__all__ = [
    "LastAt",
    "Shipped",
    "Sum",
    "bags",
    "block_lots",
    "head",
    "last_at",
    "open_flaws",
    "shipped",
    "sums",
]

_REST = 20
"""A lot kept in mass of which no more than one part in so many is left is a rest: a bag used up,
with what the books have left in it. Common practice, no source."""

_RANKS = 32
"""Places of the fold's order within one millisecond."""


@dataclass(frozen=True, slots=True)
class Sum:
    """Lots in the plant of one sort, product, grade and place together."""

    kind: str
    what: str
    product: str
    grades: tuple[str, ...]
    place: str
    rest: bool
    """Whether they are rests of lots that are used up."""
    held: bool
    """Whether a person's hold reaches them."""
    lots: int
    mg: int
    pieces: int
    first: int | None
    """Since when the oldest of them is there."""


@dataclass(frozen=True, slots=True)
class LastAt:
    """The newest step that made something at a place, or without one."""

    place: str
    kind: str
    at_ms: int
    step: str
    run: str
    product: str
    into: str
    """The lot or place it brought material into."""
    mg: int
    pieces: int


@dataclass(frozen=True, slots=True)
class Shipped:
    """Blocks that left for a receiver in one shipment."""

    shipment: str
    receiver: str
    pieces: int
    at_ms: int


def head(plant: int) -> str:
    """Give the hash of the last entry: the same hash, the same answers."""
    row = store.one("SELECT hash FROM ledger_head WHERE no=%s", [plant])
    return str(row[0]) if row else ""


@dataclass(frozen=True, slots=True)
class _Here:
    """Each lot in the plant with something in it, by its code, and their sums."""

    lots: Mapping[str, Sum]
    sums: tuple[Sum, ...]


_kept: KeptAnswer[_Here] = KeptAnswer()


def sums(plant: int) -> tuple[Sum, ...]:
    """Sum up every lot in the plant with something in it; not what places hold."""
    return _kept.answer(
        plant, lambda: _together(_here(plant)), lambda *now: _renewed(plant, *now)
    ).sums


def _renewed(plant: int, before: _Here, news: News) -> _Here:
    """Give what is here, where new steps touched some lots and no others."""
    if not news.lots:
        return before
    kept = {code: one for code, one in before.lots.items() if code not in news.lots}
    return _together(kept | _here(plant, news.lots))


def _together(here: Mapping[str, Sum]) -> _Here:
    alike: dict[tuple[object, ...], list[Sum]] = {}
    for one in here.values():
        sort = (one.kind, one.what, one.product, one.grades, one.place, one.rest, one.held)
        alike.setdefault(sort, []).append(one)
    return _Here(here, tuple(_summed(alike[sort]) for sort in sorted(alike)))


def _summed(some: Sequence[Sum]) -> Sum:
    return replace(
        some[0],
        lots=len(some),
        mg=sum(one.mg for one in some),
        pieces=sum(one.pieces for one in some),
        first=min((one.first for one in some if one.first is not None), default=None),
    )


def _here(plant: int, among: Iterable[str] | None = None) -> dict[str, Sum]:
    """Give each lot in the plant with something in it, by its code; where said, of some."""
    sql = (
        "SELECT code, kind, what, product, grades, place,"
        f" CASE WHEN unit_mg=0 AND mg*{_REST} < in_mg THEN 1 ELSE 0 END,"
        " CASE WHEN causes LIKE %s THEN 1 ELSE 0 END, mg, pieces, first"
        f" FROM ledger_lot WHERE p=%s AND {HERE} AND what<>'content'"
        " AND CASE WHEN unit_mg>0 THEN pieces ELSE mg END > 0"
    )
    args = ["%hold:%", plant]
    rows: list[store.Row] = []
    for batch in [None] if among is None else store.parts(among):
        some = "" if batch is None else f" AND code IN ({','.join(['%s'] * len(batch))})"
        rows += store.select(f"{sql}{some}", [*args, *(batch or ())])
    return {
        code: Sum(kind, what, product, members(grades), place, bool(rest), bool(held), 1, *amounts)
        for code, kind, what, product, grades, place, rest, held, *amounts in rows
    }


def bags(plant: int) -> tuple[LotView, ...]:
    """Give the bags of beads in the plant that are no rests, those that came first before."""
    sql = (
        f"SELECT code FROM ledger_lot WHERE p=%s AND {HERE} AND kind='bead' AND what='bag'"
        f" AND mg > 0 AND mg*{_REST} >= in_mg ORDER BY first, no"
    )
    codes = [row[0] for row in store.select(sql, [plant])]
    found = get_many(plant, codes)
    return tuple(found[code] for code in codes)


def block_lots(plant: int) -> tuple[str, ...]:
    """Codes of the lots of blocks in the plant that hold pieces: mould runs, bundles, samples."""
    sql = (
        # An expression keeps SQLite to the index of what is here: by number it would walk all.
        f"SELECT code FROM ledger_lot WHERE p=%s AND {HERE} AND kind='block' AND pieces > 0"
        " ORDER BY no + 0"
    )
    return tuple(row[0] for row in store.select(sql, [plant]))


def last_at(plant: int, since: int) -> tuple[LastAt, ...]:
    """Give the newest expansion and moulding at each place since a time, newest first."""
    sql = (
        "SELECT no, place, kind, at_ms, key, run, product FROM ledger_step WHERE p=%s AND k >= %s"
        " AND NOT reversed AND kind IN ('expand', 'mould', 'produce') ORDER BY k DESC, tie DESC"
    )
    newest: dict[tuple[str, bool], store.Row] = {}
    for row in store.select(sql, [plant, since * _RANKS]):
        newest.setdefault((row[1], row[2] == "expand"), row)
    into = _into(plant, [row[0] for row in newest.values()])
    none = ("", 0, 0)
    return tuple(
        LastAt(place, kind, at_ms, key, run, product, *into.get(no, none))
        for no, place, kind, at_ms, key, run, product in newest.values()
    )


def _into(plant: int, steps: Iterable[int]) -> dict[int, tuple[str, int, int]]:
    found: dict[int, tuple[str, int, int]] = {}
    for batch in store.parts(steps):
        marks = ",".join(["%s"] * len(batch))
        sql = (
            "SELECT t.step, l.code, t.moved_mg, t.moved_pieces FROM ledger_touch t"
            " JOIN ledger_lot l ON l.p=t.p AND l.no=t.lot"
            f" WHERE t.p=%s AND t.step IN ({marks}) AND t.sign > 0 AND l.kind <> 'scrap'"
            " ORDER BY t.step, t.line DESC"
        )
        for step, code, mg, pieces in store.select(sql, [plant, *batch]):
            found[step] = (code, mg, pieces)
    return found


def shipped(plant: int, since: int) -> tuple[Shipped, ...]:
    """Give the shipments that left since a time, in the order in which they first did."""
    sql = (
        "SELECT l.code, t.goes, sum(t.moved_pieces), min(s.at_ms) FROM ledger_step s"
        " CROSS JOIN ledger_touch t CROSS JOIN ledger_lot l"
        " WHERE s.p=%s AND s.k >= %s AND s.kind='ship' AND NOT s.reversed"
        " AND t.p=s.p AND t.step=s.no AND t.sign > 0 AND l.p=t.p AND l.no=t.lot"
        " GROUP BY l.code, t.goes ORDER BY 4, 1"
    )
    return tuple(
        Shipped(code, goes.removeprefix(OUTSIDE), int(pieces), at_ms)
        for code, goes, pieces, at_ms in store.select(sql, [plant, since * _RANKS])
    )


def open_flaws(plant: int) -> tuple[str, ...]:
    """Causes of nonconformities that are open, in order of their first step."""
    sql = "SELECT cause, min(step) FROM ledger_finding WHERE p=%s GROUP BY cause ORDER BY 2, 1"
    causes = [row[0] for row in store.select(sql, [plant])]
    sql = "SELECT DISTINCT about FROM ledger_decision WHERE p=%s AND kind='concession'"
    conceded = {row[0] for row in store.select(sql, [plant])} & {*causes}
    closed = closed_causes(plant, sorted(conceded)) if conceded else set()
    return tuple(cause for cause in causes if cause not in closed)
