"""The floor under each figure: the same rows put into tables of the same shape, and nothing else.

No rule, no chain, no fold: what the store itself takes for them. Read :class:`Bare`.
"""

from __future__ import annotations

import time
from collections.abc import Sequence

from django.db import connection, transaction

from beadwright.ledger.store import Row, insert, many, one, run, select

__all__ = ["IMPORTED", "PROJECTED", "Bare", "inserted"]

PROJECTED = (
    "ledger_posted", "ledger_lot", "ledger_label", "ledger_step", "ledger_touch", "ledger_loss",
    "quality_reading",
)  # fmt: skip
"""Tables that follow from the record."""

IMPORTED = ("ledger_entry", *PROJECTED)
"""Tables that an import fills."""


class Bare:
    """Tables like ours, with their keys and indexes, without the triggers."""

    def __init__(self, tables: Sequence[str] = IMPORTED) -> None:
        """Make the tables; they are dropped by :meth:`drop`."""
        self.tables = tables
        self.drop()
        for table in tables:
            for statement in _shape(table):
                run(statement)

    def drop(self) -> None:
        """Drop the tables."""
        for table in self.tables:
            run(f"DROP TABLE IF EXISTS bare_{table}")

    def copy(self, table: str, where: str = "", batch: int = 1000) -> float:
        """Seconds to insert the rows of a table again, so many in a transaction."""
        names = ", ".join(f'"{name}"' for name in _columns(table))
        rows = select(f"SELECT {names} FROM {table} {where}")  # noqa: S608 - our own names
        marks = ", ".join(["%s"] * (names.count(",") + 1))
        if connection.vendor == "postgresql":  # as the record does: many rows in one statement
            return _inserted(table, ", ".join(_columns(table)), rows, batch)
        sql = f"INSERT INTO bare_{table} ({names}) VALUES ({marks})"  # noqa: S608
        return inserted(sql, rows, batch)

    def copy_all(self) -> float:
        """Seconds to insert every row of every table again."""
        return sum(self.copy(table) for table in self.tables)


def inserted(sql: str, rows: Sequence[Row], batch: int) -> float:
    """Seconds to run one statement for rows, so many in a transaction."""
    begun = time.perf_counter()
    for start in range(0, len(rows), batch):
        with transaction.atomic():
            many(sql, rows[start : start + batch])
    return time.perf_counter() - begun


def _inserted(table: str, columns: str, rows: Sequence[Row], batch: int) -> float:
    begun = time.perf_counter()
    for start in range(0, len(rows), batch):
        with transaction.atomic():
            insert(table, columns, rows[start : start + batch], app="bare")
    return time.perf_counter() - begun


def _columns(table: str) -> list[str]:
    with connection.cursor() as cursor:
        found = connection.introspection.get_table_description(cursor, table)
    return [column.name for column in found if column.name != "id" or table == "ledger_lot"]


def _shape(table: str) -> list[str]:
    if connection.vendor == "postgresql":
        return [f"CREATE TABLE bare_{table} (LIKE {table} INCLUDING ALL)"]
    made = one("SELECT sql FROM sqlite_master WHERE type='table' AND name=%s", [table])
    assert made is not None
    found = [made[0].replace(f'"{table}"', f'"bare_{table}"', 1)]
    for name, sql in select(
        "SELECT name, sql FROM sqlite_master WHERE type='index' AND tbl_name=%s AND sql <> ''",
        [table],
    ):
        found.append(
            sql.replace(f'"{name}"', f'"bare_{name}"', 1).replace(
                f'ON "{table}"', f'ON "bare_{table}"', 1
            )
        )
    return found
