"""Every sample that reports and readings of the record speak of, in order, for each product.

Read :meth:`Samples.of` first: it judges all samples of one product by the limits in force at one
time, and is asked for many lots.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from zoneinfo import ZoneInfo

from beadwright.ledger import lots
from beadwright.plant.calibrations import Aside, Calibrations
from beadwright.plant.coverage import Sample, Timeline
from beadwright.plant.limits import LimitInForce
from beadwright.plant.plan import PERIODIC, TYPE, Planbook, PlanRow, day_at, start_of
from beadwright.plant.proofs import Proof, of_readings, of_report
from beadwright.plant.reports import Report, reports
from beadwright.quality import readings
from beadwright.quality.readings import ReadingView

__all__ = ["OwnReadings", "ProductSamples", "Samples", "load"]

_DAY = timedelta(days=1)
_MOULD_RUN = "mould run"


@dataclass(frozen=True, slots=True)
class OwnReadings:
    """What the plant itself read of a lot, and of which product, made when."""

    lot: str
    product: str
    made_ms: int
    readings: tuple[ReadingView, ...]
    aside: tuple[Aside, ...] = ()
    """Those that are no evidence, because their instrument was not fit."""


@dataclass(frozen=True, slots=True)
class ProductSamples:
    """Samples of one product for one row of the plan, judged by the limits of one time."""

    timeline: Timeline
    proofs: Mapping[str, Proof]
    """Of the timeline's samples, by their name."""
    undecided: tuple[Proof, ...] = ()
    """Results that decide nothing, the newest sampled last."""


@dataclass(slots=True)
class Samples:
    """Reports and own readings of a plant."""

    reports: Sequence[Report]
    own: Sequence[OwnReadings]
    zone: ZoneInfo
    _known: dict[object, tuple[tuple[LimitInForce, ...], ProductSamples]] = field(
        default_factory=dict
    )
    """With the limits themselves, so that none of their ids is given away while it is a key."""

    def of(self, product: str, row: PlanRow, limits: tuple[LimitInForce, ...]) -> ProductSamples:
        """Judge the samples of a product by some limits, those that the lot was made under."""
        key = (product, row, tuple(id(one) for one in limits))
        if key not in self._known:
            self._known[key] = limits, self._judge(product, row, limits)
        return self._known[key][1]

    def _judge(
        self, product: str, row: PlanRow, limits: tuple[LimitInForce, ...]
    ) -> ProductSamples:
        found: list[tuple[Sample, Proof]] = []
        undecided: list[Proof] = []
        for name, proof, span in self._all(product, row, limits):
            if proof.passed is None:
                undecided.append(proof)
            else:
                found.append((self._sample(name, proof, row, span), proof))
        line = Timeline((sample for sample, _ in found), backward=row.evidence == PERIODIC)
        undecided.sort(key=lambda one: (one.sampled, one.report, one.lot))
        return ProductSamples(line, {s.name: proof for s, proof in found}, tuple(undecided))

    def _all(
        self, product: str, row: PlanRow, limits: tuple[LimitInForce, ...]
    ) -> Iterable[tuple[str, Proof, tuple[int, int]]]:
        for report in self.reports:
            if report.withdrawn or report.characteristic != row.characteristic:
                continue
            if report.speaks_of(product):
                first = start_of(report.sampled, self.zone)
                last = start_of(report.sampled + _DAY, self.zone) - 1
                yield f"report {report.number}", of_report(report, row, limits), (first, last)
        if row.evidence == TYPE:
            return
        for one in self.own:
            if one.product == product:
                day = day_at(one.made_ms, self.zone)
                proof = of_readings(one.lot, day, one.readings, row, limits)
                if proof is None or proof.passed is None:
                    proof = _set_aside(one, day, row, proof) or proof
                if proof is not None:
                    yield f"lot {one.lot}", proof, (one.made_ms, one.made_ms)

    def _sample(self, name: str, proof: Proof, row: PlanRow, span: tuple[int, int]) -> Sample:
        ends = self.ends(proof, row)
        until = None if ends is None else start_of(ends + _DAY, self.zone)
        before = None if row.every is None else row.every.before(proof.sampled)
        before_ms = span[0] if before is None else start_of(before, self.zone)
        return Sample(name, bool(proof.passed), *span, until, before_ms)

    def ends(self, proof: Proof, row: PlanRow) -> date | None:
        """Give the last day of making that a proof covers; None where it has no end."""
        due = None if row.every is None else row.every.after(proof.sampled)
        last = [day for day in (None if due is None else due - _DAY, proof.expires) if day]
        return min(last, default=None)


def load(plant_no: int, plan: Planbook, fit: Calibrations, zone: ZoneInfo) -> Samples:
    """Read every report, and every reading that makes a periodic test; without a plan, nothing."""
    if not plan:
        return Samples((), (), zone)
    by_lot = readings.of_characteristics(plant_no, plan.characteristics(PERIODIC))
    views = {
        code: view
        for code, view in lots.get_many(plant_no, by_lot).items()
        if view.what == _MOULD_RUN
    }
    made = lots.makings(plant_no, views)
    own = [
        OwnReadings(code, view.product, made[code][-1].at_ms, *fit.parted(by_lot[code]))
        for code, view in views.items()
        if made.get(code)
    ]
    return Samples(reports(plant_no), own, zone)


def _set_aside(one: OwnReadings, day: date, row: PlanRow, rest: Proof | None) -> Proof | None:
    """Give what an unfit instrument read as a test that decides nothing, so that it is told.

    ``rest`` is what others of the lot's readings make, which decide nothing either.
    """
    for aside in one.aside:
        if row.characteristic in aside.characteristics:
            why = f"they {aside.taken}" if aside.known else aside.said
            if rest is not None:
                return replace(rest, why=f"{rest.why}; of others, {why}")
            return Proof("", one.lot, "", row.method, 0, "", day, None, why)
    return None
