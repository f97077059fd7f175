"""The time at which a plant is looked at, and at which its people key what they do.

Read :func:`moment`.
"""

from __future__ import annotations

from beadwright.ledger import entered, lots
from beadwright.plant.door import now_ms
from beadwright.plant.opening import Plant
from beadwright.quality import readings

__all__ = ["moment"]

_MINUTE_MS = 60_000
_AWAKE_MS = 30 * _MINUTE_MS


def moment(plant: Plant) -> int:
    """Give now, in UTC milliseconds; of an invented plant the minute after its newest entry.

    An invented plant's weeks are over: looked at from today, all its beads would be a year old. So
    its time goes on while somebody keys, for half an hour after each entry, and then stands still.
    """
    now = now_ms()
    if not plant.invented:
        return now
    newest = max(lots.newest(plant.no), readings.newest(plant.no))
    if not newest:
        return now
    seq = plant.head[0]
    since = now - entered.by_number(plant.code, [seq])[seq].recorded_at
    whole = -(-newest // _MINUTE_MS) * _MINUTE_MS
    return min(now, whole + max(0, min(since, _AWAKE_MS)))
