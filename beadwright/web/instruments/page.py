"""What the pages of instruments show.

Read :func:`tool` and :func:`look_page`.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from beadwright.plant.calibrations import Instrument, until
from beadwright.plant.gauge_studies.crossed_words import STATES as VERDICTS
from beadwright.plant.gauge_studies.recorded import FIGURES, RecordedStudy
from beadwright.plant.keyed_in_units import value_in
from beadwright.plant.look_back import LookBack, LotBack, Standing, Taken, found_wrong
from beadwright.plant.look_back.words import (
    STANDING,
    LookWords,
    not_looked_at,
    pieces_of,
    taken_since,
    words_of,
)
from beadwright.plant.masses_said import figures_in
from beadwright.plant.named import Named
from beadwright.plant.words import in_runs, number
from beadwright.units import System

__all__ = [
    "STATES",
    "CalibrationRow",
    "LookPage",
    "LotPart",
    "ReadRow",
    "StudyRow",
    "TakenPage",
    "Tool",
    "calibration_rows",
    "look_page",
    "study_row",
    "taken_page",
    "tool",
]

STATES = {
    "in_time": ("good", "calibrated"),
    "due_soon": ("ask", "due soon"),
    "lapsed": ("stop", "lapsed"),
    "failed": ("stop", "failed"),
    "never": ("stop", "never calibrated"),
}
_SORTS: dict[Standing, str] = {
    "worse": "stop",
    "may": "ask",
    "unknown": "ask",
    "better": "note",
    "same": "good",
}


@dataclass(frozen=True, slots=True)
class Tool:
    """One instrument in a list."""

    name: str
    what: str
    place: str
    every: str
    sort: str
    state: str
    until: str
    days: str
    """How long that is past, or that it is soon; empty where it is neither."""
    done: str
    """When it was last calibrated."""
    errors: str
    """What it was then found with, and left with."""
    certificate: str
    wrong: bool
    """Whether a calibration found it wrong: there is something to look back on."""


@dataclass(frozen=True, slots=True)
class LotPart:
    """One lot that the instrument bears on."""

    lot: str
    sort: str
    state: str
    made: str
    changes: tuple[tuple[str, str, str], ...]
    released: tuple[str, ...]
    pieces: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LookPage:
    """What an instrument had read."""

    words: LookWords
    worst: str
    """How the answer is to be seen: ``stop``, ``ask`` or ``good``."""
    lots: tuple[LotPart, ...]
    same: str
    to_hold: tuple[str, ...]
    reason: str
    """What a hold on them would say."""
    not_looked_at: str


@dataclass(frozen=True, slots=True)
class StudyRow:
    """One gauge study that is on record."""

    seq: int
    instrument: str
    of: str
    done: str
    by: str
    sort: str
    state: str
    figures: tuple[tuple[str, str], ...]
    """What each is, and its value with its interval."""
    tolerance: str
    """What the share is of, and where it stands; empty where none was taken."""
    sheet: str
    name: str


@dataclass(frozen=True, slots=True)
class CalibrationRow:
    """One calibration: its texts under the table's titles, and its entry."""

    cells: tuple[str, ...]
    seq: int


@dataclass(frozen=True, slots=True)
class ReadRow:
    """One reading that an instrument took."""

    at: str
    seq: int
    lot: str
    step: str
    """The step it is of, where it is of no lot."""
    piece: str
    what: str
    value: str
    by: str
    voided_by: int | None


@dataclass(frozen=True, slots=True)
class TakenPage:
    """Readings of an instrument, one by one, the newest first."""

    since: str
    """From when, and why from then."""
    rows: tuple[ReadRow, ...]
    next: str
    """Where the next part begins, as its address says it; empty where there is none."""


