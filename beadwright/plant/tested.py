"""What a plant's plan makes of a lot: which limits its own readings meet, which tests cover it.

Read :meth:`Tests.of` first. Everything is read once for all lots; a plant that never set up a plan
is judged by lot tests alone.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from zoneinfo import ZoneInfo

from beadwright.plant.coverage import Sample, State, in_bucket
from beadwright.plant.limits import LOT_TEST, LimitInForce
from beadwright.plant.lot_tests import Lot, of_lot
from beadwright.plant.plan import LOT, PERIODIC, TYPE, WARN_DAYS, Planbook, PlanRow, day_at
from beadwright.plant.plan_words import gave, standing_of, titled
from beadwright.plant.proofs import PlannedTest, Proof
from beadwright.plant.timelines import Samples
from beadwright.plant.verdicts import LimitResult, judged, with_kept_out
from beadwright.plant.weighings import Evidence

__all__ = ["SHARED", "Judgement", "Tests", "asked_by_limits", "limits_of"]

_ASKED = {str(one): one for one in (PERIODIC, TYPE)}

SHARED = frozenset({"day", "shift"})
"""How often a lot test is made that speaks for every lot of the product made meanwhile."""


@dataclass(frozen=True, slots=True)
class Judgement:
    """A lot by its limits and its plan."""

    limits: tuple[LimitResult, ...]
    """Limits that its own readings are judged by."""
    elsewhere: tuple[str, ...]
    """Names of limits that no reading of it is judged by."""
    tests: tuple[PlannedTest, ...] = ()

    @property
    def judged_by(self) -> tuple[LimitInForce, ...]:
        """Every limit that its own readings, or tests that answer for it, are held against."""
        of_tests = (limit for test in self.tests for limit in test.limits)
        return (*(one.limit for one in self.limits), *of_tests)


@dataclass(slots=True)
class Tests:
    """The plan of a plant, its samples, and the lots that may speak for each other."""

    plan: Planbook
    samples: Samples
    zone: ZoneInfo
    judge: Callable[[LimitInForce, Evidence], LimitResult] = judged
    """Judges a lot's own readings by a limit that no plan speaks of."""
    _company: dict[object, list[Lot]] = field(default_factory=dict)
    _known: dict[object, tuple[tuple[LimitInForce, ...], Proof]] = field(default_factory=dict)
    """With the limits themselves, so that none of their ids is given away while it is a key."""

    def meet(self, lots: Iterable[Lot]) -> None:
        """Take every lot that was read, so that those of a day or a shift find each other."""
        for lot in lots:
            for by in SHARED:
                key = self._bucket(lot, by)
                if key is not None:
                    self._company.setdefault(key, []).append(lot)

    def of(self, lot: Lot, limits: Sequence[LimitInForce]) -> Judgement:
        """Judge a lot by the limits in force when it was made, and by the plan in force then."""
        if not self.plan.in_force(lot.made_ms):
            rows: tuple[PlanRow, ...] = ()
            asking: list[PlanRow] = []
        else:
            rows = self.plan.rows(lot.product, lot.made_ms)
            asking = [*rows, *asked_by_limits(lot.product, rows, limits)]
        planned = {row.characteristic for row in rows}
        found = {
            id(one): self.judge(one, lot.here)
            for one in limits
            if one.characteristic not in planned and one.evidence == LOT_TEST
        }
        tests: list[PlannedTest] = []
        for row in asking:
            mine = limits_of(row, asking, limits)
            if row.evidence != LOT:
                tests.append(self._covered(lot, row, mine))
                continue
            proof, test = self._by_lot(lot, row, mine)
            if test is not None:
                tests.append(test)
            else:
                found |= {id(one): told for one, told in zip(mine, proof.results, strict=True)}
        return Judgement(
            tuple(found[id(one)] for one in limits if id(one) in found),
            tuple(one.name for one in limits if id(one) not in found),
            tuple(tests),
        )

    def _covered(self, lot: Lot, row: PlanRow, limits: tuple[LimitInForce, ...]) -> PlannedTest:
        """Say which periodic or type test covers a lot."""
        if row.evidence == PERIODIC and row.every is None:
            words = f"{titled(row)}: no plan says how often it is tested"
            return _test(row, "missing", words, limits)
        known = self.samples.of(lot.product, row, limits)
        found = known.timeline.at(lot.made_ms)
        proof = None if found.sample is None else known.proofs[found.sample.name]
        until = None if proof is None else self.samples.ends(proof, row)
        dates = (until, day_at(lot.made_ms, self.zone))
        words = standing_of(row, found.state, proof, dates, known.undecided)
        return _test(row, found.state, words, limits, proof=proof, until=until)

    def _by_lot(
        self, lot: Lot, row: PlanRow, limits: tuple[LimitInForce, ...]
    ) -> tuple[Proof, PlannedTest | None]:
        """Judge a lot's own readings; where they decide nothing, those of its day or shift.

        Gives no test where its own readings are judged by limits: those tell.
        """
        day = day_at(lot.made_ms, self.zone)
        own = of_lot(lot, row, limits, day)
        if own.passed is None:
            test = self._by_another(lot, row, limits)
            if test is not None:
                return own, test
            own = self._kept_out(lot, row, limits, own)
        if limits:
            return own, None
        if own.passed is None:
            test = _test(row, "missing", f"{titled(row)}: {own.why}", (), proof=_some(own))
            return own, replace(test, kept_out=own.kept_out)
        state: State = "covers" if own.passed else "failed"
        return own, _test(row, state, f"{titled(row)}: {own.result} ({own.source})", (), proof=own)

    def _by_another(
        self, lot: Lot, row: PlanRow, limits: tuple[LimitInForce, ...]
    ) -> PlannedTest | None:
        """Judge a lot by another of its product, made on its day or in its shift."""
        if row.every is None or row.every.by not in SHARED:
            return None
        company = self._company.get(self._bucket(lot, row.every.by), ())
        proofs: dict[str, Proof] = {}
        samples: list[Sample] = []
        for other in company:
            proof = self._told(other, row, limits)
            if proof.passed is not None:
                proofs[other.basis.lot] = proof
                at = other.made_ms
                samples.append(Sample(other.basis.lot, proof.passed, at, at, None, at))
        found = in_bucket(sorted(samples, key=lambda one: (one.first_ms, one.name)))
        if found.sample is None:
            return None
        proof = proofs[found.sample.name]
        words = f"{titled(row)}: {gave(proof)} speaks for the {row.often}"
        return _test(row, found.state, words, limits, proof=proof, until=proof.sampled)

    def _kept_out(
        self, lot: Lot, row: PlanRow, limits: tuple[LimitInForce, ...], own: Proof
    ) -> Proof:
        """Say of what nothing was read of a lot for which lot of its day or shift it was."""
        if own.specimens or own.kept_out is not None or row.every is None:
            return own
        for other in self._company.get(self._bucket(lot, row.every.by), ()):
            out = self._told(other, row, limits).kept_out
            if out is not None:
                out = replace(out, lot=other.basis.lot)
                results = tuple(
                    one
                    if one.limit.unusable or one.missing == lot.here.uncomputable
                    else with_kept_out(one, out)
                    for one in own.results
                )
                return replace(own, why=out.words, results=results, kept_out=out)
        return own

    def _told(self, lot: Lot, row: PlanRow, limits: tuple[LimitInForce, ...]) -> Proof:
        """Judge a lot's own readings once, however many lots of its day ask."""
        key = (lot.basis.lot, row, tuple(id(one) for one in limits))
        if key not in self._known:
            proof = of_lot(lot, row, limits, day_at(lot.made_ms, self.zone))
            self._known[key] = limits, proof
        return self._known[key][1]

    def _bucket(self, lot: Lot, by: str) -> object | None:
        """Name the day or the shift of a lot; None where nothing says in which shift it is."""
        if lot.basis.made_at_ms is None or (by == "shift" and lot.shift is None):
            return None
        when = lot.shift if by == "shift" else day_at(lot.made_ms, self.zone)
        return by, lot.product, when


