"""Everything a store holds, so that a test can say that nothing was written, or the same."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from django.db import connection

__all__ = ["Tables", "everything", "projections"]

Tables = Mapping[str, Sequence[tuple[Any, ...]]]

_RECORD = {"ledger_entry", "ledger_head"}


def everything() -> Tables:
    """Every row of every table of ours, sorted; numbers a database gives by itself left out."""
    with connection.cursor() as cursor:
        names = connection.introspection.table_names(cursor)
        return {
            name: _rows(cursor, name)
            for name in sorted(names)
            if name.startswith(("ledger_", "quality_"))
        }


def projections() -> Tables:
    """The same without the record itself, whose bodies say when each entry was recorded."""
    return {name: rows for name, rows in everything().items() if name not in _RECORD}


def _rows(cursor: Any, name: str) -> list[tuple[Any, ...]]:
    described = connection.introspection.get_table_description(cursor, name)
    serial = {column["column"] for column in connection.introspection.get_sequences(cursor, name)}
    columns = [one.name for one in described if one.name not in serial]
    listed = ", ".join(connection.ops.quote_name(column) for column in columns)
    cursor.execute(f"SELECT {listed} FROM {name}")
    return sorted(cursor.fetchall(), key=repr)
