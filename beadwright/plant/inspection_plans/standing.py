"""Where inspection of a product stands: a pure fold over its lots, in the order they were made.

Read :func:`standing` and :func:`asked_of`. Nothing of it is kept: what is entered late, corrected
or voided gives another answer the next time it is asked. It holds and releases nothing.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from beadwright.errors import Misuse
from beadwright.ledger import lots, settings
from beadwright.ledger.lots import LotView
from beadwright.ledger.settings import Settings
from beadwright.plant.inspection_plans.setting import TOPIC, PlanSet, plan_set
from beadwright.plant.lots_read import evidence_of
from beadwright.plant.moment import moment
from beadwright.plant.opening import Plant
from beadwright.plant.products import product_at
from beadwright.statistics.sampling import (
    LotResult,
    Selection,
    Severity,
    SinglePlan,
    SwitchingState,
    after_lot,
    select,
)
from beadwright.statistics.sampling.published import tighter_aql
from beadwright.statistics.sampling.switching import resume

__all__ = ["AskedOfLot", "LotSeen", "Standing", "asked_of", "standing"]

_KINDS = ("block", "packaging")


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


@dataclass(frozen=True, slots=True)
class Standing:
    """Where inspection of a product stands."""

    product: str
    title: str
    is_form: bool
    plan: PlanSet | None
    """In force now; None where none is set."""
    since_ms: int
    state: SwitchingState
    lots: tuple[LotSeen, ...]
    """Made since the plan was first set, oldest first."""


@dataclass(frozen=True, slots=True)
class AskedOfLot:
    """What the plan asks of one lot."""

    seen: LotSeen
    which: Selection
    """Pieces by number in the order they were moulded, drawn by the lot's code."""
    plan: PlanSet


def standing(plant: Plant, product: str, at_ms: int | None = None) -> Standing:
    """Work out where inspection of a product stands.

    Raises
    ------
    Misuse
        If there is no such product.
    """
    now = moment(plant) if at_ms is None else at_ms
    in_force = settings.load(plant.no)
    if product not in in_force.names("product"):
        names = ", ".join(in_force.names("product")) or "none"
        message = f"no product is called {product}; there are: {names}"
        raise Misuse(message)
    known = product_at(in_force, product, now)
    named = (product, "" if known is None else known.title, known is not None and known.is_form)
    dated = [one for one in in_force.versions(TOPIC, product) if one[0] <= now]
    if not dated:
        return Standing(*named, None, 0, SwitchingState(), ())
    state, seen = SwitchingState(), []
    for one, after in _folded(plant.no, in_force, product, now):
        seen.append(one)
        state = after
    last_set = dated[-1][0]
    if seen and seen[-1].at_ms < last_set:
        state = _taken_up(state)
    return Standing(*named, plan_set(dated[-1][1]), last_set, state, tuple(seen))


def asked_of(plant: Plant, lot: str) -> AskedOfLot | None:
    """Say what the plan asks of a lot; None where its product had none when it was made.

    Raises
    ------
    Misuse
        If there is no such lot of blocks.
    """
    view = lots.get(plant.no, lot)
    if view is None or view.kind not in _KINDS:
        message = f"no lot of blocks is called {lot}"
        raise Misuse(message)
    for one in standing(plant, view.product).lots if view.product else ():
        if one.lot == lot:
            body = settings.load(plant.no).at(TOPIC, view.product, one.at_ms)
            size = min(one.plan.size, one.pieces)
            which = select(range(1, one.pieces + 1), size, lot)
            return AskedOfLot(one, which, plan_set(body or {}))
    return None


def _folded(
    plant_no: int, in_force: Settings, product: str, now: int
) -> Iterator[tuple[LotSeen, SwitchingState]]:
    made = _made(plant_no, product, now)
    found = evidence_of(plant_no, [view.code for view, _ in made], in_force, now)
    state, set_at = SwitchingState(), -1
    for view, pieces in made:
        at_ms = view.first or 0
        versions = [one for one in in_force.versions(TOPIC, product) if one[0] <= at_ms]
        if not versions:
            continue
        if set_at not in {-1, versions[-1][0]}:
            state = _taken_up(state)
        set_at = versions[-1][0]
        its, defects = plan_set(versions[-1][1]), found[view.code].defects
        bad = min(defects.total, defects.checked)
        one = LotSeen(
            view.code, at_ms, pieces, state.severity, its.plan(pieces, state.severity),
            defects.checked, bad, None, "",
        )  # fmt: skip
        if one.looked >= min(one.plan.size, pieces) or bad > one.plan.accept:
            one = replace(one, accepted=bad <= one.allowed)
            state, why = _next(state, one, its)
            one = replace(one, changed=why)
        yield one, state


def _made(plant_no: int, product: str, now: int) -> list[tuple[LotView, int]]:
    """Lots of a product with the pieces that were ever made of each, in the order made."""
    views = [
        view
        for kind in _KINDS
        for view in lots.of_kind(plant_no, kind, "mould run")
        if view.product == product and view.first is not None and view.first <= now
    ]
    ordered = sorted(views, key=lambda one: (one.first or 0, one.no))
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


def _taken_up(state: SwitchingState) -> SwitchingState:
    """The plan was set anew: after a stop inspection goes on tightened, else from the beginning."""
    if state.severity is Severity.DISCONTINUED:
        return resume(state).state
    return SwitchingState()
