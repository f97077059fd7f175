"""Variables plans of a product in words, and as a program reads them.

Read :func:`protects` and :func:`variables_json`; what a lot came to is told in ``measured_told``.
"""

from __future__ import annotations

from typing import Any

from beadwright.plant.inspection_plans.by_variables import ByVariables
from beadwright.plant.inspection_plans.measured_told import asks, lot_json
from beadwright.plant.inspection_plans.variables_set import VariablesSet
from beadwright.plant.opening import Plant
from beadwright.plant.words import iso
from beadwright.statistics.sampling import variables_acceptance

__all__ = ["NORMAL", "protects", "variables_json"]

NORMAL = (
    "It rests on a normal distribution far out in its tail, where so few pieces cannot show it."
    " Look at long records first; where they are not normal, inspect by pass and fail."
)


def protects(its: VariablesSet) -> str:
    """Say what a plan protects against."""
    good, bad = its.points.good, its.points.bad
    passes = [100 * float(variables_acceptance(its.plan, one)) for one in (good, bad)]
    return (
        f"Of lots with {100 * good:g} % of pieces beyond one limit {passes[0]:.0f} in 100 pass, of"
        f" lots with {100 * bad:g} % {passes[1]:.0f}."
    )


def variables_json(plant: Plant, found: ByVariables) -> dict[str, Any]:
    """Give one plan and its lots as a map that JSON can hold; values in SI."""
    return {
        **_plan(found.its),
        "since": iso(found.since_ms, plant.zone),
        "says": f"{asks(found.its, 'si')} {protects(found.its)} {NORMAL}",
        "lots": [lot_json(plant.zone, one) for one in found.lots],
    }


def _plan(its: VariablesSet) -> dict[str, Any]:
    return {
        "name": its.name, "characteristic": its.characteristic, "state": its.state,
        "good": its.points.good, "bad": its.points.bad, "sigma": its.sigma,
        "for_release": its.for_release, "size": its.plan.size, "factor": its.plan.factor,
    }  # fmt: skip
