"""How a sheet is written, by exclusion: which ways of reading fit every text, and differ.

Read :func:`sift`. Nothing is guessed and nothing is weighed: a way that cannot read one of the
texts is excluded; two ways that read all texts alike are one reading; where more than one reading
is left, a person is asked. A text that no way at all can read is a slip of the pen: it is a fault
of its cell whatever the way, and excludes nothing.

Only form counts: whether a number is one, whether a day is in the calendar. What would be a likely
value never decides.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Callable, Hashable, Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import product
from typing import Generic, TypeVar

from beadwright.errors import UnitError
from beadwright.interop.sheets.cells import BadCell
from beadwright.interop.sheets.clock import Clock
from beadwright.units import parse_number

__all__ = [
    "DATES",
    "NUMBERS",
    "Sifted",
    "Way",
    "read_date",
    "read_number",
    "sift",
    "texts_in_encodings",
]

Way = TypeVar("Way", bound=Hashable)
"""One way to read a text."""

NUMBERS: tuple[tuple[str, str], ...] = tuple(
    (decimal, thousands)
    for thousands in ("", ",", ".", " ", "'")
    for decimal in (".", ",")
    if decimal != thousands
)
"""Decimal and thousands signs, the plainest first."""

_DAYS = (
    "YYYY-MM-DD", "YYYY/MM/DD", "YYYY.MM.DD", "YYYYMMDD",
    "DD.MM.YYYY", "DD/MM/YYYY", "DD-MM-YYYY", "DD MM YYYY",
    "MM/DD/YYYY", "MM-DD-YYYY", "MM.DD.YYYY", "MM DD YYYY",
)  # fmt: skip
_HOURS = ("", " hh:mm", " hh:mm:ss", "Thh:mm", "Thh:mm:ss", ", hh:mm", ", hh:mm:ss", " hh.mm")

DATES: tuple[str, ...] = tuple(f"{day}{hour}" for day, hour in product(_DAYS, _HOURS))
"""Date styles; where the year stands first the month follows it (ISO 8601)."""

_UTF16 = (b"\xff\xfe", b"\xfe\xff")
_ONE_BYTE = ("cp1252", "latin-1", "iso8859-15", "cp1250", "cp437", "cp850", "mac-roman")


@dataclass(frozen=True, slots=True)
class Sifted(Generic[Way]):
    """What is left of the ways: the plainest of each reading."""

    ways: tuple[Way, ...]
    decided: int | None = None
    """Index of the text that excluded the last way that is not left; None where none did."""
    differ: int | None = None
    """Index of the first text that the ways left read differently."""
    unfit: int | None = None
    """Index of the text that excluded the last way of all."""


def sift(
    texts: Sequence[str], ways: Iterable[Way], read: Callable[[Way, str], Hashable | None]
) -> Sifted[Way]:
    """Return which ways read every text, those that read all alike once.

    ``read`` gives what a text means in a way, or None where it cannot be read so.
    """
    everything = tuple(ways)
    alive: dict[Way, int] = dict.fromkeys(everything, 0)
    decided = None
    for index, text in enumerate(texts):
        meant = {way: read(way, text) for way in alive}
        if None in meant.values():
            if all(value is None for value in meant.values()):
                if all(read(way, text) is None for way in everything):
                    continue
                return Sifted((), unfit=index)
            alive = {way: group for way, group in alive.items() if meant[way] is not None}
            decided = index
        if len(alive) > 1:
            groups: dict[tuple[int, Hashable | None], int] = {}
            for way, group in alive.items():
                alive[way] = groups.setdefault((group, meant[way]), len(groups))
    plainest: dict[int, Way] = {}
    for way, group in alive.items():
        plainest.setdefault(group, way)
    left = tuple(plainest.values())
    return Sifted(left, decided, _differ(texts, left, read) if len(left) > 1 else None)


def _differ(
    texts: Sequence[str], ways: Sequence[Way], read: Callable[[Way, str], Hashable | None]
) -> int | None:
    """Index of a text that tells most of the ways apart, the first such."""
    best, most = None, 1
    for index, text in enumerate(texts):
        count = len({read(way, text) for way in ways})
        if count > most:
            best, most = index, count
        if most == len(ways):
            break
    return best


def read_number(way: tuple[str, str], text: str) -> Hashable | None:
    """Number that a text is with these signs, or None."""
    decimal, thousands = way
    try:
        return parse_number(
            text, decimal="," if decimal == "," else ".", thousands=thousands or None
        )
    except UnitError:
        return None


def read_date(style: str, text: str) -> Hashable | None:
    """Wall time and offset that a text is in a style, or None."""
    try:
        return _clock(style).wall(text)
    except BadCell:
        return None


def texts_in_encodings(raw: bytes) -> tuple[tuple[str, str], ...]:
    """Return encodings that the bytes may be in, each with its text; those alike once.

    Bytes that are whole UTF-8 are UTF-8 (as the reader holds too, where a layout says otherwise);
    a text holds no control signs.
    """
    if raw.startswith(_UTF16):
        wide = _decoded(raw, "utf-16")
        return () if wide is None else (("utf-16", wide),)
    plain = _decoded(raw, "utf-8-sig")
    if plain is not None:
        return (("utf-8", plain),)
    found: dict[str, str] = {}
    for encoding in _ONE_BYTE:
        text = _decoded(raw, encoding)
        if text is not None and not any(map(_is_control, set(text))):
            found.setdefault(text, encoding)
    return tuple((encoding, text) for text, encoding in found.items())


def _decoded(raw: bytes, encoding: str) -> str | None:
    try:
        return raw.decode(encoding)
    except UnicodeError:
        return None


def _is_control(sign: str) -> bool:
    return sign not in "\t\r\n" and unicodedata.category(sign) == "Cc"


@lru_cache(maxsize=256)
def _clock(style: str) -> Clock:
    return Clock(style, "UTC")
