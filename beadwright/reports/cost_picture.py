"""Costs as a picture: what a good block of each group cost, day by day.

Read :func:`picture`.
"""

from __future__ import annotations

from datetime import date

from beadwright.charts.day_by_day import DayByDay, DayLine, DayPoint
from beadwright.plant.costs.answer import Costs
from beadwright.plant.costs.told import DAY_BY_DAY, SAME_MIX, money_of
from beadwright.plant.opening import Plant

__all__ = ["picture"]

_MOST = 6
"""Groups that are drawn, of the most good blocks; all stand in the table."""


def picture(plant: Plant, found: Costs) -> DayByDay | None:
    """Give the picture; None where no day has a figure."""
    good = {name: sum(one.good for one in days) for name, days in found.days.items()}
    lines = []
    for name in sorted(good, key=lambda one: (-good[one], one)):
        points = tuple(
            DayPoint(one.day, one.per_block, one.whole)
            for one in found.days[name]
            if one.per_block is not None
        )
        if points:
            lines.append(DayLine(name, points))
    if not lines:
        return None
    lines += _same_mix(found)
    more = len(lines) - _MOST
    said = f"{DAY_BY_DAY} {more} more stand in the table." if more > 0 else DAY_BY_DAY
    title = f"What a good block cost, {found.since} to {found.until}"
    unit = f"A good block, {money_of(plant)}"
    return DayByDay("costs", title, unit, tuple(lines[:_MOST]), said, digits=3)


def _same_mix(found: Costs) -> list[DayLine]:
    """The days at the mix of products of all of them, beside what they were."""
    if found.by != "day":
        return []
    points = tuple(
        DayPoint(date.fromisoformat(one.name), one.same_mix, one.total is not None)
        for one in found.rows
        if one.same_mix is not None
    )
    return [DayLine(SAME_MIX, points)] if points else []
