"""Questions about lots: what one is, where it stands, what touched it, what it was made of."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from beadwright.errors import Misuse
from beadwright.ledger import store
from beadwright.ledger.fold import WHOLE, members, reaching

__all__ = [
    "Ingredient",
    "LotView",
    "Making",
    "TouchView",
    "find",
    "get",
    "get_many",
    "introduced",
    "makings",
    "newest",
    "of_kind",
    "plant_code",
    "plant_number",
    "plants",
    "touches",
]

_COLUMNS = (
    "no, id, code, kind, what, product, unit_mg, mg, pieces, grades, causes, first, last, place,"
    " seq, reclaim"
)


@dataclass(frozen=True, slots=True)
class LotView:
    """A lot as it stands now."""

    no: int
    id: str
    code: str
    kind: str
    what: str
    product: str
    unit_mg: int
    mg: int
    pieces: int
    grades: tuple[str, ...]
    causes: tuple[str, ...]
    """Causes of holds that reached it, closed ones included (see ``holds.open_causes``)."""
    first: int | None
    last: int | None
    place: str
    seq: int
    reclaim: float = 0.0
    """Share of it that was moulded before, 0 to 1, as if all in it were well mixed."""


@dataclass(frozen=True, slots=True)
class TouchView:
    """One line of a step on a lot, with the lot's stock after it."""

    step: str
    kind: str
    at_ms: int
    sign: int
    mg: int
    pieces: int
    how: str
    place: str
    differ_mg: int
    differ_pieces: int
    after_mg: int
    after_pieces: int
    by: str


@dataclass(frozen=True, slots=True)
class Ingredient:
    """One lot that a step took in."""

    lot: str
    kind: str
    what: str
    mg: int
    pieces: int
    unit_mg: int


@dataclass(frozen=True, slots=True)
class Making:
    """One step that brought material into a lot."""

    step: str
    kind: str
    at_ms: int
    product: str
    place: str
    run: str
    facts: Mapping[str, str]
    mg: int
    pieces: int
    inputs: tuple[Ingredient, ...]
    order: tuple[int, int]
    """Where the step stands in the fold's order."""


def plants() -> tuple[str, ...]:
    """Codes of the plants in the store."""
    return tuple(row[0] for row in store.select("SELECT code FROM ledger_plant ORDER BY no"))


def plant_number(plant: str) -> int:
    """Give the number the projections carry for a plant.

    Raises
    ------
    Misuse
        If the store holds no such plant.
    """
    row = store.one("SELECT no FROM ledger_plant WHERE code=%s", [plant])
    if row is None:
        message = f"the store holds no plant {plant!r}; it holds: {', '.join(plants()) or 'none'}"
        raise Misuse(message)
    return int(row[0])


def plant_code(no: int) -> str:
    """Give the code of the plant that the projections carry a number for."""
    row = store.one("SELECT code FROM ledger_plant WHERE no=%s", [no])
    return "" if row is None else str(row[0])


def _view(row: store.Row) -> LotView:
    place = row[13] or (row[2] if row[4] == "content" else "")
    marks = (members(row[9]), reaching(row[10]))
    return LotView(*(*row[:9], *marks, row[11], row[12], place, row[14], row[15] / WHOLE))


def get(plant: int, code: str) -> LotView | None:
    """Give the lot of that code, or None."""
    row = store.one(f"SELECT {_COLUMNS} FROM ledger_lot WHERE p=%s AND code=%s", [plant, code])
    return None if row is None else _view(row)


def get_many(plant: int, codes: Iterable[str]) -> dict[str, LotView]:
    """Give the lots of those codes."""
    found: dict[str, LotView] = {}
    for batch in store.parts(codes):
        marks = ",".join(["%s"] * len(batch))
        sql = f"SELECT {_COLUMNS} FROM ledger_lot WHERE p=%s AND code IN ({marks})"
        found.update({row[2]: _view(row) for row in store.select(sql, [plant, *batch])})
    return found


def of_kind(plant: int, kind: str, what: str = "") -> list[LotView]:
    """Give every lot of a kind (and, where said, of one sort), in order of entry."""
    sql = f"SELECT {_COLUMNS} FROM ledger_lot WHERE p=%s AND kind=%s"
    args: list[object] = [plant, kind]
    if what:
        sql += " AND what=%s"
        args.append(what)
    return [_view(row) for row in store.select(f"{sql} ORDER BY no", args)]


