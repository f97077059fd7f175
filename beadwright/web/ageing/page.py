"""What is shown of the ageing of beads: every silo on one axis, in words, and line by line.

Read :func:`picture`, which is cheap, then :func:`page`.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from beadwright.charts.silo_hours import Band, SiloHours, SiloRow, Tick, draw
from beadwright.charts.svg import Drawing
from beadwright.plant.ageing import AGEING_CAUTION, AgeingBoard, Edge, SiloAgeing, silo_said
from beadwright.plant.ageing.words import ESTIMATE_WORDS, SiloSaid
from beadwright.plant.worked_words import Told, told_all
from beadwright.units import System

__all__ = ["AgeingPage", "GradePart", "Picture", "SiloPart", "page", "picture"]

_HOUR_MS = 3_600_000
_BACK_H, _AHEAD_H = 72.0, 120.0
"""So far the axis reaches at most; a bar that goes on has an arrow."""

_LEAST_AHEAD_H = 24.0
_EDGE_H = 3.0
_SHORT_H = 96.0
_NEAR_DAYS = 6


@dataclass(frozen=True, slots=True)
class Picture:
    """The picture of all silos, with its rows in words."""

    drawing: Drawing
    rows: tuple[str, ...]
    print: str
    """Of all that is shown: the same print, the same picture."""


@dataclass(frozen=True, slots=True)
class GradePart:
    """One grade of a silo, with every number that its estimate rests on."""

    grade: str
    lines: tuple[Told, ...]


@dataclass(frozen=True, slots=True)
class SiloPart:
    """One silo in words."""

    place: str
    at: str
    """Its anchor."""
    ages: str
    said: SiloSaid
    grades: tuple[GradePart, ...]


@dataclass(frozen=True, slots=True)
class AgeingPage:
    """The page."""

    at_ms: int
    caution: str
    picture: Picture
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    silos: tuple[SiloPart, ...]


def picture(board: AgeingBoard, zone: ZoneInfo) -> Picture:
    """Give the picture of a board."""
    clock = _Clock(board.at_ms, zone)
    rows = tuple(_row(one, clock) for one in board.silos)
    start, end = _axis(rows)
    spec = SiloHours(
        "silo-hours", "Silos: signed hours and the window by estimate",
        f"now, {clock.at(board.at_ms)}", rows, start, end, tuple(_ticks(clock, start, end)),
    )  # fmt: skip
    drawing = draw(spec)
    shown = hashlib.sha256(drawing.svg.encode()).hexdigest()[:16]
    return Picture(drawing, tuple(row.words for row in rows), shown)


def page(board: AgeingBoard, units: System, zone: ZoneInfo) -> AgeingPage:
    """Give the whole page."""
    clock = _Clock(board.at_ms, zone)
    return AgeingPage(
        board.at_ms,
        AGEING_CAUTION,
        picture(board, zone),
        ("silo", "age", "signed from", "until", "enough air from", "too little pentane from",
         "by estimate now"),
        tuple(_cells(one, clock) for one in board.silos),
        tuple(_part(one, units) for one in board.silos),
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Clock:
    """Times as the plant reads them, short where they are near."""

    now_ms: int
    zone: ZoneInfo

    def there(self, at_ms: int) -> datetime:
        return datetime.fromtimestamp(at_ms / 1000, self.zone)

    def at(self, at_ms: int) -> str:
        there = self.there(at_ms)
        if abs(at_ms - self.now_ms) < _NEAR_DAYS * 24 * _HOUR_MS:
            return f"{there:%a %H:%M}"
        return f"{there:%d %b}" if there.year == self.there(self.now_ms).year else f"{there:%b %Y}"

    def edge(self, edge: Edge) -> str:
        return f"{self.at(edge.at_ms)} ({self.at(edge.low_ms)} to {self.at(edge.high_ms)})"

    def h(self, at_ms: int) -> float:
        return (at_ms - self.now_ms) / _HOUR_MS


def _row(one: SiloAgeing, clock: _Clock) -> SiloRow:
    silo, estimate = one.silo, one.estimate
    ends = (silo.ready_ms, silo.use_by_ms)
    signed = None if None in ends else (clock.h(ends[0] or 0), clock.h(ends[1] or 0))
    return SiloRow(
        silo.place,
        _ages(one),
        clock.h(silo.first_ms or 0),
        clock.h(silo.last_ms or 0),
        signed,
        None if estimate is None else _band(estimate.opens, clock),
        None if estimate is None else _band(estimate.closes, clock),
        f"unknown without: {'; '.join(one.missing)}" if one.missing else "",
        _words(one, clock),
        held=_is_held(one),
    )


def _is_held(one: SiloAgeing) -> bool:
    return "held" in one.silo.states


def _band(edge: Edge, clock: _Clock) -> Band:
    return clock.h(edge.low_ms), clock.h(edge.at_ms), clock.h(edge.high_ms)


def _ages(one: SiloAgeing) -> str:
    young, old = one.silo.youngest_h or 0.0, one.silo.oldest_h or 0.0
    if old >= _SHORT_H:
        return f"{young / 24:.1f} to {old / 24:.1f} days old"
    told = f"{old:.0f}" if f"{young:.0f}" == f"{old:.0f}" else f"{young:.0f} to {old:.0f}"
    return f"{told} h old"


def _words(one: SiloAgeing, clock: _Clock) -> str:
    silo, estimate = one.silo, one.estimate
    grades = " and ".join(grade.grade for grade in one.grades) or "no grade"
    held = ["held"] if _is_held(one) else []
    parts = [f"{silo.place}, {grades}: {_ages(one)}", *held]
    if silo.ready_ms is None or silo.use_by_ms is None:
        parts.append("no hours signed")
    else:
        parts.append(f"signed {clock.at(silo.ready_ms)} to {clock.at(silo.use_by_ms)}")
    if estimate is None:
        parts.append(f"estimate unknown without {'; '.join(one.missing)}")
    else:
        parts.append(
            f"by estimate fit from {clock.edge(estimate.opens)} to {clock.edge(estimate.closes)},"
            f" now {' and '.join(ESTIMATE_WORDS[state] for state in one.states)}"
        )
    return f"{'; '.join(parts)}."


def _axis(rows: tuple[SiloRow, ...]) -> tuple[float, float]:
    """Give where the axis begins and ends: all that is near is on it, and something ahead."""
    before = [row.first_h for row in rows]
    after = [it for row in rows for it in (row.signed or (0, 0))[1:]]
    after += [row.closes[1] for row in rows if row.closes is not None]
    start = max(-_BACK_H, min([*before, -_EDGE_H]) - _EDGE_H)
    end = min(_AHEAD_H, max([*after, _LEAST_AHEAD_H]) + _EDGE_H)
    return start, end


def _ticks(clock: _Clock, start_h: float, end_h: float) -> Iterator[Tick]:
    """Mark each midnight with its day, and each noon."""
    first = clock.there(clock.now_ms + round(start_h * _HOUR_MS))
    day = datetime(first.year, first.month, first.day, tzinfo=clock.zone)
    while True:
        for hour in (0, 12):
            there = day.replace(hour=hour)
            at = clock.h(round(there.timestamp() * 1000))
            if at > end_h:
                return
            if at >= start_h:
                yield Tick(at, "" if hour else f"{there:%a} {there.day}")
        day += timedelta(days=1)


def _cells(one: SiloAgeing, clock: _Clock) -> tuple[str, ...]:
    silo, estimate = one.silo, one.estimate
    signed = (silo.ready_ms, silo.use_by_ms)
    return (
        silo.place,
        f"{_ages(one)}, held" if _is_held(one) else _ages(one),
        *("not signed" if end is None else clock.at(end) for end in signed),
        *(("unknown", "unknown") if estimate is None else
          (clock.edge(estimate.opens), clock.edge(estimate.closes))),
        ", ".join(ESTIMATE_WORDS[state] for state in one.states),
    )  # fmt: skip


def _part(one: SiloAgeing, units: System) -> SiloPart:
    place = one.silo.place
    grades = []
    for grade in one.grades:
        at = f"{place}-{grade.grade}".lower()
        lines = (replace(line, key=f"{at}-{line.key}") for line in told_all(grade.lines, units))
        grades.append(GradePart(grade.grade, tuple(lines)))
    return SiloPart(place, f"of-{place}", _ages(one), silo_said(one), tuple(grades))