def calibration_rows(one: Instrument, named: Named) -> tuple[CalibrationRow, ...]:
    """Give an instrument's calibrations, the newest first."""
    return tuple(
        CalibrationRow(
            (str(each.done), "passed" if each.passed else "failed", each.as_found or "not stated",
             each.as_left or "not stated", each.certificate, str(until(each, one.every) or "–"),
             named(each.by)),
            each.seq,
        )
        for each in reversed(one.calibrations)
    )  # fmt: skip


def taken_page(found: Taken, named: Named, zone: ZoneInfo, units: System) -> TakenPage:
    """Give what an instrument read, in units of choice."""
    rows = tuple(
        ReadRow(
            _time(one.at_ms, zone), one.seq, one.lot, "" if one.lot else one.step, one.specimen,
            one.characteristic.replace("_", " "), value_in(one, units), named(one.by),
            one.voided_by,
        )
        for one in found.readings
    )  # fmt: skip
    return TakenPage(taken_since(found), rows, ".".join(map(str, found.next or ())))


def study_row(one: RecordedStudy, named: Named) -> StudyRow:
    """Give a recorded study as an instrument's page shows it."""
    sort, state = VERDICTS[one.band]
    source = f" ({one.tolerance_source})" if one.tolerance_source else ""
    of, by = one.of.replace("_", " "), named(one.by)
    return StudyRow(
        one.seq, one.instrument, of, str(one.done), by, sort, state,
        tuple((FIGURES[name], it.words) for name, it in one.figures.items()),
        f"{one.tolerance.replace('..', ' to ')}{source}" if one.tolerance else "",
        one.sheet, one.name,
    )  # fmt: skip


def tool(one: Instrument) -> Tool:
    """Give an instrument as a list shows it."""
    sort, state = STATES[one.state]
    due = one.status.due
    wrong = found_wrong(one.calibrations) is not None
    last = one.status.last
    errors = [] if last is None else [last.as_found, last.as_left]
    return Tool(
        one.name, one.what, one.place, one.every, sort, state,
        "" if due is None else str(due),
        _days(one),
        "" if last is None else str(last.done),
        ", ".join(text or "not stated" for text in errors) if any(errors) else "",
        "" if last is None else last.certificate,
        wrong,
    )  # fmt: skip


def _days(one: Instrument) -> str:
    days = one.in_days
    if days is None or one.state == "in_time":
        return ""
    if days < 0:
        return f"{number(-days, 'day')} overdue"
    return "today" if days == 0 else f"in {number(days, 'day')}"


def look_page(back: LookBack, named: Named, zone: ZoneInfo, units: System) -> LookPage:
    """Give what is shown of a look back, in the units of who reads it."""
    words = words_of(back)
    told = [one for one in back.lots if one.standing != "same"]
    worst = "stop" if back.of("worse") else "ask" if back.to_hold else "good"
    same = in_runs([one.lot for one in back.of("same")])
    return LookPage(
        words, worst, tuple(_lot(one, named, zone, units) for one in told), same, back.to_hold,
        words.found, not_looked_at(back),
    )  # fmt: skip


def _lot(one: LotBack, named: Named, zone: ZoneInfo, units: System) -> LotPart:
    made = f"{one.product}, made {_time(one.made_at_ms, zone)}; {number(one.readings, 'reading')}"
    return LotPart(
        one.lot,
        _SORTS[one.standing],
        STANDING[one.standing],
        made if one.readings else f"{made}; what was read of another lot speaks for it",
        tuple(
            (
                each.name,
                figures_in(each.as_read, units, masses=True, alike=True),
                figures_in(each.without, units, masses=True, alike=True),
            )
            for each in one.changes
        ),
        tuple(_released(one, named, zone)) or ("nobody released it",),
        pieces_of(one),
    )


def _released(one: LotBack, named: Named, zone: ZoneInfo) -> Iterable[str]:
    for each in one.approvals:
        yield f"released {_time(each.at_ms, zone)} by {named(each.by)}"


def _time(at_ms: int, zone: ZoneInfo) -> str:
    return f"{datetime.fromtimestamp(at_ms / 1000, zone):%Y-%m-%d %H:%M}"
