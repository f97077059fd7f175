"""Numbers as a load frame writes them: which decimal and thousands sign, by exclusion.

Read first: :func:`ways_of`. Only form decides: what cannot be read one way excludes it. A likely
value decides nothing.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from beadwright.interop.sheets.typed import Number, Odd

__all__ = ["Way", "as_float", "is_figure", "places_of", "ways_of"]


class Way(NamedTuple):
    """A decimal sign and a thousands sign; the second may be empty."""

    decimal: str
    thousands: str


_WAYS = tuple(
    Way(decimal, thousands)
    for thousands in ("", ",", ".", " ", "'")
    for decimal in (".", ",")
    if decimal != thousands
)
_EVEN = str.maketrans(
    {
        "\N{NO-BREAK SPACE}": " ",
        "\N{NARROW NO-BREAK SPACE}": " ",
        "\N{THIN SPACE}": " ",
        "\N{RIGHT SINGLE QUOTATION MARK}": "'",
        "\N{MINUS SIGN}": "-",
        "\N{EN DASH}": "-",
    }
)
_LONG = 40
_UNGROUPED = re.compile(r"(?<![\d.,' ])\d{4,}")


def _even(text: str) -> str:
    return text.translate(_EVEN).strip() if not text.isascii() else text.strip()


@lru_cache(maxsize=16)
def _pattern(way: Way) -> re.Pattern[str]:
    whole = r"\d+"
    if way.thousands:
        whole = rf"(?:[1-9]\d{{0,2}}(?:{re.escape(way.thousands)}\d{{3}})+|\d+)"
    point = re.escape(way.decimal)
    return re.compile(rf"[+-]?(?:{whole}(?:{point}\d*)?|{point}\d+)(?:[eE][+-]?\d{{1,3}})?")


def _reads(way: Way, text: str) -> bool:
    return _pattern(way).fullmatch(text) is not None


def is_figure(text: str) -> bool:
    """Whether a cell is a number in any way of writing, or a typed cell that should be one.

    >>> [is_figure(one) for one in ("-1.234,5", "1,5E-03", "05.03.2024", "10:00", "")]
    [True, True, False, False, False]
    """
    if isinstance(text, Number | Odd):
        return True
    if not text or len(text) > _LONG:
        return False
    even = _even(text)
    return any(_reads(way, even) for way in _WAYS)


def as_float(text: str, way: Way) -> float | None:
    """Return a cell's number in one way of writing; None where it is none.

    >>> as_float("-1.234,5", Way(",", "."))
    -1234.5
    """
    if isinstance(text, Number):
        return float(text.value)
    even = _even(text)
    if isinstance(text, Odd) or not _reads(way, even):
        return None
    bare = even.replace(way.thousands, "") if way.thousands else even
    return float(bare.replace(way.decimal, "."))


def ways_of(columns: Iterable[Sequence[str]]) -> tuple[Way, ...]:
    """Return the ways that read every figure of the columns, those that read all alike once.

    A column that writes a number of four digits or more without a thousands sign has none.

    >>> ways_of([["0,125", "1,250"]])
    (Way(decimal=',', thousands=''),)
    >>> ways_of([["1,234", "2,345"]])
    (Way(decimal=',', thousands=''), Way(decimal='.', thousands=','))
    """
    written = [_written(column) for column in columns]
    fit = [way for way in _WAYS if all(_fits(way, column) for column in written)]
    left: list[Way] = []
    read: list[NDArray[np.float64]] = []
    for way in fit:
        values = np.array([as_float(cell, way) for column in written for cell in column], float)
        if not any(np.array_equal(values, other) for other in read):
            left.append(way)
            read.append(values)
    return tuple(left)


def places_of(text: str, way: Way) -> int:
    """Return how many decimals are written.

    >>> places_of("1,50", Way(",", ""))
    2
    """
    return len(text.rpartition(way.decimal)[2]) if way.decimal in text else 0


def _written(column: Sequence[str]) -> list[str]:
    texts = (_even(cell) for cell in column if cell and not isinstance(cell, Number | Odd))
    return list(dict.fromkeys(text for text in texts if is_figure(text)))


def _fits(way: Way, column: Sequence[str]) -> bool:
    if not all(_reads(way, text) for text in column):
        return False
    sign = way.thousands
    if not sign or not any(sign in text for text in column):
        return True
    return not any(_UNGROUPED.search(text.split(way.decimal)[0]) for text in column)
