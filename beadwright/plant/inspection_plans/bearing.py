"""What a product's inspection plan says of a lot that somebody asks about, as reasons.

Read :func:`bearing`, and :func:`bearing_measured` of measured values. It is a note, unless the
plant has said that release waits for it.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping

from beadwright.ledger import settings
from beadwright.ledger.lots import LotView
from beadwright.ledger.settings import Settings
from beadwright.plant.assessment import REASONS, LotAssessment, Reason
from beadwright.plant.inspection_plans.folded import LotSeen, folded
from beadwright.plant.inspection_plans.lot_measured import LotMeasured
from beadwright.plant.inspection_plans.measured_told import brief, outcome
from beadwright.plant.inspection_plans.setting import TOPIC, plan_set
from beadwright.units import System

__all__ = [
    "INSPECTED",
    "WAITS",
    "WAITS_MEASURED",
    "bearing",
    "bearing_measured",
    "only_asks",
    "waited_for",
]

INSPECTED = "plan_inspected"
"""Code of the reason that says what a plan asks of a lot, or came to, where that holds nothing."""

WAITS = "plan_not_inspected"
"""Code of the reason of a lot of which more is to be looked over before it may be released."""

WAITS_MEASURED = "plan_not_measured"
"""Code of the reason of a lot of which more is to be measured before it may be released."""

_SI: System = "si"
_US: System = "us"
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
    code = INSPECTED
    if waits and one.accepted is None:
        code = WAITS
    elif waits and not one.accepted:
        code = "plan_not_accepted"
    sentence = f"by the inspection plan, inspection {one.by}: {one.outcome}"
    return Reason(code, sentence, f"inspection plan of {product}", REASONS[code][0])


def bearing_measured(found: Iterable[LotMeasured]) -> Iterator[Reason]:
    """Give what each variables plan says of a lot."""
    for one in found:
        code = INSPECTED
        if one.its.for_release and one.accepted is None:
            code = WAITS_MEASURED
        elif one.its.for_release and not one.accepted:
            code = "plan_not_accepted"
        said, us = (f"by the variables plan {_came(one, units)}" for units in (_SI, _US))
        source = f"variables plan {one.its.name} of {one.its.product}"
        yield Reason(code, said, source, REASONS[code][0], us=us)


def only_asks(reason: Reason) -> bool:
    """Whether a reason says what a plan asks, for it came to nothing yet."""
    return reason.code == INSPECTED and "accepted" not in reason.sentence


def _came(one: LotMeasured, units: System) -> str:
    said = brief(one)
    if one.accepted is None:
        return said if one.why_not in said else f"{said}: {one.why_not}"
    words = outcome(one, units).rstrip(".")
    return f"{said}: {words[0].lower()}{words[1:]}"


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
