"""What is to be known of the readings that an answer rests on: what took them, entered when.

Read :func:`of_lots`. Nothing here decides: a reading whose instrument was not fit, or that the
plant's rule keeps out, never gets so far (``plant.calibrations``).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from zoneinfo import ZoneInfo

from beadwright.ledger import entered
from beadwright.ledger.entered import Mark
from beadwright.ledger.settings import Settings
from beadwright.plant import own_time
from beadwright.plant.calibrations import Calibration, Calibrations
from beadwright.plant.plan import day_at
from beadwright.plant.tested import Judgement
from beadwright.plant.words import number
from beadwright.quality import readings
from beadwright.quality.readings import ReadingView

__all__ = ["LATE_DAYS", "EnteredLate", "LateCalibration", "Provenance", "Unproven", "of_lots"]

LATE_DAYS = 7
"""Days from taking a reading to entering it, beyond which that is told. Common practice, no source.
"""

_LATE_MS = LATE_DAYS * 86_400_000

_Asked = tuple[str, Judgement, int]
"""A lot, how it was judged, and the entry that brought it into the record."""


@dataclass(frozen=True, slots=True)
class LateCalibration:
    """A calibration that readings count by, and that was entered after them."""

    calibration: Calibration
    entered: date
    characteristics: tuple[str, ...]
    ids: tuple[tuple[int, int], ...]
    """The readings."""


@dataclass(frozen=True, slots=True)
class EnteredLate:
    """Readings of one day that were entered on one day, long after."""

    taken: date
    entered: date
    by: str
    """Who took them, as was said."""
    characteristics: tuple[str, ...]
    ids: tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class Unproven:
    """Readings that count though nothing shows that what took them was fit."""

    instrument: str
    """One that the plant does not list; empty where none is named."""
    characteristics: tuple[str, ...]
    ids: tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class Provenance:
    """What is to be known of the readings that one lot's answer rests on."""

    calibrations: tuple[LateCalibration, ...] = ()
    unproven: tuple[Unproven, ...] = ()
    late: tuple[EnteredLate, ...] = ()

    @property
    def reasons(self) -> Iterator[tuple[str, str, str]]:
        """Say each: the code of a reason, a sentence, where it is written."""
        for one in self.calibrations:
            done = one.calibration
            what = (
                f"{_counted(one.ids, one.characteristics)} count{_s(one.ids)} by calibration"
                f" {done.certificate or 'without a certificate'} of {done.instrument}, done"
                f" {done.done}, which {done.by or 'nobody named'} entered later, on {one.entered}"
            )
            yield "calibrated_late", what, f"entry {done.seq}"
        for none in self.unproven:
            read = _counted(none.ids, none.characteristics)
            what = (
                f"{read} name{_s(none.ids)} no instrument: nothing shows that what was used was fit"
            )
            if none.instrument:
                what = (
                    f"{read}, taken with {none.instrument}, which the plant does not list:"
                    " nothing shows that it was fit"
                )
            yield "instrument_unproven", what, "the lot's readings"
        for late in self.late:
            read = _counted(late.ids, late.characteristics)
            by = f" by {late.by}" if late.by else ""
            what = f"{read}, taken {late.taken}{by}, entered {late.entered}"
            seqs = sorted({seq for seq, _ in late.ids})
            several = "entries" if len(seqs) > 1 else "entry"
            yield "entered_late", what, f"{several} {', '.join(map(str, seqs))}"


def _s(ids: Sequence[object]) -> str:
    return "" if len(ids) > 1 else "s"


def _counted(ids: Sequence[tuple[int, int]], names: Sequence[str]) -> str:
    read = ", ".join(name.replace("_", " ") for name in names)
    return f"{number(len(ids), 'reading')} ({read})"


