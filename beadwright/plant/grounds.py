"""What a reading's entry rests on and leads to: instrument, calibration, method, limits.

Read :func:`grounds_of`. An inspector follows a result by it: with what it was read, whether that
was fit then, how sure it is, by which method, and which limit it is judged by.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from beadwright.errors import BeadwrightError
from beadwright.lab.methods import METHODS
from beadwright.ledger import settings
from beadwright.ledger.draft import ReadingsDraft
from beadwright.plant import calibrations
from beadwright.plant.calibrations import Calibrations, by_instrument
from beadwright.plant.departed import departed, unrecorded
from beadwright.plant.doubted import found_wrong_since, how_wrong
from beadwright.plant.gauge_studies.written import figures
from beadwright.plant.history import EntryView
from beadwright.plant.limit_rows import source_of
from beadwright.plant.opening import Plant
from beadwright.plant.release import assess
from beadwright.plant.verdicts import LimitResult
from beadwright.quality import readings
from beadwright.quality.characteristics import kind_of
from beadwright.quality.readings import ReadingView
from beadwright.units import System, factor, shown_unit

__all__ = ["Ground", "JudgedBy", "grounds_of"]

_Judged = tuple[str, LimitResult, frozenset[tuple[int, int]]]
"""A lot, a limit that it is judged by, and the readings that this rests on."""

_FOUND = {"met": "met", "not_met": "not met", "not_enough_evidence": "open"}


@dataclass(frozen=True, slots=True)
class JudgedBy:
    """A limit that a reading is judged by, with what was found, and where the limit comes from."""

    limit: str
    found: str
    source: str
    entry: int
    """The entry of the setting that states it; 0 where nobody knows."""
    lot: str


@dataclass(frozen=True, slots=True)
class Ground:
    """What readings of one characteristic rest on, that one instrument took by one method."""

    what: str
    instrument: str
    listed: bool
    """Whether the plant lists the instrument, so that it has a page."""
    state: str
    """How it stood when it was read; empty where no instrument takes such a reading."""
    calibration: int
    """The entry of its calibration then; 0 where there was none."""
    study: int
    """The entry of the gauge study that its uncertainty holds; 0 where it holds none."""
    uncertainty: str
    method: str
    departures: tuple[str, ...]
    judged_by: tuple[JudgedBy, ...]
    found_wrong: tuple[tuple[str, int], ...] = ()
    """How later calibrations found the instrument wrong, each with its entry."""


def grounds_of(plant: Plant, view: EntryView, units: System) -> tuple[Ground, ...]:
    """Give what each sort of reading of an entry rests on; none where it holds no readings."""
    if not isinstance(view.entered.draft, ReadingsDraft):
        return ()
    taken = readings.of_entries(plant.no, [view.entered.seq])
    fit = calibrations.load(plant.no, settings.load(plant.no))
    limits = tuple(_limits(plant, taken))
    groups: dict[tuple[str, str, str], list[ReadingView]] = {}
    for one in taken:
        groups.setdefault((one.characteristic, one.instrument, one.method), []).append(one)
    return tuple(
        replace(_ground(some, fit, limits, units), found_wrong=_wrong_since(plant, fit, some))
        for some in groups.values()
    )


def _wrong_since(
    plant: Plant, fit: Calibrations, some: Sequence[ReadingView]
) -> tuple[tuple[str, int], ...]:
    found = found_wrong_since(fit, some, plant.zone)
    return tuple((f"{one.instrument} {how_wrong(one)}", one.seq) for one, _ in found)


def _limits(plant: Plant, taken: Iterable[ReadingView]) -> Iterator[_Judged]:
    """Give every limit that the lots read are judged by, and the readings that it rests on."""
    for lot in dict.fromkeys(one.lot for one in taken if one.lot):
        try:
            found = assess(plant.no, [lot], way_back=False)
        except BeadwrightError:  # it holds no blocks: it is judged by no limit
            continue
        for one in found.lots:
            yield from ((one.lot, limit, frozenset(limit.readings)) for limit in one.limits)
            proofs = (test.proof for test in one.tests if test.proof is not None)
            yield from (
                (one.lot, limit, frozenset(proof.entries))
                for proof in proofs
                if not proof.report
                for limit in proof.results
            )


def _ground(
    some: Sequence[ReadingView],
    fit: Calibrations,
    limits: Iterable[_Judged],
    units: System,
) -> Ground:
    one = some[0]
    status = fit.status_of(one)
    last = None if status is None else status.last
    state = "" if status is None else status.words
    if status is None and by_instrument(one):
        state = "no instrument of the plant's list" if one.instrument else "nobody says with what"
    ids = {(each.seq, each.line) for each in some}
    told = departed(some)
    method = METHODS.get(one.characteristic)
    kept = [each for each in fit.parted(some)[0] if each.u_si is not None]
    study = fit.study(one)
    return Ground(
        one.characteristic.replace("_", " "),
        one.instrument,
        status is not None,
        state,
        0 if last is None else last.seq,
        0 if study is None else study.seq,
        _uncertainty(kept, units),
        one.method or ("" if method is None else method.title),
        (
            *(each.departure.what for each in told if each.was_recorded),
            *(f"not recorded: {text.partition(': ')[2]}" for text in unrecorded(told)),
        ),
        tuple(_judged(lot, limit) for lot, limit, rest in limits if ids & rest),
    )


def _uncertainty(kept: Sequence[ReadingView], units: System) -> str:
    """Give the standard uncertainty of each reading, the largest where they differ."""
    worst = max(kept, key=lambda one: one.u_si or 0.0, default=None)
    kind = None if worst is None else kind_of(worst.characteristic)
    if worst is None or worst.u_si is None or kind in {None, "temperature"}:
        return ""
    unit = shown_unit(kind, units)
    text = f"{figures(worst.u_si / float(factor(unit, kind)), 3)} {unit}"
    return text if len(kept) == 1 else f"{text} at most"


def _judged(lot: str, one: LimitResult) -> JudgedBy:
    limit = one.limit
    name = limit.characteristic.replace("_", " ")
    words = f"{name}, {limit.statistic}: {limit.bound} {one.bound}"
    found = f"{_FOUND[one.finding]}{f', found {one.value}' if one.value else ''}"
    return JudgedBy(words, found, source_of(one), limit.set_by, lot)
