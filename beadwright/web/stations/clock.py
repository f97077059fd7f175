"""Says a time as a person at the plant would."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

__all__ = ["Clock"]


@dataclass(frozen=True, slots=True)
class Clock:
    """Says a time as a person at the plant would: the hour today, with the day on others."""

    now_ms: int
    zone: ZoneInfo

    def __call__(self, at_ms: int | None) -> str:
        """Give a time."""
        if at_ms is None:
            return "not known"
        there = datetime.fromtimestamp(at_ms / 1000, self.zone)
        today = datetime.fromtimestamp(self.now_ms / 1000, self.zone).date()
        return f"{there:%H:%M}" if there.date() == today else f"{there:%a %d %b, %H:%M}"

    def span(self, from_ms: int, to_ms: int) -> str:
        """Give two times; of one day, the day once."""
        days = {datetime.fromtimestamp(one / 1000, self.zone).date() for one in (from_ms, to_ms)}
        there = datetime.fromtimestamp(to_ms / 1000, self.zone)
        end = f"{there:%H:%M}" if len(days) == 1 else self(to_ms)
        return f"{self(from_ms)} to {end}"
