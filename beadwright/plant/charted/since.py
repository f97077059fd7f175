"""Since when: the estimated start of what a chart signals, and until when it lasted.

Read :func:`since_when`. The newest signals on one side make an event; the estimate of its start
looks at what came after the event before it, so that two events are not taken for one change.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from beadwright.errors import OutOfRange
from beadwright.statistics.changepoint import (
    Doubt,
    Start,
    alone,
    share_start,
    start_of,
    step_start,
)
from beadwright.statistics.charts import Chart, Signal

__all__ = ["Event", "Row", "Since", "event_of", "since_when"]

_APART = 9
"""Points without a signal that part two events: as many as a run on one side has."""

_EVEN = 2.0
"""Twice the difference in log likelihood within which a step and a drift are nearly as likely."""

_NARROW = 10
"""Points that the set of starts may have at most for a hold to be proposed: a step of two sigma is
found to some 5, one of a single sigma only to some 20 (see docs/changepoint.md). Our choice."""

_LEAST = 4
"""Values that a start is looked for among at least."""

_Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Event:
    """The newest signals that belong together, by the indices of points."""

    after: int
    """Index from which its start is looked for: behind the event before it."""
    first: int
    """Where it was first signalled."""
    last: int
    """The last point that belongs to its signals."""
    single: bool = False
    """Whether one point alone signals, by itself and not as the end of a run."""


@dataclass(frozen=True, slots=True)
class Since:
    """When a change began, and when it was over."""

    start: Start
    """Indices are those of the chart's points."""
    contain_from: int
    """Index from which to hold: of a step and a drift that are as likely, the earlier."""
    contain_to: int | None
    """Last index to hold; None where nothing shows that it is over."""
    ordinary: int = 0
    """Points after one that stands alone; 0 of a step and of a drift."""

    @property
    def why_no_hold(self) -> str:
        """Why no hold is proposed; empty where one is."""
        start = self.start
        if "weak" in start.doubts:
            return "chance alone would show as much of a change"
        wide = len(start.among)
        if wide > _NARROW:
            return f"it may have begun at any of {wide} points; one is proposed up to {_NARROW}"
        if "before the first" in start.doubts:
            return "it may have begun before the first point"
        if "leaning" in start.doubts:
            return "neighbouring values lean on each other, so that its start is not known so well"
        return ""


@dataclass(frozen=True, slots=True)
class Row:
    """What was charted, one value a point: values, or the numbers found of so many."""

    values: _Floats
    inspected: _Floats | None = None

    def part(self, first: int, stop: int) -> Row:
        """Give the points from one to before another."""
        sizes = None if self.inspected is None else self.inspected[first:stop]
        return Row(self.values[first:stop], sizes)

    def then(self, other: Row) -> Row:
        """Give these points, then those of another of the same series."""
        sizes = None
        if self.inspected is not None and other.inspected is not None:
            sizes = np.concatenate([self.inspected, other.inspected])
        return Row(np.concatenate([self.values, other.values]), sizes)

    @property
    def backwards(self) -> Row:
        """The same from the newest to the oldest."""
        sizes = None if self.inspected is None else self.inspected[::-1].copy()
        return Row(self.values[::-1].copy(), sizes)

    @property
    def levels(self) -> _Floats:
        """Values; of counts, shares."""
        return self.values if self.inspected is None else self.values / self.inspected


def event_of(chart: Chart) -> Event | None:
    """Give the newest event of a chart; None where nothing signals."""
    signals = sorted(chart.signals, key=lambda one: one.at)
    if not signals:
        return None
    side, after, first = signals[-1].side, 0, signals[-1]
    for one in reversed(signals[:-1]):
        gap = first.points[0] - one.points[-1]
        if one.side != side or gap > _APART:
            # A run that ends where the event begins is the same change, seen from before it.
            same = one.side != side and gap <= 1
            after = _before(signals, one) if same else one.points[-1] + 1
            break
        first = min(first, one, key=lambda each: each.at)
    begun = min(first.points[0], first.at)
    last = max(index for one in signals if one.at >= begun for index in one.points)
    single = all(one.points == (begun,) for one in signals if one.at >= begun)
    return Event(min(after, begun), first.at, last, single)


