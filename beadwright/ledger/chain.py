"""The chain: canonical bytes of an entry, their hash, and finding where a chain breaks."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Iterator
from typing import Any, NamedTuple

from beadwright.errors import BeadwrightError

__all__ = ["START", "Break", "Chained", "canonical", "entry_hash", "verify"]

START = "0" * 64
"""``prev`` of the first entry of a plant."""

_SAFE = 2**53 - 1

_encode = json.JSONEncoder(
    ensure_ascii=False, sort_keys=True, separators=(",", ":"), allow_nan=False
).encode


class Chained(NamedTuple):
    """An entry as it stands in the record."""

    plant: str
    seq: int
    kind: str
    schema: int
    body: str
    prev: str
    hash: str


class Break(NamedTuple):
    """Where a chain does not hold, and what is wrong there."""

    seq: int
    what: str


def canonical(value: Any) -> str:
    """Canonical JSON text (RFC 8785) of a value without floats.

    Only text, whole numbers within ±(2^53 − 1), booleans, null, lists and maps with ASCII keys are
    taken: for these the standard library's encoder writes the very bytes of the RFC, at C speed.

    Raises
    ------
    BeadwrightError
        If a value is of another type, a number too large, a key not ASCII, or text not Unicode.
    """
    _check(value)
    return _encode(value)


def _check(value: Any) -> None:
    kind = type(value)
    if kind is str:
        if not value.isascii():
            _check_text(value)
    elif kind is int:
        _check_number(value)
    elif kind is dict:
        for key, item in value.items():
            _check_name(key)
            if type(item) is not str or not item.isascii():  # most are, and need no look inside
                _check(item)
    elif kind is list:
        for item in value:
            _check(item)
    elif kind is not bool and value is not None:
        message = f"{value!r} cannot stand in the record: write a measure as text with its unit"
        raise BeadwrightError(message)


def _check_name(key: Any) -> None:
    if type(key) is not str or not key.isascii():
        message = f"{key!r} cannot be a name in the record: names are ASCII text"
        raise BeadwrightError(message)


def _check_number(value: int) -> None:
    if not -_SAFE <= value <= _SAFE:
        message = f"{value} is beyond what the record holds exactly (±{_SAFE})"
        raise BeadwrightError(message)


def _check_text(text: str) -> None:
    try:
        text.encode()
    except UnicodeEncodeError as error:
        message = f"{text!r} is not valid Unicode text"
        raise BeadwrightError(message) from error


def entry_hash(entry: Chained) -> str:
    """SHA-256 over the canonical bytes of plant, seq, kind, schema, body and prev.

    ``body`` is canonical already; the names around it are written in the order RFC 8785 sorts them.
    """
    text = (
        f'{{"body":{entry.body},"kind":"{entry.kind}","plant":"{entry.plant}",'
        f'"prev":"{entry.prev}","schema":{entry.schema},"seq":{entry.seq}}}'
    )
    return hashlib.sha256(text.encode()).hexdigest()


def verify(
    entries: Iterable[Chained],
    head: tuple[int, str] | None = None,
    after: tuple[int, str] = (0, START),
) -> Iterator[Break]:
    """Every place at which the entries, in order of seq, are not the chain they claim to be.

    ``head`` is one printed earlier: the chain must still hold that hash, or one that begins so, at
    that seq. ``after`` is the entry that the first of them must follow, and its hash.
    """
    seq, prev = after
    seen = head is not None and head[0] <= seq
    for entry in entries:
        if entry.seq != seq + 1:
            yield Break(seq + 1, _gap(seq, entry.seq))
        elif entry.prev != prev:
            yield Break(entry.seq, "does not follow the entry before it: reordered or replaced")
        if entry_hash(entry) != entry.hash or not _is_canonical(entry.body):
            yield Break(entry.seq, "changed: its content does not give its hash")
        if head is not None and entry.seq == head[0]:
            seen = True
            if not entry.hash.startswith(head[1]):
                yield Break(entry.seq, f"rewritten: hash {entry.hash}, printed earlier {head[1]}")
        prev, seq = entry.hash, entry.seq
    if head is not None and not seen:
        yield Break(seq + 1, f"cut off: the record ends at {seq}, printed earlier was {head[0]}")


def _gap(seq: int, found: int) -> str:
    if found <= seq:
        return f"entry {found} repeated"
    gap = f"entry {seq + 1}" if found == seq + 2 else f"entries {seq + 1} to {found - 1}"
    return f"{gap} removed"


def _is_canonical(body: str) -> bool:
    try:
        return canonical(json.loads(body)) == body
    except (ValueError, RecursionError, BeadwrightError):
        return False
