"""Whether a room's fan runs, as it was said, and how much air goes through by that.

Read :func:`fan_said`, then :func:`air_through`. That a fan runs is a statement about a moment,
and it lapses: a fan that stopped since would make the room look safer than it is. It stands only
where a flow switch shows that the air moves, and whom its alarm reaches is said with it. That a
fan stands still never lapses.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from beadwright.ledger.settings import Settings
from beadwright.plant.physical import physical

__all__ = ["LAPSES_H", "LOOK_H", "FanSaid", "air_through", "fan_said"]

LOOK_H = 12.0
"""After so long somebody should look again: a shift. Common practice, no source."""
LAPSES_H = 24.0
"""After so long nobody knows. Common practice, no source; on the safe side of two shifts."""

_HOUR_MS = 3_600_000


@dataclass(frozen=True, slots=True)
class FanSaid:
    """What was said of a room's fan, and whether it still counts."""

    word: str
    """``running`` or ``stopped``; empty where nobody said."""
    since_ms: int | None
    """Since when it has been said to do so."""
    said_ms: int | None
    """When that was last said."""
    flow_switch: str
    """What shows that the air moves, and whom its alarm reaches; empty where nothing does."""
    counts: Literal["yes", "look", "no"]
    """``look``: it counts for now, and somebody should look; ``no``: it is not known."""

    @property
    def running(self) -> bool | None:
        """Whether it runs; None where that is not known."""
        return None if self.counts == "no" else self.word == "running"

    @property
    def lapses_ms(self) -> int | None:
        """From when it is not known any more; None where that does not come, or nobody said."""
        if self.said_ms is None or self.word != "running" or self.flow_switch:
            return None
        return self.said_ms + round(LAPSES_H * _HOUR_MS)


@dataclass(frozen=True, slots=True)
class _Version:
    from_ms: int
    said: FanSaid
    air_m3_s: float | None


def fan_said(in_force: Settings, room: str, at_ms: int) -> FanSaid:
    """Give what is said of a room's fan at a time."""
    return _at(_versions(in_force, room), at_ms, at_ms)[0]


def air_through(
    in_force: Settings, room: str, edges_ms: Sequence[int], now_ms: int
) -> tuple[float | None, ...]:
    """Give the air through a room in m³/s in each interval; None where it is not known.

    In an interval in which it changed, the less of both. What is to come is as it is now, until
    what was said has lapsed.
    """
    versions = _versions(in_force, room)
    found = []
    for start, end in pairwise(edges_ms):
        first = now_ms if start <= now_ms < end else start
        both = [_flow(versions, at, min(at, now_ms)) for at in (first, end - 1)]
        known = [one for one in both if one is not None]
        found.append(min(known) if len(known) == len(both) else None)
    return tuple(found)


def _flow(versions: Sequence[_Version], at_ms: int, said_by_ms: int) -> float | None:
    said, air = _at(versions, at_ms, said_by_ms)
    return 0.0 if said.running is False else air if said.running else None


def _at(versions: Sequence[_Version], at_ms: int, said_by_ms: int) -> tuple[FanSaid, float | None]:
    """Give what was said by a time, and the air with it, as it counts at another."""
    i = bisect_right(versions, said_by_ms, key=lambda one: one.from_ms)
    if not i:
        return FanSaid("", None, None, "", "no"), None
    one = versions[i - 1].said
    counts = _counts(one, at_ms)
    told = FanSaid(one.word, one.since_ms, one.said_ms, one.flow_switch, counts)
    return told, versions[i - 1].air_m3_s


def _counts(one: FanSaid, at_ms: int) -> Literal["yes", "look", "no"]:
    if one.said_ms is None:
        return "no"
    if one.word == "stopped" or one.flow_switch:
        return "yes"
    hours = (at_ms - one.said_ms) / _HOUR_MS
    return "yes" if hours <= LOOK_H else "look" if hours < LAPSES_H else "no"


def _versions(in_force: Settings, room: str) -> tuple[_Version, ...]:
    found: list[_Version] = []
    before, since = "", None
    for stated, body in in_force.versions("room", room):
        word = str(body.get("fan", ""))
        if word != before:
            before, since = word, stated if word else None
        said = FanSaid(
            word, since, stated if word else None, str(body.get("flow_switch", "")), "no"
        )
        found.append(_Version(stated, said, physical(in_force, "room", room, "air_flow", stated)))
    return tuple(found)