def _before(signals: list[Signal], last: Signal) -> int:
    """Give where the signals began that show a change from before it: one side, ending with one."""
    first = last.points[0]
    for one in reversed(signals[: signals.index(last)]):
        if one.side != last.side or first - one.points[-1] > _APART:
            break
        first = min(first, one.points[0])
    return first


def since_when(event: Event, row: Row) -> Since | None:
    """Estimate when an event began and when it was over; None where too little is known."""
    found = _alone(event, row) or _since(event, row)
    if found is None and event.after:  # too little lies between it and the event before
        found = _since(replace(event, after=0), row)
    return found


def _alone(event: Event, row: Row) -> Since | None:
    """Give one point that stands alone among those after the event before it; else None."""
    if not event.single:
        return None
    some, at = row.part(event.after, len(row.values)), event.first
    try:
        found = alone(some.values, at - event.after, some.inspected)
    except OutOfRange:  # too few, or values that do not differ
        return None
    if not found.stands:
        return None
    start = Start(
        "point", at, at, at, (at,), at, found.confidence, found.level, found.value, 0.0,
        found.gain, (),
    )  # fmt: skip
    return Since(start, at, at, found.after)


def _since(event: Event, row: Row) -> Since | None:
    some, rest = row.part(event.after, event.last + 1), row.part(event.last + 1, len(row.values))
    near, whole = _start(some), _start(row.part(event.after, len(row.values)))
    both = [one for one in (whole, near) if one is not None]
    if not both:
        return None
    until: int | None = None
    # A change that lasts shows ever more clearly; one that does not, less.
    found = max(both, key=lambda one: one[0].gain)
    if near is not None and _over(near[0], some, rest):
        found, until = near, _until(event, row, near[0].first + event.after)
    start, contain = found
    if until is not None:  # few values after it are what an event that is over has
        start = _without(start, "few after")
    return Since(_moved(start, event.after), contain + event.after, until)


def _over(start: Start, some: Row, rest: Row) -> bool:
    """Whether what followed went back towards the level of before: a change of its own.

    It must show as clearly as any change that is no chance by the change point's own measure.
    """
    levels, later = some.levels, rest.levels
    during, before = levels[start.first :], levels[: start.first]
    if not len(later) or not len(during):
        return False
    back = float(during.mean() - later.mean()) * float(during.mean() - before.mean()) > 0
    found = _start(some.part(start.first, len(levels)).then(rest).backwards)
    return back and found is not None and "weak" not in found[0].doubts


def _without(start: Start, doubt: Doubt) -> Start:
    kept = [pair for pair in zip(start.doubts, start.cautions, strict=True) if pair[0] != doubt]
    return replace(
        start, doubts=tuple(one for one, _ in kept), cautions=tuple(words for _, words in kept)
    )


def _start(row: Row) -> tuple[Start, int] | None:
    """Give the start and from where to hold, by the indices of a row."""
    if len(row.values) < _LEAST:
        return None
    try:
        if row.inspected is None:
            return _measured(row.values)
        start = share_start(row.values, row.inspected)
    except OutOfRange:  # values that do not differ
        return None
    return start, start.contain_from


def _measured(values: _Floats) -> tuple[Start, int]:
    if len(values) == _LEAST:
        step = step_start(values)
        return step, step.contain_from
    start, other = start_of(values)
    if start.gain - other.gain < _EVEN:
        return start, min(start.contain_from, other.contain_from)
    return start, start.contain_from


def _until(event: Event, row: Row, first: int) -> int:
    """Find the last index to hold, by asking backwards when the event began."""
    found = _start(row.part(first, len(row.values)).backwards)
    if found is None:
        return event.last
    return max(event.last, len(row.values) - 1 - found[1])


def _moved(start: Start, by: int) -> Start:
    return replace(
        start,
        first=start.first + by,
        earliest=start.earliest + by,
        latest=start.latest + by,
        among=tuple(one + by for one in start.among),
        contain_from=start.contain_from + by,
    )
