"""The lots of a product folded in the order they were made: how each was inspected, and what next.

Read :func:`folded`. It is a pure fold over the record; nothing of it is kept.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from beadwright.ledger import lots
from beadwright.ledger.draft import MOULDED
from beadwright.ledger.lots import LotView
from beadwright.ledger.settings import Settings
from beadwright.plant import calibrations
from beadwright.plant.inspection_plans.setting import TOPIC, PlanSet, plan_set
from beadwright.plant.pieces import Defects, counted, defects_of
from beadwright.plant.words import number
from beadwright.quality import readings
from beadwright.statistics.sampling import (
    LotResult,
    Severity,
    SinglePlan,
    SwitchingState,
    after_lot,
)
from beadwright.statistics.sampling.published import tighter_aql
from beadwright.statistics.sampling.switching import resume

__all__ = ["LotSeen", "folded", "made_of", "taken_up"]


@dataclass(frozen=True, slots=True)
class LotSeen:
    """One lot, and what its inspection came to."""

    lot: str
    at_ms: int
    pieces: int
    severity: Severity
    """By which it was inspected."""
    plan: SinglePlan
    looked: int
    """Pieces looked over; 0 where none were."""
    bad: int
    """Of those, with a defect: what each kind found, at most all that were looked at."""
    accepted: bool | None
    """None where fewer were looked over than the plan asks, and not too many of them bad."""
    changed: str
    """Why inspection changed over after it; empty where it did not."""

    @property
    def allowed(self) -> int:
        """Bad pieces with which it is accepted.

        Where more were looked over than asked, in proportion, rounded down. Common practice, no
        source.
        """
        return self.plan.accept * max(self.looked, self.plan.size) // self.plan.size

    @property
    def by(self) -> str:
        """By which inspection, in a word."""
        return "stopped" if self.severity is Severity.DISCONTINUED else str(self.severity)

    @property
    def outcome(self) -> str:
        """What it came to, in words."""
        asked = f"{number(self.plan.size, 'piece')}, at most {self.plan.accept} bad"
        if not self.looked:
            return f"asks {asked}; none looked over"
        seen = f"{self.looked} looked over, {self.bad} bad"
        if self.accepted is None:
            return f"asks {asked}; only {seen}"
        more = f" ({self.allowed} of {self.looked})" if self.looked > self.plan.size else ""
        said = "accepted" if self.accepted else "not accepted"
        return f"asks {asked}{more}; {seen}: {said}"


def folded(
    plant_no: int, in_force: Settings, product: str, now: int
) -> Iterator[tuple[LotSeen, SwitchingState]]:
    """Give each lot of a product with how inspection stands after it, in the order made."""
    made = made_of(plant_no, product, now)
    found = _looked_over(plant_no, [view.code for view, _ in made], in_force, now)
    state, set_at = SwitchingState(), -1
    for view, pieces in made:
        at_ms = view.first or 0
        versions = [one for one in in_force.versions(TOPIC, product) if one[0] <= at_ms]
        if not versions:
            continue
        if set_at not in {-1, versions[-1][0]}:
            state = taken_up(state)
        set_at = versions[-1][0]
        its, defects = plan_set(versions[-1][1]), found[view.code]
        bad = min(defects.total, defects.checked)
        one = LotSeen(
            view.code, at_ms, pieces, state.severity, its.plan(pieces, state.severity),
            defects.checked, bad, None, "",
        )  # fmt: skip
        if one.looked >= one.plan.size or bad > one.plan.accept:
            one = replace(one, accepted=bad <= one.allowed)
            state, why = _next(state, one, its)
            one = replace(one, changed=why)
        yield one, state


def _looked_over(
    plant_no: int, codes: Sequence[str], in_force: Settings, now: int
) -> dict[str, Defects]:
    """Give what was found of lots up to a time, by what was fit to find it."""
    fit, taken = calibrations.load(plant_no, in_force), readings.of_lots(plant_no, codes)
    found = {}
    for code in codes:
        kept, _ = fit.parted([one for one in taken.get(code, ()) if one.at_ms <= now])
        found[code] = defects_of(counted(kept))
    return found


def made_of(plant_no: int, product: str, now: int) -> list[tuple[LotView, int]]:
    """Give lots of a product with the pieces that were ever made of each, in the order made."""
    views = [
        view
        for kind in MOULDED
        for view in lots.of_kind(plant_no, kind, "mould run")
        if view.product == product and view.first is not None and view.first <= now
    ]
    ordered = sorted(views, key=lambda one: (one.first or 0, one.code))
    makings = lots.makings(plant_no, [one.code for one in ordered])
    each = [(one, sum(made.pieces for made in makings.get(one.code, ()))) for one in ordered]
    return [(one, pieces) for one, pieces in each if pieces > 0]


def _next(state: SwitchingState, one: LotSeen, its: PlanSet) -> tuple[SwitchingState, str]:
    if not its.switching or state.severity is Severity.DISCONTINUED:
        return state, ""
    tighter = tighter_aql(its.aql) if its.aql is not None else None
    stricter = None
    if tighter is not None and one.plan.accept > 1:
        stricter = replace(its, aql=tighter).plan(one.pieces, Severity.NORMAL).accept
    judged = SinglePlan(max(one.looked, one.plan.size), one.allowed)
    moved = after_lot(state, LotResult(one.bad, judged, stricter), reduced_allowed=its.reduced)
    return moved.state, f"{moved.state.severity}: {moved.reason}" if moved.changed else ""


def taken_up(state: SwitchingState) -> SwitchingState:
    """The plan was set anew: after a stop inspection goes on tightened, else from the beginning."""
    if state.severity is Severity.DISCONTINUED:
        return resume(state).state
    return SwitchingState()
