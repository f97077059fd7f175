"""Whether the database file itself is whole, below the record: pages, trees, what a disk damaged.

Read :func:`damage`. The chain shows what somebody changed through the database; a byte overwritten
in the file may lie where no entry is read.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from django.db import DatabaseError, connection

from beadwright.ledger import store

__all__ = ["damage", "noting"]

_MOST = 20
"""Places that SQLite names before it stops looking."""


_UNREADABLE = ("malformed", "decode to UTF-8")
"""What SQLite says of a page, or a text, that it cannot read."""


def damage(*, indexes: bool = False) -> list[str]:
    """Give what SQLite's own check of its file finds; nothing where it is whole.

    With ``indexes`` every index is compared with its table too, which takes several times as long.
    A PostgreSQL answers for its files itself (`pg_amcheck`, data checksums).
    """
    found: list[str] = []
    if connection.vendor == "sqlite":
        with noting(found):
            check = "integrity_check" if indexes else "quick_check"
            rows = store.select(f"PRAGMA {check}({_MOST})")
            told = [line for row in rows for line in str(row[0]).splitlines()]
            found += [line for line in told if line != "ok" and not line.startswith("***")]
    return found


@contextmanager
def noting(found: list[str]) -> Iterator[None]:
    """Note that what is read within could not be, where the file is damaged, and go on after it."""
    try:
        yield
    except DatabaseError as error:
        text = str(error)
        if connection.vendor != "sqlite" or not any(sign in text for sign in _UNREADABLE):
            raise
        if text not in found:
            found.append(text)
