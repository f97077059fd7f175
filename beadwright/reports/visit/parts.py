"""A visit file as data: parts with words, facts and tables. It knows nothing of what they say."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

__all__ = ["Part", "Table", "table"]


@dataclass(frozen=True, slots=True)
class Table:
    """Rows under column titles, as the page shows them."""

    title: str
    columns: tuple[str, ...]
    widths: tuple[int, ...]
    """Shares of the page's width; 0: as wide as the longest cell."""
    right: tuple[bool, ...]
    """Which columns hold figures, and stand to the right."""
    rows: tuple[tuple[str, ...], ...]
    none: str
    """What is said where there is no row."""


@dataclass(frozen=True, slots=True)
class Part:
    """One part of the file, with its line in the index."""

    title: str
    words: tuple[str, ...] = ()
    facts: tuple[tuple[str, str], ...] = ()
    tables: tuple[Table, ...] = ()


def table(title: str, columns: str, rows: Iterable[Sequence[str]], none: str = "None.") -> Table:
    """Give a table; ``columns`` are titles parted by ``|``, each with its width after a colon.

    A title that ends in ``>`` is over figures.
    """
    parted = [one.strip().partition(":") for one in columns.split("|")]
    titles = tuple(name.rstrip(">") for name, _, _ in parted)
    widths = tuple(int(width or 0) for _, _, width in parted)
    right = tuple(name.endswith(">") for name, _, _ in parted)
    return Table(title, titles, widths, right, tuple(tuple(row) for row in rows), none)
