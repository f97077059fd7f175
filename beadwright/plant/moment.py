"""The time at which a plant is looked at.

Read :func:`moment`.
"""

from __future__ import annotations

from beadwright.ledger import lots
from beadwright.plant.door import now_ms
from beadwright.plant.opening import Plant

__all__ = ["moment"]


def moment(plant: Plant) -> int:
    """Give now, in UTC milliseconds; of an invented plant the time of its newest step.

    An invented plant's weeks are over: looked at from today, all its beads would be a year old.
    """
    now = now_ms()
    if not plant.invented:
        return now
    newest = lots.newest(plant.no)
    return min(now, newest) if newest else now
