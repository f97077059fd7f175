"""Entries of a nonconformity file written by hand, for tests that need no store."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from beadwright.ledger.draft import Decision

__all__ = ["PHOTOGRAPH", "Entry", "draft", "entries"]

PHOTOGRAPH = {"sha256": "ab" * 32, "name": "wall.jpg", "bytes": 10}


@dataclass(frozen=True)
class Entry:
    """A decision as the record gives it back."""

    seq: int
    kind: str
    about: str
    at_ms: int
    by: str
    body: Mapping[str, Any]


def entries(*said: tuple[str, Mapping[str, Any]], number: str = "NC-0001") -> list[Entry]:
    """Give decisions about one file, in order; each ``(kind without nc_, body)``."""
    return [
        Entry(seq, f"nc_{kind}", number, 1000 * seq, "P-13", body)
        for seq, (kind, body) in enumerate(said, 1)
    ]


def draft(kind: str, number: str = "NC-0001", /, **body: Any) -> Decision:
    """A decision about a file, as it comes to the door."""
    return Decision("k", 0, f"nc_{kind}", number, body, by="P-13")
