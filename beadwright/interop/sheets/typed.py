"""Cells of a workbook that are no plain text: a number, a date, or one that cannot be taken.

Each is a text too, so that whatever reads a sheet's texts can show it; whoever needs the value
asks for it, and no decimal sign or date style comes between.
"""

from __future__ import annotations

from datetime import datetime
from decimal import Decimal
from typing import Self

from beadwright.interop.sheets.cells import BadCell

__all__ = ["Moment", "Number", "Odd", "Typed"]


class Typed(str):
    """A cell that is no plain text; its text is what a message shows."""

    __slots__ = ()


class Number(Typed):
    """A number cell: the value counts, whatever the locale showed it as."""

    __slots__ = ("value",)
    value: Decimal

    def __new__(cls, value: Decimal) -> Self:
        """Take the value, with the decimals that were shown."""
        made = super().__new__(cls, f"{value:f}")
        made.value = value
        return made

    def with_sign(self, decimal: str) -> str:
        """Write the number with a decimal sign."""
        return f"{self.value:f}".replace(".", decimal)


class Moment(Typed):
    """A date cell: a date and time on the wall clock."""

    __slots__ = ("wall",)
    wall: datetime

    def __new__(cls, wall: datetime) -> Self:
        """Take the time on the wall clock."""
        spec = "seconds" if wall.second else "minutes"
        text = wall.isoformat(" ", spec) if wall.time() != datetime.min.time() else str(wall.date())
        made = super().__new__(cls, text)
        made.wall = wall
        return made


class Odd(Typed):
    """A cell that cannot be taken; a fault where its column is used."""

    __slots__ = ("bad",)
    bad: BadCell

    def __new__(cls, text: str, bad: BadCell) -> Self:
        """Take what is shown of the cell, and why it cannot be taken."""
        made = super().__new__(cls, text)
        made.bad = bad
        return made
