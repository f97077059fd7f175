"""Runs at expanders and presses: which are open, since when, and what is in them.

Read :func:`open_runs`.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from beadwright.ledger import lots
from beadwright.ledger.runs import RunMark, beads_of, marks_of, marks_since

__all__ = ["LONG_H", "SOURCES", "Run", "ended_ms", "open_runs", "run_named"]

LONG_H = 16
"""Hours for which a run may be open before it shows: two shifts. Common practice, no source."""

SOURCES = ("from", "ties", "scrap_bin")
"""What a mould run may go on with another one of: silo, carton, bin."""

_DAYS_BACK = 14
_HOUR_MS = 3_600_000


@dataclass(frozen=True, slots=True)
class Run:
    """A run as it was opened, and whether it was closed."""

    code: str
    place: str
    """The expander or the press."""
    product: str
    """Empty of an expansion run."""
    opened_ms: int
    by: str
    facts: Mapping[str, str]
    """What was keyed when it was opened: silo, or product, mould, from, ties, lot …; silo,
    carton and bin of a mould run are those that it goes on with."""
    closed_ms: int | None = None
    drawn_ms: int = 0
    """Since when a mould run draws of its silo and carton."""
    mg: int = 0
    """Beads taken in and not filled into a silo yet, in mg: work in process."""

    @property
    def of_beads(self) -> bool:
        """Whether it is an expansion run."""
        return not self.product

    def long(self, at_ms: int) -> bool:
        """Whether it is still open after so many hours that it was likely forgotten."""
        return self.closed_ms is None and at_ms - self.opened_ms > LONG_H * _HOUR_MS


def run_named(plant_no: int, code: str) -> Run | None:
    """Give a run that was opened under this code, or None."""
    found = _runs(marks_of(plant_no, code))
    return _with_stock(plant_no, found)[0] if found else None


def ended_ms(plant_no: int, code: str) -> int | None:
    """Give when an expansion run ended; None of one that is open, or that nobody told of."""
    steps = beads_of(plant_no, code)
    marks = [kind for kind, _ in steps if kind in {"run_open", "run_close"}]
    if not steps or (marks and marks[-1] == "run_open"):
        return None
    return steps[-1][1]


def open_runs(plant_no: int, at_ms: int) -> tuple[Run, ...]:
    """Give the runs opened in the two weeks before a time that are not closed, oldest first."""
    marks = marks_since(plant_no, at_ms - _DAYS_BACK * 24 * _HOUR_MS)
    found = _runs(one for one in marks if one.at_ms <= at_ms)
    return tuple(_with_stock(plant_no, [one for one in found if one.closed_ms is None]))


def _runs(marks: Iterable[RunMark]) -> list[Run]:
    by_run: dict[str, list[RunMark]] = defaultdict(list)
    for mark in marks:
        by_run[mark.run].append(mark)
    return [one for some in by_run.values() if (one := _run(some)) is not None]


def _run(marks: Sequence[RunMark]) -> Run | None:
    opened = [one for one in marks if one.kind == "run_open"]
    if not opened:
        return None
    # Told to the minute, a stop within the first one lies before the opening.
    first = next((one for one in opened if one.product or "expander" in one.facts), opened[0])
    last = marks[-1]
    closed = last.at_ms if last.kind == "run_close" else None
    facts, since = dict(first.facts), first.at_ms
    for mark in marks:
        other = {name: mark.facts[name] for name in SOURCES if mark.facts.get(name)}
        if mark.kind == "run_open" and other:
            facts, since = {**facts, **other}, mark.at_ms
    return Run(first.run, first.place, first.product, first.at_ms, first.by, facts, closed, since)


def _with_stock(plant_no: int, runs: Sequence[Run]) -> list[Run]:
    held = lots.get_many(plant_no, [one.code for one in runs if one.of_beads])
    return [replace(one, mg=held[one.code].mg if one.code in held else 0) for one in runs]
