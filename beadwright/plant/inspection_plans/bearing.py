"""What a product's inspection plan says of a lot that somebody asks about, as reasons.

Read :func:`bearing`. It is a note, unless the plant has said that release waits for it.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping

from beadwright.ledger import settings
from beadwright.ledger.lots import LotView
from beadwright.ledger.settings import Settings
from beadwright.plant.assessment import REASONS, LotAssessment, Reason
from beadwright.plant.inspection_plans.folded import LotSeen, folded
from beadwright.plant.inspection_plans.setting import TOPIC, plan_set

__all__ = ["WAITS", "bearing", "waited_for"]

WAITS = "plan_not_inspected"
"""Code of the reason of a lot of which more is to be looked over before it may be released."""

_HELD_BY = frozenset({WAITS, "plan_not_accepted"})


def bearing(
    plant_no: int, in_force: Settings, views: Mapping[str, LotView], at_ms: int
) -> Iterator[tuple[str, Reason]]:
    """Give each lot that had a plan when it was made, with what that says of it until a time."""
    asked = {view.product for view in views.values()}
    for product in sorted(asked.intersection(in_force.names(TOPIC))):
        for one, _ in folded(plant_no, in_force, product, at_ms):
            if one.lot in views:
                body = in_force.at(TOPIC, product, one.at_ms) or {}
                yield one.lot, _reason(one, product, waits=plan_set(body).for_release)


def _reason(one: LotSeen, product: str, *, waits: bool) -> Reason:
    code = "plan_inspected"
    if waits and one.accepted is None:
        code = WAITS
    elif waits and not one.accepted:
        code = "plan_not_accepted"
    sentence = f"by the inspection plan, inspection {one.by}: {one.outcome}"
    return Reason(code, sentence, f"inspection plan of {product}", REASONS[code][0])


def waited_for(plant_no: int, found: Collection[LotAssessment], at_ms: int) -> dict[str, LotSeen]:
    """Give of each lot whose release waits for its plan, or fails it, what that asks of it."""
    products = {lot.product for lot in found if any(one.code in _HELD_BY for one in lot.reasons)}
    codes = {lot.lot for lot in found}
    in_force = settings.load(plant_no) if products else None
    return {
        one.lot: one
        for product in sorted(products)
        if in_force is not None
        for one, _ in folded(plant_no, in_force, product, at_ms)
        if one.lot in codes
    }
