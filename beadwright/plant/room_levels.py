"""What the air of a room reaches with what is given off in it, while its fan runs and stands still.

Read :func:`levels`. The room is never taken as clean at first: it begins at the level at which the
most that was given off until then would have held it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from beadwright.science.pentane import Air, Room, room_air, vapour_density
from beadwright.science.trust import Banded

__all__ = ["Levels", "StandsStill", "levels"]


@dataclass(frozen=True, slots=True)
class StandsStill:
    """What would come if the fan stood still from now on."""

    above_s: float | None
    """From when the high end may be above the stated share; None: not within the hours asked."""
    at_end: tuple[float, float, float]
    """Value, low and high end of the share of the limit at the end of those hours."""


@dataclass(frozen=True, slots=True)
class Levels:
    """Share of the limit in each interval, not a number where it is not known."""

    limit_share: Banded | None
    """None where nothing may be said."""
    missing: str = ""
    still: StandsStill | None = None
    """None where the fan stands still already, or the level now is not known."""


@dataclass(frozen=True, slots=True)
class _Given:
    """All that is known: volume, mixing, mass of a m³ at the limit, the stated share."""

    volume: float
    mixing: float
    at_limit: float
    share: float


def levels(
    room: Room,
    flows: Sequence[float | None],
    rate: Banded,
    edges_s: NDArray[np.float64],
    marks: tuple[int, int],
) -> Levels:
    """Give what a room reaches; of ``room`` all must be known.

    ``marks``: the interval that begins the day before the one that is looked back on, and the
    interval that begins now, whose air is known. Air that is not is None, and so is the level from
    there on; what came before a gap is not told either.
    """
    given = _given(room)
    peak_until, now = marks
    first, end = _stretch(flows, now)
    begin = flows[first]
    if not begin:
        return Levels(None, "what had gathered in the room while its fan stood still")
    rows = np.stack([rate.value, rate.low, rate.high])
    peak = rows[:, : max(first, peak_until) + 1].max(axis=-1)
    level = given.mixing * peak / begin
    share = np.full(rows.shape, np.nan)
    at_now = level
    for start, stop in _runs(flows, (first, now, end)):
        if start == now:
            at_now = level
        part = slice(start, stop)
        air = Air(given.volume, flows[start] or 0.0, given.mixing, level)
        edge = room_air(air, rows[:, part], edges_s[start : stop + 1]).edge_kg_m3
        share[:, part] = np.maximum(edge[:, 1:], edge[:, :-1]) / given.at_limit
        level = edge[:, -1]
    still = _still(given, at_now, rows[:, now:], edges_s[now:]) if flows[now] else None
    # Each end is its own run of the room, so that they are in order wherever they are numbers.
    return Levels(Banded(share[0], share[1], share[2]), still=still)


def _given(room: Room) -> _Given:
    known = (room.volume_m3, room.mixing, room.pressure_pa, room.share)
    volume, mixing, pressure, share = (np.nan if one is None else one for one in known)
    density = float(vapour_density(room.temperature_k, pressure))
    return _Given(volume, mixing, density * room.limit.share, share)


def _stretch(flows: Sequence[float | None], now: int) -> tuple[int, int]:
    """Give the unbroken stretch of known air about now: its first interval, and the one after."""
    first = now
    while first and flows[first - 1] is not None:
        first -= 1
    end = next((i for i in range(now, len(flows)) if flows[i] is None), len(flows))
    return first, end


def _runs(
    flows: Sequence[float | None], stretch: tuple[int, int, int]
) -> Iterator[tuple[int, int]]:
    """Give the runs of equal air in a stretch; one always begins now."""
    first, now, end = stretch
    start = first
    for i in range(first + 1, end + 1):
        if i in {now, end} or flows[i] != flows[i - 1]:
            if i > start:
                yield start, i
            start = i


def _still(
    given: _Given,
    level: NDArray[np.float64],
    rows: NDArray[np.float64],
    edges_s: NDArray[np.float64],
) -> StandsStill:
    air = Air(given.volume, 0.0, given.mixing, level)
    share = room_air(air, rows, edges_s).edge_kg_m3 / given.at_limit
    above = np.flatnonzero(share[2] > given.share)
    value, low, high = (float(one) for one in share[:, -1])
    return StandsStill(
        float(edges_s[max(0, above[0] - 1)]) if above.size else None, (value, low, high)
    )
