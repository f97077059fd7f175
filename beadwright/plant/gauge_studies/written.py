"""A study as it is written: a verdict, then sections of sentences, tables and pictures.

Read :class:`Written`. Shell, page and paper take the same one.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

__all__ = ["Section", "Sort", "Table", "Written", "chance", "figures", "percent"]

Sort = Literal["good", "ask", "stop", "note"]


@dataclass(frozen=True, slots=True)
class Table:
    """A table: of a column, ``>`` at the end says figures, ``!`` at the start never broken."""

    title: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]

    @property
    def names(self) -> tuple[str, ...]:
        """Give the names of the columns."""
        return tuple(one.strip("!>") for one in self.columns)


@dataclass(frozen=True, slots=True)
class Section:
    """A part with a title."""

    title: str
    texts: tuple[str, ...] = ()
    tables: tuple[Table, ...] = ()
    picture: str = ""
    """Name of a picture; empty where it has none."""


@dataclass(frozen=True, slots=True)
class Written:
    """A study in words."""

    title: str
    about: str
    """What was measured: how many of what."""
    sort: Sort
    state: str
    """The verdict in a word or two."""
    verdict: tuple[str, ...]
    """In plain words."""
    source: str
    """Of the bands that the verdict is by."""
    sections: tuple[Section, ...]
    not_counted: tuple[str, ...]


def figures(value: float, digits: int = 4) -> str:
    """Write a figure with so many significant digits and no exponent.

    >>> figures(0.302372), figures(1234.56), figures(0.0)
    ('0.3024', '1235', '0')
    """
    if value == 0:
        return "0"
    short = f"{value:.{digits}g}"
    if "e" in short:
        return f"{float(short):.12f}".rstrip("0").rstrip(".")
    return short


def percent(share: float) -> str:
    """Write a share in per cent, with as many digits as it deserves.

    >>> percent(0.2786), percent(0.0531), percent(1.204)
    ('27.9 %', '5.3 %', '120 %')
    """
    hundred = 100 * share
    return f"{hundred:.0f} %" if hundred >= 100 else f"{hundred:.1f} %"  # noqa: PLR2004 - per cent


def chance(p: float | None) -> str:
    """Write a chance; empty where there is none.

    >>> chance(0.974), chance(1e-12), chance(None)
    ('0.974', '< 0.001', '')
    """
    if p is None:
        return ""
    return f"{p:.3f}" if p >= 0.0005 else "< 0.001"  # noqa: PLR2004 - what three digits can show
