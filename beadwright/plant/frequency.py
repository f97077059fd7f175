"""How often something is done, as a plan writes it: ``run``, ``week``, ``20 pieces``, ``365 days``.

Read :func:`every_of` first. Days are days of the plant's calendar; a week is seven of them, and a
year ends on the same day of the next.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

__all__ = ["By", "Every", "day_of", "every_of"]

By = Literal["run", "shift", "day", "pieces", "year"]
"""What it is counted by; weeks are days too."""

_COUNTED = re.compile(r"([1-9][0-9]{0,5}) (piece|day)s?")
_WEEK = 7


@dataclass(frozen=True, slots=True)
class Every:
    """Once in so many runs, shifts, days, pieces or years."""

    text: str
    """As written."""
    by: By
    number: int = 1

    def after(self, day: date) -> date | None:
        """Give the day on which the next is due; None where days do not count."""
        if self.by == "year":
            try:
                return day.replace(year=day.year + 1)
            except ValueError:  # 29 February
                return date(day.year + 1, 3, 1)
        return day + timedelta(days=self.number) if self.by == "day" else None

    def before(self, day: date) -> date | None:
        """Give the earliest day for which the day given is still in time."""
        if self.by == "year":
            try:
                return day.replace(year=day.year - 1)
            except ValueError:
                return date(day.year - 1, 3, 1)
        return day - timedelta(days=self.number) if self.by == "day" else None


def every_of(text: str) -> Every:
    """Read a frequency.

    Raises
    ------
    ValueError
        If it is none of ``run``, ``shift``, ``day``, ``week``, ``year``, ``N pieces``, ``N days``.
    """
    match text:
        case "run" | "shift" | "day" | "year":
            return Every(text, text)
        case "week":
            return Every(text, "day", _WEEK)
    counted = _COUNTED.fullmatch(text)
    if counted is None:
        message = 'it is run, shift, day, week, year, or a number as "20 pieces" or "365 days"'
        raise ValueError(message)
    return Every(text, "pieces" if counted[2] == "piece" else "day", int(counted[1]))


def day_of(text: str) -> date:
    """Read a day as ISO 8601 writes it, such as ``2026-09-01``.

    Raises
    ------
    ValueError
        If it is none.
    """
    if not re.fullmatch(r"\d{4}-\d{2}-\d{2}", text):
        message = f"{text!r} is no day: write it as 2026-09-01"
        raise ValueError(message)
    return date.fromisoformat(text)
