"""Days of a nonconformity file that can be meant, and mostly are not: asked about once.

Read :func:`received_doubt` and :func:`due_doubt`. A year that was mistyped makes a complaint look
old, or an action late before it was begun; neither is refused, for both can be so.
"""

from __future__ import annotations

from datetime import date

from beadwright.plant.words import number

__all__ = ["OLD_DAYS", "due_doubt", "received_doubt"]

OLD_DAYS = 180
"""Days after which a complaint is asked about: half a year. Our own choice, no source."""

_AHEAD_DAYS = 3 * 365
"""Days ahead beyond which an action's day is asked about. Our own choice, no source."""


def received_doubt(received: str, today: date) -> str:
    """Say why the day a complaint came is unusual; empty where it is not.

    A day that has not come is the door's to refuse.
    """
    back = (today - date.fromisoformat(received)).days
    return f"it came on {received}, {number(back, 'day')} ago" if back > OLD_DAYS else ""


def due_doubt(due: str, today: date) -> str:
    """Say why the day by which an action is to be done is unusual; empty where it is not."""
    ahead = (date.fromisoformat(due) - today).days
    if ahead < 0:
        return f"it is to be done by {due}, which was {number(-ahead, 'day')} ago"
    far = ahead > _AHEAD_DAYS
    return f"it is to be done by {due}, {number(ahead, 'day')} from now" if far else ""
