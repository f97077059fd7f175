"""Lots that are in the plant, one by one: to be offered where one is asked for, or counted.

Read :func:`present`. Sums of them are :mod:`beadwright.ledger.stock`'s.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from beadwright.ledger import store
from beadwright.ledger.account import OUTSIDE
from beadwright.ledger.fold import members, reaching

_RECENT = 6000
"""Lots among which what is offered is looked for: some weeks of a plant."""

__all__ = ["Present", "Sort", "booked", "last_said", "present", "recent", "sorts"]

_REST = 20
"""As of :mod:`beadwright.ledger.stock`: of less than one part in so many, a lot is used up."""

_THERE = "CASE WHEN unit_mg>0 THEN pieces ELSE mg END > 0"
_USED_UP = f"CASE WHEN unit_mg=0 AND what<>'content' AND mg*{_REST} < in_mg THEN 1 ELSE 0 END"
_COLUMNS = (
    "code, kind, what, product, grades, place, mg, in_mg, pieces, unit_mg, causes, first,"
    f" {_USED_UP}"
)


@dataclass(frozen=True, slots=True)
class Present:
    """A lot in the plant as the books have it."""

    code: str
    kind: str
    what: str
    product: str
    grades: tuple[str, ...]
    place: str
    """Where it stands; empty where nobody said."""
    mg: int
    in_mg: int
    """What ever came into it; into a place, since it was last empty."""
    pieces: int
    unit_mg: int
    """Mass of one piece; 0 where it is accounted by mass."""
    causes: tuple[str, ...]
    """Causes of holds that reached it, closed ones included."""
    first: int | None
    """Since when the oldest of it is there."""
    rest: bool
    """Whether it is used up, but for what the books have left in it."""


@dataclass(frozen=True, slots=True)
class Sort:
    """One sort of lots at one place, and how many of them there are."""

    kind: str
    what: str
    place: str
    lots: int


def present(
    plant: int,
    kinds: Sequence[str] = (),
    whats: Sequence[str] = (),
    *,
    place: str = "",
    page: tuple[int, int] = (1000, 0),
) -> list[Present]:
    """Give lots in the plant that hold something, and every place that holds beads; newest first.

    ``kinds`` and ``whats`` name the kinds and sorts of lots, all where they name none; ``place``
    where they stand. ``page``: how many, and how many of them are passed over.
    """
    which, args = _which(plant, (("kind", kinds), ("what", whats), ("place", _one(place))))
    # An expression keeps SQLite to the index of kinds: by number it would walk through every lot.
    sql = f"SELECT {_COLUMNS} FROM ledger_lot WHERE {which} ORDER BY no + 0 DESC LIMIT %s OFFSET %s"
    return [_present(row) for row in store.select(sql, [*args, *page])]


def recent(plant: int, kinds: Sequence[str], whats: Sequence[str], limit: int) -> list[Present]:
    """Give the newest lots that hold something, without those that are used up; and every place.

    Places are few and old; of all else only the newest lots of the plant are looked through.
    """
    holds_beads = "prefoam" in kinds or not kinds
    places = present(plant, ("prefoam",), whats) if holds_beads else []
    # An expression keeps SQLite to the lots' own order: by kind it would read and sort them all.
    which, args = _which(plant, (("kind || ''", kinds), ("what", whats)))
    sql = (
        f"SELECT {_COLUMNS} FROM ledger_lot WHERE {which} AND kind <> 'prefoam' AND {_USED_UP}=0"
        " AND no > (SELECT max(no) FROM ledger_lot WHERE p=%s) - %s ORDER BY no DESC LIMIT %s"
    )
    rows = store.select(sql, [*args, plant, _RECENT, limit])
    return [*places, *map(_present, rows)][:limit]


def _one(place: str) -> tuple[str, ...]:
    return (place,) if place else ()


def _which(plant: int, by: Iterable[tuple[str, Sequence[str]]]) -> tuple[str, list[object]]:
    """What tells the lots that are asked for, as SQL with what goes into it."""
    which: list[str] = ["p=%s", "place NOT LIKE %s", f"({_THERE} OR what='content')"]
    args: list[object] = [plant, f"{OUTSIDE}%"]
    for column, names in by:
        if names:
            which.append(f"{column} IN ({','.join(['%s'] * len(names))})")
            args += names
    return " AND ".join(which), args


def booked(plant: int, codes: Iterable[str]) -> dict[str, Present]:
    """Give lots by their codes, wherever they are and whether or not anything is left of them."""
    found: dict[str, Present] = {}
    for batch in store.parts(codes):
        marks = ",".join(["%s"] * len(batch))
        sql = f"SELECT {_COLUMNS} FROM ledger_lot WHERE p=%s AND code IN ({marks})"
        found.update((row[0], _present(row)) for row in store.select(sql, [plant, *batch]))
    return found


def sorts(plant: int) -> list[Sort]:
    """Count the lots in the plant that hold something, and every place that holds beads."""
    sql = (
        "SELECT kind, what, place, count(*) FROM ledger_lot WHERE p=%s AND place NOT LIKE %s"
        f" AND ({_THERE} OR what='content') GROUP BY 1, 2, 3 ORDER BY 1, 2, 3"
    )
    return [Sort(*row) for row in store.select(sql, [plant, f"{OUTSIDE}%"])]


def last_said(plant: int, codes: Iterable[str]) -> dict[str, int]:
    """Give when somebody last weighed or counted each lot; those that nobody did are left out."""
    found: dict[str, int] = {}
    for batch in store.parts(codes):
        marks = ",".join(["%s"] * len(batch))
        sql = (
            # CROSS pins SQLite's join order: without statistics it would read every step.
            "SELECT l.code, max(s.at_ms) FROM ledger_lot l CROSS JOIN ledger_touch t"
            " CROSS JOIN ledger_step s WHERE t.p=l.p AND t.lot=l.no AND t.sign=0 AND s.p=t.p"
            " AND s.no=t.step AND s.kind IN ('weigh', 'stocktake') AND l.p=%s"
            f" AND l.code IN ({marks}) GROUP BY l.code"
        )
        found.update((row[0], int(row[1])) for row in store.select(sql, [plant, *batch]))
    return found


def _present(row: store.Row) -> Present:
    code, kind, what, product, grades, place, mg, in_mg, pieces, unit_mg, causes, first, rest = row
    return Present(
        code, kind, what, product, members(grades), place, mg, in_mg, pieces, unit_mg,
        reaching(causes), first, bool(rest),
    )  # fmt: skip
