"""What is printed on standard output: tables, lines, times, masses, JSON.

Read :class:`Page`. Words carry every meaning; weight of type and colour carry none.
"""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, TextIO
from zoneinfo import ZoneInfo

from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from beadwright.cli.called import retyped
from beadwright.errors import plain

__all__ = ["Page", "local", "write_json"]

_WIDEST = 100
_NARROW = 80
_WORD = 14
"""Longest word that a column is kept wide enough for."""


class _Trimmed:
    """Standard output without the blanks that fill the ends of a table's lines."""

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream
        self.encoding = stream.encoding

    def write(self, text: str) -> int:
        """Write whole lines, trimmed."""
        return self._stream.write("\n".join(line.rstrip(" ") for line in text.split("\n")))

    def flush(self) -> None:
        """Send on what was written."""
        self._stream.flush()


@dataclass(slots=True)
class _Column:
    """A column: its title, and how wide it is and must at least be."""

    title: str
    right: bool
    width: int
    least: int

    @classmethod
    def of(cls, title: str, cells: Sequence[str]) -> _Column:
        """Measure a column."""
        right, whole, name = title.endswith(">"), title.startswith("!"), title.strip("!>")
        told = [name, *cells]
        width = max(map(len, told))
        words = max(len(word) for cell in told for word in (cell.split() or [""]))
        return cls(name, right, width, width if whole else min(width, words, _WORD))


def _fit(columns: Sequence[_Column], width: int) -> int:
    """Narrow the columns that may be broken until all fit, the widest first; gives the gap."""
    for gap in (2, 1):
        room = width - gap * (len(columns) - 1)
        if sum(column.least for column in columns) <= room:
            break
    while sum(column.width for column in columns) > room:
        loose = [column for column in columns if column.width > column.least]
        if not loose:
            break
        max(loose, key=lambda column: column.width).width -= 1
    return gap


def _as_it_is(text: str) -> str:
    return text


class Page:
    """Lines and tables for a person, as wide as the terminal up to 100 columns, else 80."""

    def __init__(self, said: Callable[[str], str] = _as_it_is) -> None:
        """Print on what is standard output now; ``said`` may add to each text, such as names."""
        self._add = said
        told = os.environ.get("COLUMNS", "")
        terminal = sys.stdout.isatty()
        width = int(told) if told.isdigit() and int(told) else None if terminal else _NARROW
        self._console = Console(
            file=_Trimmed(sys.stdout),  # type: ignore[arg-type]  # it writes, and that is all
            width=width,
            force_terminal=terminal,
            highlight=False,
            markup=False,
            emoji=False,
        )
        self._console.width = min(self._console.width, _WIDEST)

    def _said(self, text: str) -> str:
        return retyped(self._add(plain(text)))

    def heading(self, text: str) -> None:
        """Print a heading, with a blank line above."""
        self._console.print()
        self._console.print(Text(self._said(text), style="bold"))

    def line(self, text: str = "", indent: int = 0) -> None:
        """Print a paragraph, wrapped at words."""
        self._console.print(
            Padding(Text(self._said(text)), (0, 0, 0, indent)) if indent else Text(self._said(text))
        )

    def item(self, text: str, mark: str = "-", indent: int = 2) -> None:
        """Print one entry of a list, its later lines set in."""
        grid = Table.grid(padding=(0, 1, 0, 0))
        grid.add_column(no_wrap=True)
        grid.add_column(overflow="fold")
        grid.add_row(Text(mark), Text(self._said(text)))
        self._console.print(Padding(grid, (0, 0, 0, indent)))

    def table(self, columns: Sequence[str], rows: Iterable[Sequence[str]], indent: int = 2) -> None:
        """Print a table; a column whose title ends in ``>`` stands to the right.

        One whose title begins with ``!`` is never broken over lines; one without a single entry is
        left out.
        """
        said = [[plain(cell) for cell in row] for row in rows]
        used = [place for place in range(len(columns)) if any(row[place] for row in said)]
        drawn = [_Column.of(columns[place], [row[place] for row in said]) for place in used]
        gap = _fit(drawn, self._console.width - indent)
        table = Table(box=None, pad_edge=False, padding=(0, gap, 0, 0), header_style="bold")
        for column in drawn:
            table.add_column(
                column.title,
                justify="right" if column.right else "left",
                width=column.width,
                overflow="fold",
            )
        for row in said:
            table.add_row(*(Text(row[place]) for place in used))
        self._console.print(Padding(table, (0, 0, 0, indent)))

    def facts(self, rows: Iterable[tuple[str, str]], indent: int = 2) -> None:
        """Print names and what they are, side by side."""
        grid = Table.grid(padding=(0, 2, 0, 0))
        grid.add_column(no_wrap=True)
        grid.add_column(overflow="fold")
        for name, text in rows:
            grid.add_row(Text(name), Text(self._said(text)))
        self._console.print(Padding(grid, (0, 0, 0, indent)))


def write_json(value: Any) -> None:
    """Write a value to standard output as JSON."""
    sys.stdout.write(f"{json.dumps(value, ensure_ascii=False, indent=2)}\n")


def local(at_ms: int, zone: ZoneInfo) -> str:
    """Give a time as the plant's clock showed it, to the minute."""
    return datetime.fromtimestamp(at_ms / 1000, zone).strftime("%Y-%m-%d %H:%M")
