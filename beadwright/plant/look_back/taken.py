"""What one instrument read, reading by reading, since the last calibration that found it right.

Read :func:`taken`.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from beadwright.errors import Misuse
from beadwright.ledger import settings
from beadwright.plant import calibrations
from beadwright.plant.calibrations import Calibration
from beadwright.plant.look_back.span import last_right
from beadwright.plant.plan import start_of
from beadwright.plant.upstream import zone_of
from beadwright.quality import readings
from beadwright.quality.readings import ReadingView

__all__ = ["PART", "Mark", "Taken", "taken"]

PART = 50
"""Readings in one part of a page."""

_ALL = 2**31

Mark = tuple[int, int, int]
"""Time, entry and line of a reading: the part before it comes next."""


@dataclass(frozen=True, slots=True)
class Taken:
    """Readings of an instrument, the newest first; those voided since too, each marked so."""

    instrument: str
    last_right: Calibration | None
    """The last calibration that found it right; None: none did, and all it ever read is meant."""
    since: date | None
    """The first day that is looked at; None: from the first reading."""
    to_ms: int
    readings: tuple[ReadingView, ...]
    next: Mark | None
    """Where the next part begins; None where this is the last."""


def taken(
    plant_no: int,
    instrument: str,
    at_ms: int,
    *,
    since: date | None = None,
    part: tuple[Mark | None, int] | None = None,
) -> Taken:
    """Give what an instrument read until a time; ``since`` a day, else since it was last right.

    ``part``: those before a mark, and how many at most; None gives all.

    Raises
    ------
    Misuse
        If no such instrument is listed.
    """
    in_force = settings.load(plant_no)
    known = calibrations.load(plant_no, in_force)
    if instrument not in known.listed:
        there = ", ".join(sorted(known.listed)) or "none"
        message = f"no instrument {instrument!r} is listed; there are: {there}"
        raise Misuse(message)
    right = last_right(known.of(instrument))
    first = since or (None if right is None else right.done)
    span = (0 if first is None else start_of(first, zone_of(in_force)), at_ms)
    before, most = part or (None, _ALL)
    found = readings.taken_with(plant_no, instrument, span, before, most + 1)
    some = found[:most]
    mark = (some[-1].at_ms, some[-1].seq, some[-1].line) if found[most:] else None
    return Taken(instrument, right, first, at_ms, some, mark)
