"""The chain of a record walked, for a person: what holds, up to where, against which head.

Read :func:`verify_chain`. It writes nothing and takes no lock: people go on posting meanwhile, and
entries that come while it walks are walked too.
"""

from __future__ import annotations

import re
import time
from collections.abc import Iterator
from dataclasses import dataclass

from beadwright.errors import Misuse
from beadwright.ledger import heads
from beadwright.ledger import rebuild as record
from beadwright.ledger.chain import START, Break, Chained, verify

__all__ = ["LEAST", "WHOLE", "ChainVerified", "head_of", "verify_chain"]

WHOLE = 64
"""Figures of a whole hash."""
LEAST = 12
"""Figures of a head that may be cut short, as the foot of a page prints it."""

_HEAD = re.compile(
    rf"(?:.*?\bentry\s+)?([0-9]+)(?:\s*:\s*|,\s*head\s+)([0-9a-f]{{{LEAST},64}})[….]*"
)


@dataclass(frozen=True, slots=True)
class ChainVerified:
    """How far a record's chain was walked, and every place where it does not hold."""

    head: tuple[int, str]
    """The newest entry of the record, and its hash."""
    breaks: tuple[Break, ...]
    first: int
    last: int
    """The first entry that was looked at, and the last."""
    last_hash: str
    done: bool
    """Whether it came to the end in the time that it was given."""
    seconds: float

    @property
    def holds(self) -> bool:
        """Whether nothing was found wrong as far as it was walked."""
        return not self.breaks


class _OutOfTimeError(Exception):
    """Time is up: what was walked stands."""


class _Walk:
    """Entries as they are walked, until time is up."""

    def __init__(self, entries: Iterator[Chained], until: float) -> None:
        self.entries, self.until = entries, until
        self.last, self.hash = 0, START

    def __iter__(self) -> Iterator[Chained]:
        for one in self.entries:
            if time.monotonic() > self.until:
                raise _OutOfTimeError
            yield one
            self.last, self.hash = one.seq, one.hash


def head_of(text: str) -> tuple[int, str]:
    """Give a head as it was printed, whole or cut short as at the foot of a page.

    Raises
    ------
    Misuse
        If the text is none.
    """
    match = _HEAD.fullmatch(text.strip().lower())
    if match is None:
        message = (
            f"{text!r} is no head: write SEQ:HASH as `beadwright verify` prints it, or number and"
            f" hash as at the foot of a page, with {LEAST} figures of the hash at least, as in"
            " 512:9f2c03ab7d41"
        )
        raise Misuse(message)
    return int(match[1]), match[2]


def verify_chain(
    code: str,
    printed: tuple[int, str] | None = None,
    *,
    after: tuple[int, str] | None = None,
    seconds: float = float("inf"),
) -> ChainVerified:
    """Walk a plant's chain, and hold it against a head printed earlier.

    Parameters
    ----------
    code
        The plant.
    printed
        A head kept elsewhere; its hash may be cut short.
    after
        The entry, with its hash, that an earlier walk had come to; from the first where None.
    seconds
        After which it stops, and says how far it came.
    """
    begun = time.monotonic()
    head, start = record.head(code), after or (0, START)
    walk = _Walk(record.entries(code, start[0]), begun + seconds)
    breaks: list[Break] = []
    done = _walked(breaks, walk, printed, start)
    kept = heads.look(code)
    if done and kept is not None and kept.seq > head[0] and not _told(breaks, head[0] + 1):
        what = f"cut off: the record ends at {head[0]}; the store itself had reached {kept.seq}"
        breaks.append(Break(head[0] + 1, what))
    last, reached = (walk.last, walk.hash) if walk.last else start
    took = time.monotonic() - begun
    return ChainVerified(head, tuple(breaks), start[0] + 1, last, reached, done, took)


def _walked(
    breaks: list[Break], walk: _Walk, printed: tuple[int, str] | None, start: tuple[int, str]
) -> bool:
    """Note every break; gives whether the end was reached."""
    try:
        for one in verify(walk, printed, start):
            breaks.append(one)  # noqa: PERF402 - what was found before time is up stands
    except _OutOfTimeError:
        return False
    return True


def _told(breaks: list[Break], seq: int) -> bool:
    return any(one.seq == seq for one in breaks)
