"""A span of days that somebody asks about, in the plant's own calendar.

Read :func:`span_asked`.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from beadwright.errors import Misuse
from beadwright.plant.moment import moment
from beadwright.plant.opening import Plant

__all__ = ["Span", "span_asked", "span_of"]

_DAYS = 7
_MOST_DAYS = 400


@dataclass(frozen=True, slots=True)
class Span:
    """Whole days."""

    since: date
    until: date
    """Last day, included."""
    from_ms: int
    to_ms: int
    """When the day after the last one begins."""


def span_asked(plant: Plant, since: str = "", until: str = "", *, days: int = _DAYS) -> Span:
    """Read a span from texts such as ``2026-09-01``; without them, the last days until today.

    Raises
    ------
    Misuse
        If a day is none, or the span is turned round or longer than 400 days.
    """
    now = datetime.fromtimestamp(moment(plant) / 1000, plant.zone).date()
    last = _day(until) or now
    first = _day(since) or last - timedelta(days=days - 1)
    if first > last or (last - first).days > _MOST_DAYS:
        message = f"{first} to {last}: state a span of 1 to {_MOST_DAYS} days, first day first"
        raise Misuse(message)
    return span_of(plant, first, last)


def span_of(plant: Plant, since: date, until: date) -> Span:
    """Give a span of days."""
    return Span(since, until, _begins(plant, since), _begins(plant, until + timedelta(days=1)))


def _day(text: str) -> date | None:
    try:
        return date.fromisoformat(text) if text else None
    except ValueError:
        message = f"{text!r} is no day: write it as 2026-09-01"
        raise Misuse(message) from None


def _begins(plant: Plant, day: date) -> int:
    return int(datetime.combine(day, time(), plant.zone).timestamp() * 1000)
