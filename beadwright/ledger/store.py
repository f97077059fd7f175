"""SQL of the record and its projections: the only place that reads or writes these tables.

Plain SQL, because a step must fold in a fraction of a millisecond; everything that is not on that
path goes through it too, so that one file holds the tables' names and columns.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Sequence
from typing import Any, TypeVar

from django.db import connection

from beadwright.ledger.fold import EMPTY, FoldLine, FoldLot, FoldStep, Found, State, Touched

__all__ = [
    "LOT_COLUMNS",
    "STATE",
    "Row",
    "StoredLot",
    "delete_findings",
    "delete_touches",
    "findings_of",
    "grown",
    "insert",
    "last_touch",
    "lines_of",
    "lots_by_code",
    "lots_by_no",
    "many",
    "one",
    "parts",
    "run",
    "select",
    "states_before",
    "states_prior",
    "steps_of",
    "touches_after",
    "update",
    "write_touches",
]

Row = tuple[Any, ...]
_T = TypeVar("_T")

_BATCH = 5000
STATE = "mg, pieces, in_mg, first, last, grades, causes, place, reclaim"
LOT_COLUMNS = f"no, code, kind, what, product, own, unit_mg, last_k, last_tie, {STATE}"
_TOUCH = (
    "p, lot, k, tie, line, step, sign, moved_mg, moved_pieces, how, goes, differ_mg,"
    f" differ_pieces, {STATE}"
)
_STEP = "no, key, kind, k, tie, at_ms, product, place, run, by, facts, remainder_mg, seq, reversed"

StoredLot = tuple[FoldLot, tuple[int, int], State]


def select(sql: str, args: Sequence[Any] = ()) -> list[Row]:
    """Rows of a query."""
    with connection.cursor() as cursor:
        cursor.execute(sql, args)
        rows: list[Row] = cursor.fetchall()
        return rows


def one(sql: str, args: Sequence[Any] = ()) -> Row | None:
    """First row of a query, or None."""
    with connection.cursor() as cursor:
        cursor.execute(sql, args)
        row: Row | None = cursor.fetchone()
        return row


def run(sql: str, args: Sequence[Any] = ()) -> None:
    """Execute one statement."""
    with connection.cursor() as cursor:
        cursor.execute(sql, args)


def insert(table: str, columns: str, rows: Sequence[Row], *, app: str = "ledger") -> None:
    """Insert rows into a table of an app, in bulk where there are several."""
    name = f"{app}_{table}"
    if len(rows) > 1 and connection.vendor == "postgresql":
        given = f"SELECT {columns} FROM {_GIVEN.format(table=name)}"
        _at_once(f"INSERT INTO {name} ({columns}) {given}", columns, rows)
        return
    marks = ", ".join(["%s"] * (columns.count(",") + 1))
    many(f"INSERT INTO {name} ({columns}) VALUES ({marks})", rows)


def update(table: str, columns: str, key: str, rows: Sequence[Row], *, plus: str = "") -> None:
    """Restate columns of rows that are found by their key; each row gives both, columns first.

    ``plus`` names a column to which what is given is added.
    """
    sets, keys = columns.split(", "), key.split(", ")
    if len(rows) > 1 and connection.vendor == "postgresql":
        put = ", ".join(
            f"{name}=t.{name}+given.{name}" if name == plus else f"{name}=given.{name}"
            for name in sets
        )
        same = " AND ".join(f"t.{name}=given.{name}" for name in keys)
        given = _GIVEN.format(table=f"ledger_{table}")
        _at_once(
            f"UPDATE ledger_{table} t SET {put} FROM {given} WHERE {same}",
            f"{columns}, {key}",
            rows,
        )
        return
    put = ", ".join(f"{name}={name}+%s" if name == plus else f"{name}=%s" for name in sets)
    same = " AND ".join(f"{name}=%s" for name in keys)
    many(f"UPDATE ledger_{table} SET {put} WHERE {same}", rows)


_GIVEN = "json_populate_recordset(NULL::{table}, %s::json) given"


def _at_once(sql: str, columns: str, rows: Sequence[Row]) -> None:
    """One statement for many rows: PostgreSQL would read and plan it anew for each of them."""
    names = columns.split(", ")
    for batch in parts(rows):
        given = [dict(zip(names, row, strict=True)) for row in batch]
        run(sql, [json.dumps(given, ensure_ascii=False, separators=(",", ":"))])


def many(sql: str, rows: Sequence[Row]) -> None:
    """Execute one statement for many rows."""
    if not rows:
        return
    with connection.cursor() as cursor:
        if len(rows) == 1:
            cursor.execute(sql, rows[0])
        else:
            cursor.executemany(sql, rows)


def grown(new: Sequence[int]) -> None:
    """Let PostgreSQL count its tables anew when new entries have doubled the record.

    It does so of itself a minute later, and until then takes a plant for one row in two hundred,
    so that each question reads all of it.
    """
    if not new or connection.vendor != "postgresql":
        return
    if new[-1] >= _COUNTED_FROM and new[-1].bit_length() > (new[0] - 1).bit_length():
        names = sorted(connection.introspection.table_names())
        run(f"ANALYZE {', '.join(map(connection.ops.quote_name, names))}")


_COUNTED_FROM = 1024


def parts(items: Iterable[_T], size: int = _BATCH) -> Iterator[list[_T]]:
    """Cut into lists that fit one statement."""
    batch: list[_T] = []
    for item in items:
        batch.append(item)
        if len(batch) == size:
            yield batch
            batch = []
    if batch:
        yield batch


def _lot(row: Row) -> StoredLot:
    return FoldLot(*row[:7]), (row[7], row[8]), State(*row[9:])


def _lots(plant: int, column: str, values: Iterable[object]) -> Iterator[StoredLot]:
    for batch in parts(values):
        marks = ",".join(["%s"] * len(batch))
        sql = f"SELECT {LOT_COLUMNS} FROM ledger_lot WHERE p=%s AND {column} IN ({marks})"
        for row in select(sql, [plant, *batch]):
            yield _lot(row)


def lots_by_code(plant: int, codes: Iterable[str]) -> dict[str, StoredLot]:
    """Lots, the order of their last touch and their state after it, by code."""
    return {lot[0].code: lot for lot in _lots(plant, "code", codes)}


def lots_by_no(plant: int, numbers: Iterable[int]) -> dict[int, StoredLot]:
    """The same by number."""
    return {lot[0].no: lot for lot in _lots(plant, "no", numbers)}


def steps_of(plant: int, numbers: Iterable[int]) -> dict[int, FoldStep]:
    """Newest versions of steps, without their lines."""
    found: dict[int, FoldStep] = {}
    for batch in parts(numbers):
        marks = ",".join(["%s"] * len(batch))
        sql = f"SELECT {_STEP} FROM ledger_step WHERE p=%s AND no IN ({marks})"
        for row in select(sql, [plant, *batch]):
            found[row[0]] = FoldStep(
                no=row[0],
                key=row[1],
                kind=row[2],
                k=row[3],
                tie=row[4],
                at_ms=row[5],
                lines=[],
                product=row[6],
                place=row[7],
                run=row[8],
                by=row[9],
                facts=json.loads(row[10]) if row[10] else {},
                remainder_mg=row[11],
            )
    return found


def lines_of(
    plant: int, numbers: Iterable[int]
) -> Iterator[tuple[int, FoldLine, tuple[int, int], State]]:
    """Lines of steps with what is stored of them: step, line, differences, state after."""
    for batch in parts(numbers):
        marks = ",".join(["%s"] * len(batch))
        where = f"p=%s AND step IN ({marks}) ORDER BY step, line"
        sql = f"SELECT {_TOUCH} FROM ledger_touch WHERE {where}"
        for row in select(sql, [plant, *batch]):
            line = FoldLine(row[4], row[1], row[6], row[7], row[8], row[9], row[10])
            yield row[5], line, (row[11], row[12]), State(*row[13:])


def touches_after(
    plant: int, lots: Sequence[int], order: tuple[int, int], limit: int
) -> list[tuple[int, int, int, int]]:
    """Touches of lots past a place in the order: lot, k, tie, step; ``limit`` where it is one."""
    if len(lots) == 1:
        sql = (
            "SELECT lot, k, tie, step FROM ledger_touch"
            " WHERE p=%s AND lot=%s AND (k, tie) > (%s, %s) ORDER BY k, tie LIMIT %s"
        )
        return select(sql, [plant, lots[0], *order, limit])
    found: list[Row] = []
    for batch in parts(lots):
        marks = ",".join(["%s"] * len(batch))
        sql = (
            f"SELECT lot, k, tie, step FROM ledger_touch WHERE p=%s AND lot IN ({marks})"
            " AND (k, tie) > (%s, %s) ORDER BY lot, k, tie"
        )
        found += select(sql, [plant, *batch, *order])
    return found


def states_before(plant: int, lots: Iterable[int], order: tuple[int, int]) -> dict[int, State]:
    """State of each lot after its last stored touch before a place in the order."""
    found: dict[int, State] = {}
    joined = _join_last("l.p", "l.no", "%s, %s")
    for batch in parts(lots):
        marks = ",".join(["%s"] * len(batch))
        sql = (
            f"SELECT l.no, {_OF_LAST} FROM ledger_lot l {joined} WHERE l.p=%s AND l.no IN ({marks})"
        )
        for row in select(sql, [*order, plant, *batch]):
            if row[1] is not None:
                found[row[0]] = State(*row[1:])
    return found


_OF_LAST = ", ".join(f"s.{column}" for column in STATE.split(", "))


def _join_last(plant: str, lot: str, order: str) -> str:
    """SQL that joins, as ``s``, a lot's last touch before a place in the order, or nothing.

    Said to each store in the way it answers from the index of the touches, one look-up a row:
    PostgreSQL takes the row of the other form as a filter and so compares every touch of a lot
    with every other; SQLite has no LATERAL.
    """
    of_lot = f"b.p={plant} AND b.lot={lot} AND (b.k, b.tie) < ({order})"
    last = f"ledger_touch b WHERE {of_lot} ORDER BY b.k DESC, b.tie DESC, b.line DESC LIMIT 1"
    if connection.vendor == "postgresql":
        return f"LEFT JOIN LATERAL (SELECT {STATE} FROM {last}) s ON true"
    return (
        f"LEFT JOIN ledger_touch s ON s.p={plant} AND s.lot={lot}"
        f" AND (s.line, s.k, s.tie) = (SELECT b.line, b.k, b.tie FROM {last})"
    )


def last_touch(plant: int, lot: int) -> Row | None:
    """Order of a lot's last touch and the state after it, or None."""
    return one(
        f"SELECT k, tie, {STATE} FROM ledger_touch WHERE p=%s AND lot=%s"
        " ORDER BY k DESC, tie DESC, line DESC LIMIT 1",
        [plant, lot],
    )


