"""Lots judged twice: by what was read, and by what would have been read without the error.

Read :func:`rejudged`. Each is judged by the limits and the plan in force when it was made, as an
assessment judges it; holds, nonconformities and approvals are the same either way and not asked.
Nor is a limit or a planned test on what the error says nothing of: it is answered alike.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from zoneinfo import ZoneInfo

from beadwright.ledger import lots
from beadwright.ledger.settings import Settings
from beadwright.plant import timelines
from beadwright.plant.bases import basis_of
from beadwright.plant.calibrations import Calibrations
from beadwright.plant.limits import LimitInForce, Rulebook, rulebook
from beadwright.plant.look_back.answer import Change
from beadwright.plant.lot_tests import Lot
from beadwright.plant.plan import Planbook
from beadwright.plant.proofs import PlannedTest
from beadwright.plant.shifts import Shifts
from beadwright.plant.tested import Judgement, Tests
from beadwright.plant.verdicts import Finding, LimitResult, judged, named
from beadwright.plant.weighings import Evidence, evidence
from beadwright.quality import readings
from beadwright.quality.characteristics import CHARACTERISTICS, STATES
from beadwright.quality.readings import ReadingView

__all__ = ["Asked", "Truth", "rejudged"]

Truth = Callable[[ReadingView], ReadingView]
"""Gives a reading as it would have been."""

Asked = tuple[Settings, Calibrations, ZoneInfo, Mapping[str, Sequence[lots.Making]]]
"""What is in force, the calibrations, the plant's zone, and the makings of the lots."""

_WEIGHED = frozenset(
    {
        *STATES.values(),
        *("density", "foam_mass", "block_mass"),
        *(name for name in CHARACTERISTICS if name.startswith("specimen_")),
    }
)
"""What densities and masses net of water are worked out from, and those: one moves the others."""

_Readings = Mapping[str, Sequence[ReadingView]]
_GOOD: frozenset[str] = frozenset({"met", "covers"})
_BAD: frozenset[str] = frozenset({"not_met", "failed"})


@dataclass(frozen=True, slots=True)
class _Known:
    views: Mapping[str, lots.LotView]
    makings: Mapping[str, Sequence[lots.Making]]
    rules: Rulebook
    plan: Planbook
    samples: timelines.Samples
    zone: ZoneInfo
    shifts: Shifts
    only: frozenset[str]
    """Characteristics that are asked about."""


def rejudged(
    plant_no: int, asked: Asked,
    views: Mapping[str, lots.LotView], names: frozenset[str], truths: Sequence[Truth],
) -> dict[str, tuple[tuple[Change, ...], ...]]:  # fmt: skip
    """Give what is answered otherwise without the error, lot by lot; nothing where nothing is.

    ``names``: characteristics of which the error says something. ``truths``: what it may be; of
    each there is an answer.
    """
    in_force, fit, zone, makings = asked
    only = names | _WEIGHED if names & _WEIGHED else names
    plan = Planbook(in_force, only)
    samples = timelines.load(plant_no, plan, fit, zone)
    rules, shifts = rulebook(plant_no, in_force), Shifts(in_force, zone)
    known = _Known(views, makings, rules, plan, samples, zone, shifts, only)
    taken = readings.of_lots(plant_no, views, only=only)
    as_read = {code: fit.parted(taken.get(code, ()))[0] for code in views}
    once = _Once()
    before = _judged(known, as_read, once)
    after = [_without(known, as_read, once, truth) for truth in truths]
    return {
        code: tuple(tuple(_changes(before[code], one[code])) for one in after) for code in before
    }


def _without(known: _Known, as_read: _Readings, once: _Once, truth: Truth) -> dict[str, Judgement]:
    """Judge lots by what would have been read."""
    samples = known.samples
    own = [replace(one, readings=tuple(map(truth, one.readings))) for one in samples.own]
    known = replace(known, samples=timelines.Samples(samples.reports, own, known.zone))
    return _judged(known, {code: tuple(map(truth, some)) for code, some in as_read.items()}, once)


class _Once:
    """Judges by a limit once where the second time the very same values stand there."""

    def __init__(self) -> None:
        self.lot = ""
        self._told: dict[tuple[str, int], tuple[object, LimitResult]] = {}

    def __call__(self, limit: LimitInForce, here: Evidence) -> LimitResult:
        key = self.lot, id(limit)
        stands = (here.values.get(limit.characteristic), here.set_aside, here.uncomputable)
        before = self._told.get(key)
        if before is not None and before[0] == stands:
            return before[1]
        told = judged(limit, here)
        self._told[key] = stands, told
        return told


def _judged(known: _Known, taken: _Readings, once: _Once) -> dict[str, Judgement]:
    """Judge lots by some readings."""
    bases, read = [], []
    for code, view in known.views.items():
        steps = known.makings.get(code, ())
        bases.append(basis_of(known.rules, (code, view.product), steps, taken[code]))
    for basis, here in zip(bases, evidence(bases), strict=True):
        steps = known.makings.get(basis.lot, ())
        product = known.views[basis.lot].product
        read.append(Lot.of((basis, here), product, steps, known.shifts.of_lot(steps)))
    read.sort(key=lambda one: known.views[one.basis.lot].no)
    tests = Tests(known.plan, known.samples, known.zone, once)
    tests.meet(read)
    found = {}
    for one in read:
        once.lot = one.basis.lot
        every = known.rules.limits(one.product, one.made_ms)
        limits = [limit for limit in every if limit.characteristic in known.only]
        found[once.lot] = tests.of(one, limits)
    return found


def _changes(before: Judgement, after: Judgement) -> Iterator[Change]:
    for was, now in zip(before.limits, after.limits, strict=True):
        if was.finding != now.finding:
            said = (_limit(was), _limit(now))
            yield Change(was.limit.name, *said, _worse(was.finding, now.finding))
    is_now = {(one.plan, one.characteristic): one for one in after.tests}
    for test in before.tests:
        then = is_now.pop((test.plan, test.characteristic), None)
        state = "missing" if then is None else then.state
        if test.state != state:
            yield Change(test.plan, _test(test), _test(then), _worse(test.state, state))
    for new in is_now.values():
        yield Change(new.plan, "judged by its own readings", _test(new), new.state not in _GOOD)


def _worse(before: str, after: str) -> bool:
    return after in _BAD or (before in _GOOD and after not in _GOOD)


def _limit(one: LimitResult) -> str:
    finding: Finding = one.finding
    if not one.value:
        return named(finding)
    return f"{one.value}, {named(finding)} ({one.limit.bound} {one.bound})"


def _test(one: PlannedTest | None) -> str:
    return "asked no more" if one is None else one.sentence
