"""The inspection plan of a product: what is set, where inspection stands, and each lot."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from django.http import Http404, HttpResponse
from django.shortcuts import render

from beadwright.charts import curves, outgoing
from beadwright.charts.oc_curve import OcCurve, picture
from beadwright.charts.svg import Drawing
from beadwright.errors import Misuse
from beadwright.plant.inspection_plans.by_variables import ByVariables, by_variables
from beadwright.plant.inspection_plans.by_variables_told import NORMAL
from beadwright.plant.inspection_plans.by_variables_told import protects as protects_by
from beadwright.plant.inspection_plans.folded import LotSeen
from beadwright.plant.inspection_plans.measured_told import asks as asks_by
from beadwright.plant.inspection_plans.measured_told import outcome
from beadwright.plant.inspection_plans.standing import Standing, standing
from beadwright.plant.inspection_plans.told import CAUTION, plan_told, protects, told
from beadwright.plant.moment import moment
from beadwright.plant.plan import day_at
from beadwright.statistics.sampling import Severity
from beadwright.units import System
from beadwright.web.access import Asker, asks
from beadwright.web.choices.kept import chosen

__all__ = ["Measured", "PlanPage", "plan_page"]

_SHOWN = 60
_SORTS = {None: "note", True: "good", False: "stop"}
_STATES = {None: "not judged", True: "accepted", False: "not accepted"}
_SEVERE = {
    Severity.NORMAL: "good", Severity.REDUCED: "good", Severity.TIGHTENED: "ask",
    Severity.DISCONTINUED: "stop",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class PlanPage:
    """What the page shows."""

    product: str
    title: str
    is_form: bool
    plan: str
    """What is set; empty where nothing is."""
    since_ms: int
    says: str
    sort: str
    severity: str
    like: str
    """The newest lot that is sampled; empty where none is."""
    words: tuple[str, ...]
    """What the plan protects against, in a lot like that."""
    drawings: tuple[Drawing, ...]
    """How likely a lot is accepted, and what goes out."""
    lots: tuple[tuple[LotSeen, str, str, str], ...]
    """Lot, its state's sort and words, and what it came to; the newest first."""
    more: int
    changes: tuple[LotSeen, ...]
    """Lots after which inspection changed over, the newest first."""
    caution: str
    measured: tuple[Measured, ...]
    from_day: date
    """From when on a plan could be set: the day after the record's latest."""


@dataclass(frozen=True, slots=True)
class Measured:
    """A variables plan and its lots."""

    name: str
    since_ms: int
    words: tuple[str, ...]
    drawing: Drawing
    lots: tuple[tuple[str, int, str, str, str], ...]
    """Lot, pieces made, its state's sort and words, and what it came to; the newest first."""


@asks
def plan_page(request: Asker, product: str) -> HttpResponse:
    """Show it."""
    try:
        found = standing(request.plant, product)
    except Misuse as no:
        raise Http404(str(no)) from no
    measured = by_variables(request.plant, product)
    after = day_at(moment(request.plant), request.plant.zone) + timedelta(days=1)
    page = _page(found, measured, after, chosen(request).units)
    return render(request, "products/inspection.html", {"page": page})


def _measured(at: int, one: ByVariables, system: System) -> Measured:
    short = f"{one.its.plan.size} pieces, k = {one.its.plan.factor:.3f}"
    curve = curves.draw(picture(OcCurve(one.its.plan, short, name=f"variables-{at}")))
    rows = (
        (
            lot.lot, lot.pieces, _SORTS[lot.accepted], _STATES[lot.accepted], outcome(lot, system),
        )
        for lot in reversed(one.lots)
    )  # fmt: skip
    words = (asks_by(one.its, system), protects_by(one.its), NORMAL)
    return Measured(one.its.name, one.since_ms, words, curve, tuple(rows))


def _page(
    found: Standing, measured: tuple[ByVariables, ...], after: date, system: System
) -> PlanPage:
    like = found.like
    words: tuple[str, ...] = ()
    drawings: tuple[Drawing, ...] = ()
    if like is not None:
        words = protects(like)
        short = f"{like.plan.size} of {like.pieces} pieces, at most {like.plan.accept} bad"
        likely = picture(OcCurve(like.plan, short, like.pieces))
        out = outgoing.picture(like.plan, like.pieces)
        drawings = (curves.draw(likely), curves.draw(out))
    rows = [
        (one, _SORTS[one.accepted], _STATES[one.accepted], one.outcome)
        for one in reversed(found.lots)
    ]
    severity = found.state.severity
    return PlanPage(
        found.product, found.title, found.is_form,
        "" if found.plan is None else plan_told(found.plan), found.since_ms,
        told(found), _SEVERE[severity],
        "stopped" if severity is Severity.DISCONTINUED else str(severity),
        "" if like is None else like.lot,
        words, drawings, tuple(rows[:_SHOWN]), max(0, len(rows) - _SHOWN),
        tuple(one for one in reversed(found.lots) if one.changed)[:_SHOWN],
        CAUTION, tuple(_measured(at, one, system) for at, one in enumerate(measured)), after,
    )  # fmt: skip
