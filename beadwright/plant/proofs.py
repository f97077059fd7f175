"""What a planned test's result comes from, and how it was judged by the limits in force.

Read :class:`Proof` first; :func:`of_report` and :func:`of_readings` make one.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from beadwright.errors import UnitError
from beadwright.plant.coverage import State
from beadwright.plant.kept_out import KeptOut
from beadwright.plant.limits import LimitInForce
from beadwright.plant.pieces import Value, by_piece, gathered
from beadwright.plant.plan import Kind, PlanRow
from beadwright.plant.reports import Report, same_method
from beadwright.plant.uncertainty import in_si
from beadwright.plant.verdicts import LimitResult, judged
from beadwright.plant.weighings import Evidence
from beadwright.quality.characteristics import CHARACTERISTICS, DIMENSIONS, Scale, kind_of
from beadwright.quality.readings import ReadingView
from beadwright.units import parse_number, to_si

__all__ = ["NO_LIMIT", "PlannedTest", "Proof", "conditioned", "of_readings", "of_report"]

NO_LIMIT = "no limit in force says what it must be"
"""Why a figure decides nothing."""

_FACT = "conditioned_h"


@dataclass(frozen=True, slots=True)
class Proof:
    """One result of a test: where it is written, by whom it was found, when, how it was judged."""

    report: str
    """Number of the report; empty of readings of the plant's own."""
    lot: str
    """The lot that was read; empty of a report."""
    laboratory: str
    method: str
    specimens: int
    result: str
    """As the report states it; of readings, as the first limit judged them."""
    sampled: date
    passed: bool | None
    """None where it decides nothing; ``why`` says why."""
    why: str = ""
    tested: date | None = None
    issued: date | None = None
    expires: date | None = None
    file: str = ""
    entries: tuple[tuple[int, int], ...] = ()
    """Entry, and number within it, of each reading; of a report its entry and 0."""
    results: tuple[LimitResult, ...] = ()
    """The limits in force, each with what it says of the result."""
    kept_out: KeptOut | None = None
    """Readings of the lot that would have decided, had they counted."""

    @property
    def source(self) -> str:
        """Where it is written, in words."""
        if not self.report:
            return f"readings of lot {self.lot}"
        return f"report {self.report}, {self.laboratory}"


@dataclass(frozen=True, slots=True)
class PlannedTest:
    """A test that the plan, or a limit, asks of a lot; and the result that answers for the lot."""

    plan: str
    """Name of the plan's row, or of the limit that asks."""
    characteristic: str
    evidence: Kind
    every: str
    state: State
    sentence: str
    """How it stands, in words."""
    proof: Proof | None = None
    until: date | None = None
    """Last day of making that the proof covers; None: without an end."""
    limits: tuple[LimitInForce, ...] = ()
    """What the result has to meet; none where a word such as ``pass`` settles it."""
    kept_out: KeptOut | None = None
    """Readings that would have answered it, had they counted; None where it has other gaps."""


def of_report(report: Report, row: PlanRow, limits: Sequence[LimitInForce]) -> Proof:
    """Judge a report for a row of the plan by the limits in force.

    A result by another method decides nothing, nor does one of specimens that were, by the report
    itself, conditioned for less than the plan asks for; where it says nothing of that, the
    laboratory has seen to it. One that passes must rest on as many specimens as the plan asks for,
    where the report says on how many; one that fails needs no more.
    """
    passed, results, why = _outcome(report, limits)
    if not same_method(row.method, report.method):
        passed, why = None, f"its method is {report.method or 'not stated'}, not {row.method}"
    elif report.conditioned_h is not None and report.conditioned_h < row.conditioning_h:
        passed = None
        why = f"its specimens were conditioned {report.conditioned_h} h of {row.conditioning_h} h"
    elif passed and report.specimens and report.specimens < row.specimens:
        passed, why = None, f"it rests on {report.specimens} of {row.specimens} specimens"
    return Proof(
        report.number, "", report.laboratory, report.method, report.specimens, report.result,
        report.sampled, passed, why, report.tested, report.issued, report.expires, report.file,
        ((report.seq, 0),), results,
    )  # fmt: skip


def _outcome(
    report: Report, limits: Sequence[LimitInForce]
) -> tuple[bool | None, tuple[LimitResult, ...], str]:
    known = CHARACTERISTICS.get(report.characteristic)
    if report.result in {"pass", "fail"}:
        return report.result == "pass", (), ""
    kind = kind_of(report.characteristic)
    if kind is None or (known is not None and known.scale is Scale.GRADE):
        return None, (), "nothing here judges such a result"
    number, _, unit = report.result.partition(" ")
    si = float(to_si(parse_number(number, decimal="."), unit, kind))
    # Dimensions are judged a day after; what a laboratory measures is older.
    state = "dry" if report.characteristic in DIMENSIONS else "specimen"
    u_si = in_si(report.uncertainty, report.characteristic, si)
    value = Value(report.characteristic, si, u_si, state, report.number, ())
    one = [replace(limit, specimens=1) for limit in limits]
    return _judged(report.characteristic, [value], one)


def _judged(
    characteristic: str, values: list[Value], limits: Iterable[LimitInForce]
) -> tuple[bool | None, tuple[LimitResult, ...], str]:
    here = Evidence(values={characteristic: values})
    results = tuple(judged(limit, here) for limit in limits)
    if not results:
        return None, (), NO_LIMIT
    if any(one.finding == "not_met" for one in results):
        return False, results, ""
    missing = next((one.missing for one in results if one.finding != "met"), "")
    return (None if missing else True), results, missing


def conditioned(reading: ReadingView, hours: int) -> bool:
    """Whether a reading says that its specimen was conditioned for so many hours."""
    if not hours:
        return True
    try:
        return parse_number(reading.facts.get(_FACT, ""), decimal=".") >= Decimal(hours)
    except UnitError:
        return False


def of_readings(
    lot: str,
    day: date,
    readings: Iterable[ReadingView],
    row: PlanRow,
    limits: Sequence[LimitInForce],
) -> Proof | None:
    """Judge the plant's own readings of a lot as a test of its product; None where none are fit."""
    fit = [
        one
        for one in readings
        if one.characteristic == row.characteristic
        and conditioned(one, row.conditioning_h)
        and (not one.method or same_method(row.method, one.method))
    ]
    if not fit:
        return None
    known = CHARACTERISTICS.get(row.characteristic)
    entries = tuple((one.seq, one.line) for one in fit)
    if known is not None and known.scale is Scale.EITHER:
        pieces = {one.specimen or str(number) for number, one in enumerate(fit)}
        passed, why = _of_words(fit, len(pieces), row.specimens)
        words = "fail" if any(one.value == "fail" for one in fit) else "pass"
        return Proof("", lot, "", row.method, len(pieces), words, day, passed, why, entries=entries)
    values = gathered(fit)
    need = [replace(one, specimens=max(one.specimens, row.specimens)) for one in limits]
    passed, results, why = _judged(row.characteristic, values, need)
    result = next((one.value for one in results if one.value), "")
    method = next((one.method for one in fit if one.method), row.method)
    return Proof(
        "", lot, "", method, len(by_piece(values)), result, day, passed, why,
        entries=entries, results=results,
    )  # fmt: skip


def _of_words(fit: Iterable[ReadingView], pieces: int, needed: int) -> tuple[bool | None, str]:
    if any(one.value == "fail" for one in fit):
        return False, ""
    if pieces < needed:
        return None, f"{pieces} of {needed} specimens"
    return True, ""
