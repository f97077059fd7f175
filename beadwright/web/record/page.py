"""What the page that verifies the record shows: what was looked at, how far, what was found.

Read :func:`page`.
"""

from __future__ import annotations

from dataclasses import dataclass

from beadwright.ledger.chain import Break
from beadwright.plant.chain_verified import WHOLE, ChainVerified
from beadwright.plant.door import now_ms
from beadwright.plant.opening import Plant
from beadwright.plant.upstream import local

__all__ = ["MOST", "RecordPage", "page"]

MOST = 20
"""Places where it does not hold that are listed."""


@dataclass(frozen=True, slots=True)
class RecordPage:
    """The record, and what was found in it where it was walked."""

    head: str
    """The newest entry and its hash, whole: what to keep."""
    entries: int
    against: str
    """A head kept elsewhere, as it was typed."""
    refused: str = ""
    """Why that is none."""
    found: ChainVerified | None = None
    words: str = ""
    sort: str = ""
    held: str = ""
    """What is said of the head kept elsewhere."""
    breaks: tuple[Break, ...] = ()
    more: int = 0
    """Places where it does not hold beyond those listed."""
    walked: str = ""
    """When, and how long it took."""
    go_on: str = ""
    """Where to go on from, where time was up."""


def page(
    plant: Plant,
    against: str,
    printed: tuple[int, str] | None,
    found: ChainVerified | None,
    refused: str = "",
) -> RecordPage:
    """Put what was found into words."""
    head = f"{plant.head[0]}:{plant.head[1]}"
    if found is None:
        return RecordPage(head, plant.head[0], against, refused)
    return RecordPage(
        f"{found.head[0]}:{found.head[1]}",
        found.head[0],
        against,
        "",
        found,
        _words(found),
        "stop" if found.breaks else "good" if found.done else "ask",
        "" if printed is None else _held(found, printed),
        found.breaks[:MOST],
        max(0, len(found.breaks) - MOST),
        f"Walked in {found.seconds:.2f} s, by this machine's clock {local(now_ms(), plant.zone)}.",
        "" if found.done else f"{found.last}:{found.last_hash}",
    )


def _words(found: ChainVerified) -> str:
    span = f"entries {found.first} to {found.last}"
    if found.breaks:
        count = len(found.breaks)
        places = "one place" if count == 1 else f"{count} places"
        return f"The record does not verify, at {places} of {span}"
    if found.done:
        return f"The record verifies, {span}"
    return f"So far it verifies, {span} of {found.head[0]}: time was up"


def _held(found: ChainVerified, printed: tuple[int, str]) -> str:
    seq, hashed = printed
    if any(one.seq == seq or one.what.startswith("cut off") for one in found.breaks):
        return ""  # the breaks say it
    if seq > found.last:
        return f"Entry {seq}, of the head kept elsewhere, was not reached yet."
    short = f" Of it {len(hashed)} figures of {WHOLE} were given: the whole head proves more."
    said = f"Entry {seq} has the hash that was kept elsewhere."
    return said + (short if len(hashed) < WHOLE else "")