def states_prior(plant: int, steps: Iterable[int]) -> dict[tuple[int, int], State]:
    """State of each lot of stored steps just before the step, by step and lot."""
    found: dict[tuple[int, int], State] = {}
    joined = _join_last("t.p", "t.lot", "t.k, t.tie")
    for batch in parts(steps):
        marks = ",".join(["%s"] * len(batch))
        sql = (
            f"SELECT t.step, t.lot, {_OF_LAST} FROM ledger_touch t {joined}"
            f" WHERE t.p=%s AND t.step IN ({marks})"
        )
        for row in select(sql, [plant, *batch]):
            found[row[0], row[1]] = EMPTY if row[2] is None else State._make(row[2:])
    return found


def delete_touches(plant: int, steps: Sequence[int]) -> None:
    """Take the touches of steps out of the projection, before they are folded anew."""
    for batch in parts(steps):
        marks = ",".join(["%s"] * len(batch))
        sql = (
            "SELECT -CAST(sum(moved_mg) AS bigint), p, lot FROM ledger_touch"
            f" WHERE p=%s AND step IN ({marks}) AND sign > 0 GROUP BY p, lot"
        )
        update("lot", "came_mg", "p, no", select(sql, [plant, *batch]), plus="came_mg")
        run(f"DELETE FROM ledger_touch WHERE p=%s AND step IN ({marks})", [plant, *batch])
        run(f"DELETE FROM ledger_loss WHERE p=%s AND step IN ({marks})", [plant, *batch])


