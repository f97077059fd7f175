"""What a scanner gives, without what it or the label puts before the code that is meant.

Read :data:`MEANT`. Each reader gives texts to look for; the first reader of which a lot bears a
text is believed. All of them only cut off; nothing is made up.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator

__all__ = ["MEANT", "data_of", "element_strings", "tidy"]

_LONGEST = 200

_GROUP = "\x1d"
"""Stands after an element string of variable length: FNC1, sent as ASCII 29."""

_SYMBOLOGY = re.compile(r"^\][A-Za-z][0-9A-Za-z]")
"""Symbology identifier that a scanner may send before the data: ISO/IEC 15424 (from memory)."""

_OF_ELEMENTS = re.compile(r"^(\](C1|e0|d2|Q3)|01[0-9]{14}|00[0-9]{18})")
"""Texts of element strings: the identifier says so, or they begin with a GTIN or an SSCC; from
memory."""

_BRACKETED = re.compile(r"\(([0-9]{2,4})\)([^()]+)")
_FIXED = {
    "00": 18, "01": 14, "02": 14, "11": 6, "12": 6, "13": 6, "15": 6, "16": 6, "17": 6, "20": 2,
}  # fmt: skip
"""Application identifiers whose data have a fixed length: GS1 General Specifications (from
memory)."""

_OF_LOT = ("10", "21", "00", "240", "241", "250")
"""Those that may name a lot or a container: batch, serial number, SSCC, further identification of
the item, customer's part, secondary serial number; same source, from memory."""

_HEADING = re.compile(r"^[A-Za-z .]{1,16}[:=#]\s*")
"""What a label prints before a number, such as ``Lot:``."""

_ADDRESS = re.compile(r"^[a-z]+://", re.IGNORECASE)


def tidy(text: str) -> str:
    """Give a scanned text without blanks and end signs around it, and no longer than a label."""
    return text.strip(" \t\r\n\x00\x02\x03\x04")[:_LONGEST]


def data_of(text: str) -> str:
    """Give the text without the scanner's own sign of what symbol it read."""
    return _SYMBOLOGY.sub("", text)


def element_strings(text: str) -> dict[str, str]:
    """Read element strings, bracketed or as scanned, by their application identifiers.

    >>> element_strings("(01)09501101530003(10)88-A")
    {'01': '09501101530003', '10': '88-A'}
    >>> element_strings("]C11088-A" + chr(29) + "217")
    {'10': '88-A', '21': '7'}
    >>> element_strings("1088-A")
    {}
    """
    if _BRACKETED.match(data_of(text)):
        return {name: value.strip() for name, value in _BRACKETED.findall(text)}
    if not _OF_ELEMENTS.match(text):
        return {}
    found: dict[str, str] = {}
    rest = data_of(text).lstrip(_GROUP)
    while rest:
        name = next((one for one in (rest[:2], rest[:3]) if one in {*_FIXED, *_OF_LOT}), "")
        if not name:
            return {}  # what cannot be read to its end may be no such text at all
        rest = rest[len(name) :]
        if name in _FIXED:
            value, rest = rest[: _FIXED[name]], rest[_FIXED[name] :].lstrip(_GROUP)
        else:
            value, _, rest = rest.partition(_GROUP)
        found[name] = value
    return found


def _itself(text: str) -> Iterator[str]:
    yield text
    yield data_of(text)


def _elements(text: str) -> Iterator[str]:
    """What element strings say of a lot or a container."""
    found = element_strings(text)
    yield from (found[name] for name in _OF_LOT if name in found)


def _unheaded(text: str) -> Iterator[str]:
    if not _ADDRESS.match(data_of(text)):
        yield _HEADING.sub("", data_of(text))


def _of_address(text: str) -> Iterator[str]:
    """Of an address, as a label of our own may hold, what stands in it, the last part first."""
    if _ADDRESS.match(data_of(text)):
        parts = [one for one in re.split(r"[/?#=&]", data_of(text)) if one]
        yield from reversed(parts[2:])


MEANT: tuple[Callable[[str], Iterator[str]], ...] = (_itself, _elements, _unheaded, _of_address)
"""What a text may say, nearest to the text first."""
