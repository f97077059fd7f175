"""Variables plans in words, and as a program reads them.

Read :func:`asks`, :func:`outcome` and :func:`variables_json`.
"""

from __future__ import annotations

from typing import Any, get_args

from beadwright.plant.inspection_plans.by_variables import ByVariables, LotMeasured
from beadwright.plant.inspection_plans.variables_set import VariablesSet
from beadwright.plant.opening import Plant
from beadwright.plant.words import iso, number
from beadwright.quality.characteristics import CHARACTERISTICS, kind_of
from beadwright.statistics.sampling import variables_acceptance
from beadwright.units import Kind, System, show

__all__ = ["NORMAL", "asks", "brief", "lot_json", "outcome", "protects", "variables_json"]

NORMAL = (
    "It rests on a normal distribution far out in its tail, where so few pieces cannot show it."
    " Look at long records first; where they are not normal, inspect by pass and fail."
)

_BLOCK_DENSITY = "dry foam density of the block (net of ties and water)"
"""What a block's density is, where its state is named: a specimen's, which is cut, has none."""

_LITTLE = 1e-4
_STATES = {"": "", "press": ", at the press", "24h": ", a day old", "dry": ", dry"}


def asks(its: VariablesSet, system: System) -> str:
    """Say what a plan asks, in one sentence."""
    plan = its.plan
    spread = "the sample's standard deviation"
    if its.sigma is not None:
        spread = f"the known standard deviation of {_shown(its, its.sigma, system)}"
    return (
        f"Measure {_what(its)}{_STATES.get(its.state, '')}{',' if its.state else ''} of"
        f" {number(plan.size, 'piece')} drawn at random. Accept if the mean lies at least"
        f" {plan.factor:.3f} times {spread} inside the limit of each piece; with two limits, if no"
        " more pieces are estimated beyond both than that allows."
    )


def brief(one: LotMeasured) -> str:
    """Say what a plan asks of a lot and how far that has come, in a few words."""
    asked = min(one.plan.size, one.pieces)
    judged = one.judged
    stands = "" if judged is None else f", {'accepted' if judged.accepted else 'not accepted'}"
    done = f"{min(one.measured, asked)} of {number(asked, 'piece')} measured"
    return f"{one.its.name}: {_what(one.its)}{_STATES.get(one.its.state, '')}, {done}{stands}"


def _what(its: VariablesSet) -> str:
    if its.characteristic == "density" and its.state:
        return _BLOCK_DENSITY
    return CHARACTERISTICS[its.characteristic].quantity


def protects(its: VariablesSet) -> str:
    """Say what a plan protects against."""
    good, bad = its.points.good, its.points.bad
    passes = [100 * float(variables_acceptance(its.plan, one)) for one in (good, bad)]
    return (
        f"Of lots with {100 * good:g} % of pieces beyond one limit {passes[0]:.0f} in 100 pass, of"
        f" lots with {100 * bad:g} % {passes[1]:.0f}."
    )


def outcome(one: LotMeasured, system: System) -> str:
    """Say what a lot came to."""
    judged = one.judged
    if judged is None:
        return f"Not judged: {one.why_not}."
    parts = [
        f"{_shown(one.its, float(limit.value_si), system)} at {word}: the mean lies {inside:.2f}"
        " deviations inside"
        for limit, word, inside in (
            (one.lower, "least", judged.inside_lower),
            (one.upper, "most", judged.inside_upper),
        )
        if limit is not None and inside is not None
    ]
    said = "accepted" if judged.accepted else "not accepted"
    kept = f" of {one.measured} measured" if one.measured > one.plan.size else ""
    return (
        f"Mean {_shown(one.its, judged.mean, system)} of {one.plan.size}{kept}, standard deviation"
        f" {_shown(one.its, judged.spread, system)}; {'; '.join(parts)}, k is"
        f" {one.plan.factor:.3f}; an estimated {_percent(judged.beyond)} beyond, where up to"
        f" {_percent(judged.most_beyond)} is accepted: {said}."
    )


def _percent(share: float) -> str:
    return "less than 0.01 %" if share < _LITTLE else f"{100 * share:.2g} %"


def _shown(its: VariablesSet, si: float, system: System) -> str:
    kind = next((one for one in get_args(Kind) if one == kind_of(its.characteristic)), None)
    return f"{si:.4g}" if kind is None else show(si, kind, system=system, digits=3)


def variables_json(plant: Plant, found: ByVariables) -> dict[str, Any]:
    """Give one plan and its lots as a map that JSON can hold; values in SI."""
    return {
        **_plan(found.its),
        "since": iso(found.since_ms, plant.zone),
        "says": f"{asks(found.its, 'si')} {protects(found.its)} {NORMAL}",
        "lots": [lot_json(plant, one) for one in found.lots],
    }


def _plan(its: VariablesSet) -> dict[str, Any]:
    return {
        "name": its.name, "characteristic": its.characteristic, "state": its.state,
        "good": its.points.good, "bad": its.points.bad, "sigma": its.sigma,
        "size": its.plan.size, "factor": its.plan.factor,
    }  # fmt: skip


def lot_json(plant: Plant, one: LotMeasured) -> dict[str, Any]:
    """Give one lot as a map that JSON can hold; values in SI."""
    judged = one.judged
    return {
        "lot": one.lot,
        "made": iso(one.at_ms, plant.zone),
        "pieces": one.pieces,
        "plan": one.its.name,
        "asked": one.plan.size,
        "factor": one.plan.factor,
        "which": list(one.which.pieces),
        "lower": None if one.lower is None else float(one.lower.value_si),
        "upper": None if one.upper is None else float(one.upper.value_si),
        "measured": one.measured,
        "mean": None if judged is None else judged.mean,
        "spread": None if judged is None else judged.spread,
        "inside_lower": None if judged is None else judged.inside_lower,
        "inside_upper": None if judged is None else judged.inside_upper,
        "beyond": None if judged is None else judged.beyond,
        "most_beyond": None if judged is None else judged.most_beyond,
        "accepted": None if judged is None else judged.accepted,
        "says": outcome(one, "si"),
    }
