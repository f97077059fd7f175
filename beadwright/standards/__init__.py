"""Published limits and methods as dated, typed data.

Lives here: the typed reader of data/*.toml; each limit with edition, clause and who verified it.
Read first: beadwright.standards.catalogue.
May import: units, errors; no Django, no store.
"""

from beadwright.standards.catalogue import (
    ColumnVerdict,
    cross_checks,
    find,
    judge_columns,
    limits,
    row,
    standard,
    standards,
    superseded,
)
from beadwright.standards.reading import read_standard
from beadwright.standards.rows import Column, Edition, Gap, Limit, Read, Standard, describe

__all__ = [
    "Column",
    "ColumnVerdict",
    "Edition",
    "Gap",
    "Limit",
    "Read",
    "Standard",
    "cross_checks",
    "describe",
    "find",
    "judge_columns",
    "limits",
    "read_standard",
    "row",
    "standard",
    "standards",
    "superseded",
]