def findings_of(plant: int, steps: Iterable[int]) -> dict[int, list[Found]]:
    """Stored findings of steps."""
    found: dict[int, list[Found]] = {}
    for batch in parts(steps):
        marks = ",".join(["%s"] * len(batch))
        sql = (
            "SELECT step, code, lot, cause, detail FROM ledger_finding"
            f" WHERE p=%s AND step IN ({marks}) ORDER BY id"
        )
        for row in select(sql, [plant, *batch]):
            found.setdefault(row[0], []).append(Found(*row[1:]))
    return found


def delete_findings(plant: int, steps: Sequence[int]) -> None:
    """Take findings of steps out of the projection."""
    for batch in parts(steps):
        marks = ",".join(["%s"] * len(batch))
        run(f"DELETE FROM ledger_finding WHERE p=%s AND step IN ({marks})", [plant, *batch])


def write_touches(
    plant: int,
    new: Sequence[tuple[FoldStep, Touched]],
    changed: Sequence[tuple[FoldStep, Touched]],
) -> None:
    """Insert new touches, and restate the fold's part of those whose state has changed."""
    rows = [
        (plant, t.line.lot, s.k, s.tie, t.line.line, s.no, t.line.sign, t.line.mg, t.line.pieces,
         t.line.how, t.line.goes, t.differ_mg, t.differ_pieces, *t.after)
        for s, t in new
    ]  # fmt: skip
    insert("touch", _TOUCH, rows)
    changes = [
        (t.differ_mg, t.differ_pieces, *t.after, plant, t.line.lot, s.k, s.tie, t.line.line)
        for s, t in changed
    ]
    update("touch", f"differ_mg, differ_pieces, {STATE}", "p, lot, k, tie, line", changes)
