"""The time at which a plant is looked at, and at which its people key what they do.

Read :func:`moment`, and :func:`moment_of` for a form that may be sent again.
"""

from __future__ import annotations

from collections.abc import Iterable

from beadwright.ledger import entered, lots, said
from beadwright.ledger.draft import Decision, Hold, Release
from beadwright.ledger.entered import Entered
from beadwright.plant.door import now_ms
from beadwright.plant.opening import Plant
from beadwright.quality import readings

__all__ = ["moment", "moment_of"]

_MINUTE_MS = 60_000
_AWAKE_MS = 30 * _MINUTE_MS
_DAY_MS = 24 * 60 * _MINUTE_MS
_LOOKED_AT = 12
"""Newest entries of which a decision counts: whatever happens after it moves the time on."""


def moment(plant: Plant, *, whole_minutes: bool = True) -> int:
    """Give now, in UTC milliseconds; of an invented plant the minute after its newest entry.

    Without ``whole_minutes`` it goes on from that entry to the millisecond, for what is timed. An
    invented plant's weeks are over: looked at from today, all its beads would be a year old. So
    its time goes on while somebody keys, for half an hour after each entry, and then stands still.
    """
    now = now_ms()
    if not plant.invented:
        return now
    newest = max(lots.newest(plant.no), readings.newest(plant.no))
    if not newest:
        return now
    seq = plant.head[0]
    last = entered.by_number(plant.code, range(max(1, seq - _LOOKED_AT + 1), seq + 1))
    newest = _decided(last.values(), newest)
    since = now - last[seq].recorded_at
    begun = -(-newest // _MINUTE_MS) * _MINUTE_MS if whole_minutes else newest
    return min(now, begun + max(0, min(since, _AWAKE_MS)))


def moment_of(plant: Plant, key: str) -> int:
    """Give the time of what was posted under a client key; of what was not, now.

    A form that is sent again bears the time of the first, so that it is the same entry.
    """
    before = said.posted(plant.code, plant.no, key)
    at_ms = None if before is None else before.happened_at
    return moment(plant) if at_ms is None else at_ms


def _decided(some: Iterable[Entered], newest: int) -> int:
    """Give the time of what was decided after the newest step or reading, else that time.

    Else what is released and then shipped would leave before it, and a recall's stages would run
    backwards. One that bears another day's date was entered by a program, and says nothing about
    the plant's time.
    """
    times = [
        one.draft.happened_at for one in some if isinstance(one.draft, Release | Hold | Decision)
    ]
    return max([newest, *(at_ms for at_ms in times if at_ms <= newest + _DAY_MS)])