def introduced(plant: int) -> list[tuple[str, str, int, str, str]]:
    """Give every lot's code, kind, unit mass, product and the client key that introduced it."""
    rows = store.select(
        "SELECT l.code, l.kind, l.unit_mg, l.product, o.key FROM ledger_lot l"
        " JOIN ledger_posted o ON o.p=l.p AND o.seq=l.seq WHERE l.p=%s",
        [plant],
    )
    return [(row[0], row[1], row[2], row[3], row[4]) for row in rows]


def find(plant: int, text: str) -> list[LotView]:
    """Give lots whose code or foreign label is this text; more than one means: ask."""
    columns = ", ".join(f"l.{c}" for c in _COLUMNS.split(", "))
    sql = (
        f"SELECT {columns} FROM ledger_lot l WHERE l.p=%s AND (l.code=%s OR l.no IN"
        " (SELECT b.lot FROM ledger_label b WHERE b.p=l.p AND b.text=%s)) ORDER BY l.no"
    )
    return [_view(row) for row in store.select(sql, [plant, text.upper(), text])]


def touches(plant: int, code: str) -> list[TouchView]:
    """Give everything that touched a lot, in the fold's order."""
    sql = (
        "SELECT s.key, s.kind, s.at_ms, t.sign, t.moved_mg, t.moved_pieces, t.how, t.goes,"
        " t.differ_mg, t.differ_pieces, t.mg, t.pieces, s.by FROM ledger_lot l"
        " JOIN ledger_touch t ON t.p=l.p AND t.lot=l.no"
        " JOIN ledger_step s ON s.p=t.p AND s.no=t.step"
        " WHERE l.p=%s AND l.code=%s ORDER BY t.k, t.tie, t.line"
    )
    return [TouchView(*row) for row in store.select(sql, [plant, code])]


def makings(plant: int, codes: Iterable[str]) -> dict[str, list[Making]]:
    """Give, for each lot, the steps that brought material into it and what those took in."""
    found: dict[str, list[Making]] = {}
    for batch in store.parts(codes):
        marks = ",".join(["%s"] * len(batch))
        sql = (
            "SELECT l.code, s.no, s.key, s.kind, s.at_ms, s.product, s.place, s.run, s.facts,"
            " t.moved_mg, t.moved_pieces, t.k, t.tie"
            # CROSS pins SQLite's join order: without statistics it would read every touch.
            " FROM ledger_lot l CROSS JOIN ledger_touch t CROSS JOIN ledger_step s"
            " WHERE t.p=l.p AND t.lot=l.no AND t.sign > 0 AND s.p=t.p AND s.no=t.step"
            f" AND l.p=%s AND l.code IN ({marks}) ORDER BY t.k, t.tie, t.line"
        )
        rows = store.select(sql, [plant, *batch])
        inputs = _inputs(plant, {row[1] for row in rows})
        for code, no, key, kind, at_ms, product, place, run, facts, mg, pieces, k, tie in rows:
            making = Making(
                key, kind, at_ms, product, place, run, json.loads(facts) if facts else {},
                mg, pieces, tuple(inputs.get(no, ())), (k, tie),
            )  # fmt: skip
            found.setdefault(code, []).append(making)
    return found


def _inputs(plant: int, steps: set[int]) -> dict[int, list[Ingredient]]:
    found: dict[int, list[Ingredient]] = {}
    for batch in store.parts(steps):
        marks = ",".join(["%s"] * len(batch))
        sql = (
            "SELECT t.step, l.code, l.kind, l.what, t.moved_mg, t.moved_pieces, l.unit_mg"
            " FROM ledger_touch t JOIN ledger_lot l ON l.p=t.p AND l.no=t.lot"
            f" WHERE t.p=%s AND t.step IN ({marks}) AND t.sign < 0 ORDER BY t.step, t.line"
        )
        for row in store.select(sql, [plant, *batch]):
            found.setdefault(row[0], []).append(Ingredient(*row[1:]))
    return found


def newest(plant: int, entries: tuple[int, int] = (0, 2**62)) -> int:
    """Give the time of the newest step, in UTC milliseconds; 0 where there is none.

    ``entries``: first and last number of those that brought the steps looked at.
    """
    sql = "SELECT max(at_ms) FROM ledger_step WHERE p=%s AND no BETWEEN %s AND %s AND NOT reversed"
    row = store.one(sql, [plant, *entries])
    return int(row[0]) if row and row[0] is not None else 0
