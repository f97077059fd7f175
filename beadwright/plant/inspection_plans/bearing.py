"""What a product's inspection plan says of a lot that somebody asks about, as reasons.

Read :func:`bearing`. It is a note, unless the plant has said that release waits for it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from beadwright.ledger.lots import LotView
from beadwright.ledger.settings import Settings
from beadwright.plant.assessment import REASONS, Reason
from beadwright.plant.inspection_plans.folded import LotSeen, folded
from beadwright.plant.inspection_plans.setting import TOPIC, plan_set

__all__ = ["bearing"]


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
        code = "plan_not_inspected"
    elif waits and not one.accepted:
        code = "plan_not_accepted"
    sentence = f"by the inspection plan, inspection {one.by}: {one.outcome}"
    return Reason(code, sentence, f"inspection plan of {product}", REASONS[code][0])
