"""Where inspection of a product stands: a pure fold over its lots, in the order they were made.

Read :func:`standing` and :func:`asked_of`. Nothing of it is kept: what is entered late, corrected
or voided gives another answer the next time it is asked. It holds and releases nothing.
"""

from __future__ import annotations

from dataclasses import dataclass

from beadwright.errors import Misuse
from beadwright.ledger import lots, settings
from beadwright.ledger.draft import MOULDED
from beadwright.plant.inspection_plans.folded import LotSeen, folded, taken_up
from beadwright.plant.inspection_plans.setting import TOPIC, PlanSet, plan_set
from beadwright.plant.moment import moment
from beadwright.plant.opening import Plant
from beadwright.plant.products import product_at
from beadwright.statistics.sampling import Selection, SwitchingState, select

__all__ = ["AskedOfLot", "Standing", "asked_of", "standing"]


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

    @property
    def led(self) -> LotSeen | None:
        """The lot after which inspection came to be what it is; None where none changed it."""
        changed = [one for one in self.lots if one.changed and one.at_ms >= self.since_ms]
        return changed[-1] if changed else None

    @property
    def like(self) -> LotSeen | None:
        """The newest lot of which some pieces stay unseen, which a plan's protection is told of."""
        sampled = [one for one in self.lots if one.plan.size < one.pieces]
        return sampled[-1] if sampled else None


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
    for one, after in folded(plant.no, in_force, product, now):
        seen.append(one)
        state = after
    last_set = dated[-1][0]
    if seen and seen[-1].at_ms < last_set:
        state = taken_up(state)
    return Standing(*named, plan_set(dated[-1][1]), last_set, state, tuple(seen))


def asked_of(plant: Plant, lot: str, product: str = "") -> AskedOfLot | None:
    """Say what the plan asks of a lot; None where its product had none when it was made.

    Raises
    ------
    Misuse
        If there is no such lot of blocks, or it is of another product than the one named.
    """
    view = lots.get(plant.no, lot)
    if view is None or view.kind not in MOULDED:
        message = f"no lot of blocks is called {lot}"
        raise Misuse(message)
    if product and view.product != product:
        message = f"{lot} is of {view.product or 'no product'}, not of {product}"
        raise Misuse(message)
    in_force = settings.load(plant.no)
    if view.product not in in_force.names(TOPIC):
        return None
    for one, _ in folded(plant.no, in_force, view.product, moment(plant)):
        if one.lot == lot:
            which = select(range(1, one.pieces + 1), one.plan.size, lot)
            body = in_force.at(TOPIC, view.product, one.at_ms) or {}
            return AskedOfLot(one, which, plan_set(body))
    return None
