"""The three weeks: minutes since the first Monday's midnight, working days, shifts.

No clock change falls into them, so a minute is a local time without more words.
"""

from __future__ import annotations

from datetime import datetime, timedelta

__all__ = [
    "DAY",
    "DAYS",
    "END",
    "FIRST",
    "HOUR",
    "NIGHT",
    "SECOND",
    "SHIFTS",
    "SINCE",
    "ZONE",
    "crew_day",
    "day_start",
    "is_friday",
    "next_open",
    "shift",
    "stamp",
    "week",
    "weekday",
    "working_day",
]

ZONE = "America/Chicago"
SINCE = "2025-09-01"  # settings in force; the first deliveries come three days later
HOUR = 60
DAY = 24 * HOUR
DAYS = 15  # working days: three weeks, Monday to Friday
FIRST, SECOND, NIGHT = 6 * HOUR, 14 * HOUR, 22 * HOUR  # two shifts
SHIFTS = {"early": "06:00", "late": "14:00"}
"""When each begins."""

_MONDAY = datetime(2025, 9, 8)  # noqa: DTZ001 - local time; the layout files name the zone
_WEEK = 7
_FRIDAY, _SATURDAY, _SUNDAY = 4, 5, 6


def day_start(working: int) -> int:
    """Midnight before a working day, 0 to 14."""
    return (working // 5 * _WEEK + working % 5) * DAY


END = day_start(DAYS - 1) + SECOND
"""The files were closed here, in the middle of the last Friday."""


def weekday(minute: int) -> int:
    """0 is Monday."""
    return minute // DAY % _WEEK


def week(minute: int) -> int:
    """Which week, Sunday's crew counted to the week it works for."""
    return (minute // DAY + 1) // _WEEK


def working_day(minute: int) -> int:
    """Which working day a minute of Monday to Friday belongs to."""
    days = minute // DAY
    return days // _WEEK * 5 + days % _WEEK


def is_friday(working: int) -> bool:
    """Whether a working day ends the week."""
    return working % 5 == _FRIDAY


def shift(minute: int) -> int:
    """0 for the first shift of a day, 1 for the second."""
    return int(minute % DAY >= SECOND)


def crew_day(minute: int) -> tuple[int, int] | None:
    """When the expander crew works on that day: from, to; on a Sunday for the week to come."""
    midnight = minute // DAY * DAY
    if weekday(minute) == _SUNDAY:
        return midnight + 10 * HOUR, midnight + NIGHT
    if weekday(minute) == _SATURDAY:
        return None
    return midnight + 5 * HOUR, midnight + NIGHT


def next_open(minute: int) -> int:
    """The next minute at which inspection and dispatch work: both shifts, Saturday the first."""
    while True:
        closes = {_SATURDAY: SECOND, _SUNDAY: FIRST}.get(weekday(minute), NIGHT)
        if FIRST <= minute % DAY < closes:
            return minute
        if minute % DAY < FIRST:
            minute += FIRST - minute % DAY
        else:
            minute += DAY - minute % DAY


def stamp(minute: int, style: str = "%Y-%m-%d %H:%M") -> str:
    """A minute as a sheet shows it."""
    return (_MONDAY + timedelta(minutes=minute)).strftime(style)
