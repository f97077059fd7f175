"""Inspection plans in words, and as a program reads them.

Read :func:`told` and :func:`standing_json`.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from beadwright.plant.inspection_plans.by_variables import ByVariables
from beadwright.plant.inspection_plans.by_variables_told import variables_json
from beadwright.plant.inspection_plans.folded import LotSeen
from beadwright.plant.inspection_plans.lot_measured import LotMeasured
from beadwright.plant.inspection_plans.measured_told import lot_json as measured_json
from beadwright.plant.inspection_plans.setting import WAITS_SAID, PlanSet
from beadwright.plant.inspection_plans.standing import AskedOfLot, Standing
from beadwright.plant.opening import Plant
from beadwright.plant.words import iso
from beadwright.statistics.sampling import Severity, outgoing_limit, plan_words

__all__ = [
    "CAUTION",
    "GOVERN",
    "asks_told",
    "lot_json",
    "lot_told",
    "plan_told",
    "protects",
    "standing_json",
    "told",
]

CAUTION = (
    "Where one bad piece can hurt someone, inspect every piece. A lot of the wrong bead grade is"
    " held, not sampled. Bad pieces that are found do not go out."
)

GOVERN = "Local code and licensed practice govern."


def plan_told(plan: PlanSet) -> str:
    """Say what is set, and whether release waits for it."""
    return f"{_set(plan)} {WAITS_SAID[plan.for_release]}"


def _set(plan: PlanSet) -> str:
    if plan.points is not None:
        good, bad = (f"{100 * one:g} %" for one in (plan.points.good, plan.points.bad))
        return (
            f"The fewest pieces that pass a lot with {good} bad 95 times in 100, and one with"
            f" {bad} at most 10 times."
        )
    said = f"Published single plan, AQL {plan.aql:g} %, level {plan.level}"
    if not plan.switching:
        return f"{said}; normal inspection throughout."
    eased = "reduced inspection is agreed" if plan.reduced else "reduced inspection is not agreed"
    return f"{said}; tightened by what is found, {eased}."


def told(found: Standing) -> str:
    """Say where inspection stands."""
    severity, led = found.state.severity, found.led
    after = "" if led is None else f", after lot {led.lot}"
    if severity is Severity.DISCONTINUED:
        return (
            f"Stopped{after}: five lots were not accepted on tightened inspection. Put the cause"
            " right, then set the plan anew: inspection goes on tightened."
        )
    if led is None:
        return f"Inspection is {severity}."
    return f"Inspection is {severity}{after}: {led.changed.partition(': ')[2]}."


def protects(one: LotSeen) -> tuple[str, ...]:
    """Say what the plan of a lot protects against; empty where every piece is looked at."""
    if one.plan.size >= one.pieces:
        return ()
    worst, _ = outgoing_limit(one.plan, one.pieces)
    return (
        *plan_words(one.plan, lot=one.pieces),
        (
            "Where every lot that is not accepted is looked through and cleaned piece by piece, at"
            f" most {100 * worst:.2g} % of what goes out is bad, on the average over many lots."
        ),
    )


def asks_told(found: AskedOfLot) -> str:
    """Say what the plan asks of a lot, in one sentence."""
    words = protects(found.seen)
    return words[0] if words else f"Look at every one of the {found.seen.pieces} pieces."


def lot_told(found: AskedOfLot) -> tuple[str, ...]:
    """Say what the plan asks of a lot, which pieces, and what it protects against."""
    one = found.seen
    return (
        asks_told(found),
        (
            f"Which, counted in the order they were moulded: {', '.join(found.which.pieces)}"
            f" (drawn by the lot's code; anybody can draw them again)."
        ),
        *protects(one)[1:],
        f"{one.lot} {one.outcome}.",
    )


def standing_json(
    plant: Plant, found: Standing, measured: Iterable[ByVariables] = ()
) -> dict[str, Any]:
    """Give where inspection stands as a map that JSON can hold."""
    return {
        **plant.about,
        "product": found.product,
        "caution": f"{CAUTION} {GOVERN}",
        "plan": None if found.plan is None else plan_told(found.plan),
        "set": iso(found.since_ms or None, plant.zone),
        "severity": str(found.state.severity),
        "says": told(found),
        "lots": [_lot(plant, one) for one in found.lots],
        "by_variables": [variables_json(plant, one) for one in measured],
    }


def lot_json(
    plant: Plant, product: str, found: AskedOfLot | None, measured: Iterable[LotMeasured] = ()
) -> dict[str, Any]:
    """Give what the plans ask of one lot as a map that JSON can hold."""
    return {
        **plant.about,
        "product": product,
        "caution": f"{CAUTION} {GOVERN}",
        "plan": None if found is None else plan_told(found.plan),
        "of_lot": None if found is None else {
            **_lot(plant, found.seen),
            "which": list(found.which.pieces),
            "says": list(lot_told(found)),
        },
        "measured": [measured_json(plant.zone, one) for one in measured],
    }  # fmt: skip


def _lot(plant: Plant, one: LotSeen) -> dict[str, Any]:
    return {
        "lot": one.lot, "made": iso(one.at_ms, plant.zone), "pieces": one.pieces,
        "severity": str(one.severity), "size": one.plan.size, "accept": one.plan.accept,
        "looked": one.looked, "bad": one.bad, "accepted": one.accepted,
        "changed": one.changed,
    }  # fmt: skip