def of_lots(
    plant: tuple[int, str],
    asked: Sequence[_Asked],
    said: Mapping[str, Sequence[ReadingView]],
    known: tuple[Calibrations, ZoneInfo, Settings],
) -> dict[str, Provenance]:
    """Tell of lots what is to be known of the readings that their limits and tests rest on.

    ``plant`` is its number and code; ``said`` holds readings that are read already.
    """
    fit, zone, in_force = known
    rests = {lot: _rests(told) for lot, told, _ in asked}
    views = {(one.seq, one.line): one for some in said.values() for one in some}
    more = {seq for some in rests.values() for seq, line in some if (seq, line) not in views}
    views |= {(one.seq, one.line): one for one in readings.of_entries(plant[0], more)}
    taken = {
        lot: [views[one] for one in sorted(some) if one in views] for lot, some in rests.items()
    }
    # What no limit rests on, as a wet block's mass, holds its lot too while it is set aside.
    late = {lot: fit.late(_every(some, said.get(lot, ()))) for lot, some in taken.items()}
    seqs = {one.seq for some in taken.values() for one in some}
    seqs |= {one.seq for some in late.values() for one in some}
    marks = entered.marks(plant[1], seqs.union(born for *_, born in asked))
    births = {lot: marks.get(born) for lot, _, born in asked}
    tardy = {lot: _tardy(some, marks, births[lot]) for lot, some in taken.items()}
    clock = {one.seq: marks[one.seq].recorded_at for some in tardy.values() for one in some}
    by_plant = own_time.came(plant, in_force, clock)
    return {
        lot: Provenance(
            tuple(_calibrated(late[lot], marks, zone)),
            tuple(_unproven(fit.unproven(taken[lot]))),
            tuple(_late(tardy[lot], by_plant, zone)),
        )
        for lot, *_ in asked
    }


def _every(rests: Sequence[ReadingView], said: Sequence[ReadingView]) -> Iterator[ReadingView]:
    """Give the readings that a lot's answer rests on, and all others that stand of it."""
    seen = {(one.seq, one.line) for one in rests}
    yield from rests
    for one in said:
        if one.voided_by is None and (one.seq, one.line) not in seen:
            yield one


def _calibrated(
    late: Mapping[Calibration, Sequence[ReadingView]], marks: Mapping[int, Mark], zone: ZoneInfo
) -> Iterator[LateCalibration]:
    for one, some in late.items():
        day = day_at(marks[one.seq].recorded_at, zone)
        yield LateCalibration(one, day, _names(some), _ids(some))


def _unproven(some: Iterable[ReadingView]) -> Iterator[Unproven]:
    found: dict[str, list[ReadingView]] = {}
    for one in some:
        found.setdefault(one.instrument, []).append(one)
    for name, each in sorted(found.items()):
        yield Unproven(name, _names(each), _ids(each))


def _rests(told: Judgement) -> set[tuple[int, int]]:
    """Give the readings that a judgement rests on, those of other lots that answer for it too."""
    proofs = [one.proof for one in told.tests if one.proof is not None and not one.proof.report]
    return {
        *(one for result in told.limits for one in result.readings),
        *(one for proof in proofs for one in proof.entries),
    }


def _tardy(
    taken: Iterable[ReadingView], marks: Mapping[int, Mark], born: Mark | None
) -> list[ReadingView]:
    """Give readings entered long after they were taken, and not together with their lot.

    A plant that reads its old sheets at once enters all of it late, and nothing of it by itself:
    what came with the lot, in its import or by its account in the same week, is not told.
    """
    found = []
    for one in taken:
        mark = marks[one.seq]
        whole = (
            born is not None
            and mark.account == born.account
            and mark.recorded_at - born.recorded_at <= _LATE_MS
        )
        if mark.recorded_at - one.at_ms > _LATE_MS and not whole:
            found.append(one)
    return found


def _late(
    tardy: Iterable[ReadingView], came: Mapping[int, int], zone: ZoneInfo
) -> Iterator[EnteredLate]:
    """Tell of those that are late by the plant's own time too, by the day and by who took them."""
    found: dict[tuple[date, date, str], list[ReadingView]] = {}
    for one in tardy:
        if came[one.seq] - one.at_ms > _LATE_MS:
            days = (day_at(one.at_ms, zone), day_at(came[one.seq], zone))
            found.setdefault((*days, one.by), []).append(one)
    for key, some in sorted(found.items()):
        yield EnteredLate(*key, _names(some), _ids(some))


def _names(some: Iterable[ReadingView]) -> tuple[str, ...]:
    return tuple(sorted({one.characteristic for one in some}))


def _ids(some: Iterable[ReadingView]) -> tuple[tuple[int, int], ...]:
    return tuple((one.seq, one.line) for one in some)