def _test(  # noqa: PLR0913 - it is the planned test itself
    row: PlanRow,
    state: State,
    words: str,
    limits: tuple[LimitInForce, ...],
    *,
    proof: Proof | None = None,
    until: date | None = None,
) -> PlannedTest:
    return PlannedTest(
        row.name, row.characteristic, row.evidence, row.often, state, words, proof, until, limits
    )


def _some(proof: Proof) -> Proof | None:
    return proof if proof.specimens else None


def asked_by_limits(
    product: str, rows: Sequence[PlanRow], limits: Sequence[LimitInForce]
) -> Iterator[PlanRow]:
    """Make a row of each limit that asks for a test which no row of the plan says how to make."""
    planned = {row.characteristic for row in rows}
    asked: set[tuple[str, str]] = set()
    for one in limits:
        key = (one.characteristic, one.evidence)
        if one.evidence in _ASKED and one.characteristic not in planned and key not in asked:
            asked.add(key)
            kind = _ASKED[one.evidence]
            yield PlanRow(
                one.name, product, one.characteristic, kind, None, one.specimens,
                warn_days=WARN_DAYS[kind],
            )  # fmt: skip


def limits_of(
    row: PlanRow, asking: Sequence[PlanRow], limits: Sequence[LimitInForce]
) -> tuple[LimitInForce, ...]:
    """Give the limits that a row's results must meet.

    Of a characteristic with one row, all; with several, those that ask for its kind of evidence,
    or all where none does.
    """
    mine = tuple(one for one in limits if one.characteristic == row.characteristic)
    if sum(one.characteristic == row.characteristic for one in asking) == 1:
        return mine
    same = tuple(one for one in mine if one.evidence == row.evidence)
    return same or mine
