"""What is printed on standard output: tables, lines, times, masses, JSON.

Read :class:`Page`. Words carry every meaning; weight of type and colour carry none.
"""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Iterable, Sequence
from datetime import datetime
from decimal import Decimal
from typing import Any
from zoneinfo import ZoneInfo

from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from beadwright.units import System, show

__all__ = ["Page", "iso", "local", "mass", "percent", "write_json"]

_WIDEST = 100
_NARROW = 80
_MG_PER_KG = 1_000_000


class Page:
    """Lines and tables for a person, as wide as the terminal up to 100 columns, else 80."""

    def __init__(self) -> None:
        """Print on what is standard output now."""
        told = os.environ.get("COLUMNS", "")
        terminal = sys.stdout.isatty()
        width = int(told) if told.isdigit() and int(told) else None if terminal else _NARROW
        self._console = Console(
            file=sys.stdout, width=width, highlight=False, markup=False, emoji=False
        )
        self._console.width = min(self._console.width, _WIDEST)

    def heading(self, text: str) -> None:
        """Print a heading, with a blank line above."""
        self._console.print()
        self._console.print(Text(text, style="bold"))

    def line(self, text: str = "", indent: int = 0) -> None:
        """Print a paragraph, wrapped at words."""
        self._console.print(Padding(Text(text), (0, 0, 0, indent)) if indent else Text(text))

    def item(self, text: str, mark: str = "-", indent: int = 2) -> None:
        """Print one entry of a list, its later lines set in."""
        grid = Table.grid(padding=(0, 1, 0, 0))
        grid.add_column(no_wrap=True)
        grid.add_column(overflow="fold")
        grid.add_row(Text(mark), Text(text))
        self._console.print(Padding(grid, (0, 0, 0, indent)))

    def table(self, columns: Sequence[str], rows: Iterable[Sequence[str]], indent: int = 2) -> None:
        """Print a table; a column whose title ends in ``>`` stands to the right.

        One whose title begins with ``!`` is never broken over lines.
        """
        table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0), header_style="bold")
        for column in columns:
            right, whole = column.endswith(">"), column.startswith("!")
            table.add_column(
                column.strip("!>"),
                justify="right" if right else "left",
                no_wrap=whole,
                overflow="fold",
            )
        for row in rows:
            table.add_row(*map(Text, row))
        self._console.print(Padding(table, (0, 0, 0, indent)))

    def facts(self, rows: Iterable[tuple[str, str]], indent: int = 2) -> None:
        """Print names and what they are, side by side."""
        grid = Table.grid(padding=(0, 2, 0, 0))
        grid.add_column(no_wrap=True)
        grid.add_column(overflow="fold")
        for name, text in rows:
            grid.add_row(Text(name), Text(text))
        self._console.print(Padding(grid, (0, 0, 0, indent)))


def write_json(value: Any) -> None:
    """Write a value to standard output as JSON."""
    sys.stdout.write(f"{json.dumps(value, ensure_ascii=False, indent=2)}\n")


def local(at_ms: int, zone: ZoneInfo) -> str:
    """Give a time as the plant's clock showed it, to the minute."""
    return datetime.fromtimestamp(at_ms / 1000, zone).strftime("%Y-%m-%d %H:%M")


def iso(at_ms: int | None, zone: ZoneInfo) -> str | None:
    """Give a time in the plant's zone as ISO 8601 writes it."""
    if at_ms is None:
        return None
    return datetime.fromtimestamp(at_ms / 1000, zone).isoformat(timespec="seconds")


def mass(mg: float, system: System, digits: int = 1) -> str:
    """Give a mass with its unit; what would be rounded to nothing gets the digits it needs."""
    kg = Decimal(repr(mg)) / _MG_PER_KG
    if kg and abs(kg) < Decimal(1).scaleb(-digits) / 2:
        if abs(mg) < _MG_PER_KG / 1000:
            return f"{float(mg):.3g} mg"
        return show(kg, "mass", system=system, digits=3)
    return show(kg, "mass", system=system, digits=digits)


def percent(share: float) -> str:
    """Give a share in per cent, with as many digits as a reader can use."""
    value = 100 * share
    if value in (0.0, 100.0) or value >= 10:  # noqa: PLR2004 - two digits are before the point
        return f"{value:.1f}"
    return f"{value:.2f}" if value >= 0.01 else f"{value:.1g}"  # noqa: PLR2004 - per cent
