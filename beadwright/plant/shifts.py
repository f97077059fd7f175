"""In which shift something was made: as its run says, else by the plant's hours.

Read :class:`Shifts`.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Container, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from beadwright.ledger.lots import Making
from beadwright.ledger.settings import Settings
from beadwright.plant.plan import day_at, start_of

__all__ = ["SHIFT", "Shifts", "is_clock"]

SHIFT = "shift"
"""The topic of these settings: ``[shift.NAME]``, dated, each with the time of day it begins."""

_CLOCK = re.compile(r"([01][0-9]|2[0-3]):[0-5][0-9]|")


def is_clock(value: object) -> bool:
    """Whether a value is a time of day; nothing is one too, of a shift that is worked no more.

    >>> is_clock("06:00"), is_clock(""), is_clock("24:00"), is_clock("6:00")
    (True, True, False, False)
    """
    return isinstance(value, str) and _CLOCK.fullmatch(value) is not None


@dataclass(frozen=True, slots=True)
class Shifts:
    """The shifts of a plant, by its settings and its clock."""

    in_force: Settings
    zone: ZoneInfo

    def of(self, said: Mapping[str, str], at_ms: int) -> str:
        """Give the shift of a run by its facts; empty where nothing says it.

        Without a word about it, the shift that began last before the run did: the first hours of
        a day are of the last shift of the day before.
        """
        return said.get("shift", "") or self._last(_since(said, at_ms))

    def of_lot(self, runs: Sequence[Making]) -> tuple[date, str] | None:
        """Give the shift of a lot, which is that of its last run, with the day it began on.

        A shift that a run names and that has no hours is of the day on which the run began; one
        that has is the nearest of its name, for a run may begin before its shift does.
        """
        if not runs:
            return None
        since_ms = _since(runs[-1].facts, runs[-1].at_ms)
        name = self.of(runs[-1].facts, since_ms)
        return (self._day(name, since_ms), name) if name else None

    def days_about(self, times: Iterable[int], every: Container[str]) -> set[date]:
        """Give the days on which something may have been made that a lot made then speaks for.

        ``every`` holds for what it speaks: ``day``, or ``shift``, which may go on over midnight
        where the plant says when its shifts begin.
        """
        off = 1 if "shift" in every and self.in_force.names(SHIFT) else 0
        days = {day_at(one, self.zone) for one in times}
        return {day + timedelta(days=more) for day in days for more in range(-off, off + 1)}

    def spans_about(self, times: Iterable[int], every: Container[str]) -> list[tuple[int, int]]:
        """Give the same days as spans of time."""
        days = sorted(self.days_about(times, every))
        day = timedelta(days=1)
        return [(start_of(one, self.zone), start_of(one + day, self.zone)) for one in days]

    def _last(self, since_ms: int) -> str:
        begins = sorted((begin, name) for name, begin in self._begins(since_ms))
        clock = f"{self._local(since_ms):%H:%M}"
        at = bisect_right(begins, clock, key=lambda one: one[0])
        return begins[at - 1][1] if begins else ""

    def _day(self, name: str, since_ms: int) -> date:
        local = self._local(since_ms)
        begin = dict(self._begins(since_ms)).get(name)
        if begin is None:
            return local.date()
        days = (local.date() + timedelta(days=off) for off in (-1, 0, 1))
        clock = time.fromisoformat(begin)
        return min(days, key=lambda day: abs(datetime.combine(day, clock, self.zone) - local))

    def _begins(self, since_ms: int) -> Iterator[tuple[str, str]]:
        """Give each shift that is worked, and when it begins."""
        for name, body in self.in_force.all(SHIFT, since_ms):
            if body["from"]:
                yield name, str(body["from"])

    def _local(self, at_ms: int) -> datetime:
        return datetime.fromtimestamp(at_ms / 1000, self.zone)


def _since(said: Mapping[str, str], at_ms: int) -> int:
    """When a run began, where its facts say it."""
    began = said.get("started", "")
    return int(began) if began.isdecimal() else at_ms
