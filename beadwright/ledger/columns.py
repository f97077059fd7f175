"""Questions whose answer is wanted column by column: one row of lists, and not a row for each.

Read :func:`columns`. A row costs more to hand over than to find; a whole column comes as one text,
and of whole numbers that text is read straight into an array.
"""

from __future__ import annotations

import json
from collections.abc import Collection, Sequence
from dataclasses import dataclass

import numpy as np
from django.db import connection
from numpy.typing import NDArray

from beadwright.ledger import store

__all__ = ["Columns", "Floats", "Ints", "Where", "columns", "distinct"]

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]
Columns = tuple[list[Ints], list[list[str]]]
"""Columns of whole numbers, and of texts."""


@dataclass(frozen=True, slots=True)
class Where:
    """Which rows of a table, called ``t``, and what they are joined to."""

    table: str
    column: str
    values: Collection[int]
    """Numbers of which the column holds one."""
    also: str = ""
    """A condition besides."""
    args: tuple[int, ...] = ()
    joined: str = ""
    """Another table, and on what."""


def columns(plant: int, numbers: Sequence[str], texts: Sequence[str], where: Where) -> Columns:
    """Give columns, none of which may be null; all are in the same order of rows."""
    if not where.values:
        return [_ints("") for _ in numbers], [[] for _ in texts]
    found = store.select(*_asked(plant, numbers, texts, where))[0]
    many = len(numbers)
    return [_ints(one) for one in found[:many]], [json.loads(one or "[]") for one in found[many:]]


def _asked(
    plant: int, numbers: Sequence[str], texts: Sequence[str], where: Where
) -> tuple[str, list[object]]:
    listed = str(sorted(where.values))  # as JSON writes it too
    also = f" AND {where.also}" if where.also else ""
    table, column = f"{where.table} t", f"t.{where.column}"
    if connection.vendor == "postgresql":
        given = [f"string_agg(CAST({name} AS text), ',')" for name in numbers]
        given += [f"CAST(json_agg({name}) AS text)" for name in texts]
        joined = f" JOIN {where.joined}" if where.joined else ""
        rows = f"{table}{joined} WHERE t.p=%s AND {column} = ANY(%s::int[])"
        args: list[object] = [plant, f"{{{listed[1:-1]}}}"]
    else:
        given = [f"group_concat({name})" for name in numbers]
        given += [f"json_group_array({name})" for name in texts]
        joined = f" CROSS JOIN {where.joined}" if where.joined else ""
        rows = f"json_each(%s) j CROSS JOIN {table} ON {column}=j.value{joined} WHERE t.p=%s"
        args = [listed, plant]
    return f"SELECT {', '.join(given)} FROM {rows}{also}", [*args, *where.args]


def _ints(text: str | None) -> Ints:
    # Of one number SQLite gives no text where it is nothing but digits to it.
    return np.fromstring(str(text), np.int64, sep=",") if text else np.zeros(0, np.int64)


def distinct(some: Ints) -> Ints:
    """Give the different ones of some numbers, sorted.

    By sorting: NumPy's own hashes them first, which takes some twenty times as long of numbers that
    come nearly in order, as those of lots and steps do.
    """
    found = np.sort(some)
    first = np.ones(len(found), bool)
    np.not_equal(found[1:], found[:-1], out=first[1:])
    return found[first]
