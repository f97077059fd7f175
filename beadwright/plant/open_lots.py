"""Answers on the block lots in the plant, kept while nothing that bears on them is entered.

Read :func:`answered`, then :func:`_stale`. An answer follows from the record. A new step that comes
after everything that touched its lots, and new readings, change the answers of few lots, and which
these are is told here; of all else that may be entered nothing is presumed, and every lot is
assessed anew: after a setting, a decision, a correction, a late step, a nonconformity. So it is
once an hour, whatever came, because who must release a lot is a matter of time.
"""

from __future__ import annotations

from collections.abc import Collection, Container, Iterable, Mapping
from dataclasses import dataclass

from beadwright.ledger import lots, marked, settings, stock
from beadwright.ledger.news import KeptAnswer, News
from beadwright.ledger.pressed import TOLD
from beadwright.ledger.settings import Settings
from beadwright.plant import first_pieces
from beadwright.plant.assessment import LotAssessment
from beadwright.plant.first_pieces import FirstPiece
from beadwright.plant.plan import LOT, PERIODIC, Planbook, day_at
from beadwright.plant.release import assess
from beadwright.plant.shifts import Shifts
from beadwright.plant.tested import SHARED
from beadwright.plant.upstream import zone_of
from beadwright.plant.whereabouts import followed, reached_from
from beadwright.quality import readings
from beadwright.quality.readings import ReadingView
from beadwright.quality.versions import MARK

__all__ = ["KEPT", "Answers", "Lot", "answered"]

_HOUR_MS = 3_600_000


@dataclass(frozen=True, slots=True)
class Lot:
    """A lot as it is answered for, and what of the record that answer hangs on."""

    told: LotAssessment
    reached: frozenset[str]
    """The lot, and everything that took pieces of it."""
    first: tuple[FirstPiece, ...]


@dataclass(frozen=True, slots=True)
class Answers:
    """The lots of a plant as they are answered for, within an hour."""

    hour: int
    lots: Mapping[str, Lot]


KEPT: KeptAnswer[Answers] = KeptAnswer()
"""What is kept of each plant."""


def answered(plant_no: int, at_ms: int) -> tuple[LotAssessment, ...]:
    """Give the answers of the block lots of which something is in the plant."""
    hour = at_ms // _HOUR_MS
    found = KEPT.answer(
        plant_no,
        lambda: _answers(plant_no, {}, hour),
        lambda before, news: _renewed(plant_no, before, news, hour),
    )
    return tuple(one.told for one in found.lots.values())


def _renewed(plant_no: int, before: Answers, news: News, hour: int) -> Answers | None:
    """Answer by what is kept where nothing that bears on it came."""
    if not _of_hour(before, hour):
        return None
    if news.none:
        return before
    stale = _stale(plant_no, news, before.lots)
    if stale is None:
        return None
    kept = {code: one for code, one in before.lots.items() if code not in stale}
    return _answers(plant_no, kept, hour)


def _of_hour(answers: Answers, hour: int) -> bool:
    return answers.hour == hour


def _answers(plant_no: int, kept: Mapping[str, Lot], hour: int) -> Answers:
    """Answer for the lots in the plant: by what is kept, and of the others anew."""
    codes = stock.block_lots(plant_no)
    inside = {lot for some in marked.moulded_into(plant_no, codes).values() for lot in some}
    every = {**kept, **_assessed(plant_no, sorted(inside - kept.keys()), hour)}
    return Answers(hour, {code: every[code] for code in sorted(inside & every.keys())})


def _assessed(plant_no: int, codes: list[str], hour: int) -> dict[str, Lot]:
    if not codes:
        return {}
    found = assess(plant_no, codes, at_ms=(hour + 1) * _HOUR_MS - 1, way_back=False).lots
    into = followed(plant_no, codes)
    first = _first_pieces(plant_no, settings.load(plant_no), codes)
    return {
        one.lot: Lot(one, frozenset(reached_from(one.lot, into)), first.get(one.lot, ()))
        for one in found
    }


def _first_pieces(
    plant_no: int, in_force: Settings, codes: Iterable[str]
) -> dict[str, tuple[FirstPiece, ...]]:
    if not in_force.names("first_piece"):
        return {}
    return first_pieces.of_lots(plant_no, in_force, lots.makings(plant_no, codes))


def _stale(plant_no: int, news: News, kept: Mapping[str, Lot]) -> set[str] | None:
    """Give the lots whose answer news may change; None where it may be any.

    Those are: lots that steps touch, lots of which pieces are in what they touch, lots that were
    read; where the plan lets a lot speak for others, those made on the same days; where first
    pieces are asked for, those that now wait for another one. Any may be where a periodic test is
    read, or a lot it was read of is added to, and where a correction restates readings.
    """
    in_force = settings.load(plant_no)
    plan = Planbook(in_force)
    taken = _read(plant_no, news)
    periodic = plan.characteristics(PERIODIC)
    if any(one.characteristic in periodic or MARK in one.facts for one in taken):
        return None
    if periodic and _periodic_of(plant_no, news.added, periodic):
        return None
    touched = news.runs | {one.lot for one in taken if one.lot}
    stale = {code for code, one in kept.items() if code in touched or one.reached & news.lots}
    if every := plan.made_every(LOT) & SHARED:
        stale |= _of_a_day(plant_no, touched, kept, (Shifts(in_force, zone_of(in_force)), every))
    if news.kinds & TOLD:
        first = _first_pieces(plant_no, in_force, kept)
        stale |= {code for code, one in kept.items() if first.get(code, ()) != one.first}
    return stale


def _read(plant_no: int, news: News) -> tuple[ReadingView, ...]:
    return readings.of_entries(plant_no, news.readings)


def _periodic_of(plant_no: int, codes: Iterable[str], periodic: Collection[str]) -> bool:
    """Whether a periodic test was read of any of some lots."""
    said = readings.of_lots(plant_no, codes).values()
    return any(one.characteristic in periodic for some in said for one in some)


def _of_a_day(
    plant_no: int,
    touched: Iterable[str],
    kept: Mapping[str, Lot],
    by: tuple[Shifts, Container[str]],
) -> set[str]:
    """Give the lots made on a day on which any of some others was made in part."""
    shifts, every = by
    makings = lots.makings(plant_no, touched).values()
    days = shifts.days_about((one.at_ms for some in makings for one in some), every)
    return {
        code for code, one in kept.items() if day_at(one.told.made_at_ms or 0, shifts.zone) in days
    }
