"""What a variables plan asks of a lot and what the lot came to, in words and for a program.

Read :func:`asks`, :func:`pieces_drawn`, :func:`outcome`, :func:`brief` and :func:`lot_json`.
"""

from __future__ import annotations

from typing import Any, get_args
from zoneinfo import ZoneInfo

from beadwright.plant.inspection_plans.lot_measured import LotMeasured
from beadwright.plant.inspection_plans.setting import WAITS_SAID
from beadwright.plant.inspection_plans.variables_set import VariablesSet
from beadwright.plant.words import iso, number
from beadwright.quality.characteristics import CHARACTERISTICS, kind_of
from beadwright.units import Kind, System, show

__all__ = ["asks", "brief", "lot_json", "outcome", "pieces_drawn"]

_BLOCK_DENSITY = "dry foam density of the block (net of ties and water)"
"""What a block's density is, where its state is named: a specimen's, which is cut, has none."""

_LITTLE = 1e-4
_STATES = {"": "", "press": ", at the press", "24h": ", a day old", "dry": ", dry"}
_SAID = {True: "accepted", False: "not accepted"}


def asks(its: VariablesSet, system: System) -> str:
    """Say what a plan asks, and whether release waits for it."""
    plan = its.plan
    spread = "the sample's standard deviation"
    if its.sigma is not None:
        spread = f"the known standard deviation of {_shown(its, its.sigma, system)}"
    return (
        f"Measure {_what(its)}{_STATES.get(its.state, '')}{',' if its.state else ''} of"
        f" {number(plan.size, 'piece')} drawn at random. Accept if the mean lies at least"
        f" {plan.factor:.3f} times {spread} inside the limit of each piece; with two limits, if no"
        " more pieces are estimated beyond both than that allows."
        f" {WAITS_SAID[its.for_release]}"
    )


def brief(one: LotMeasured) -> str:
    """Say what a plan asks of a lot and how far that has come, in a few words."""
    stands = "" if one.accepted is None else f", {_SAID[one.accepted]}"
    done = f"{min(one.measured, one.asked)} of {number(one.asked, 'piece')} measured"
    return f"{one.its.name}: {_what(one.its)}{_STATES.get(one.its.state, '')}, {done}{stands}"


def _what(its: VariablesSet) -> str:
    if its.characteristic == "density" and its.state:
        return _BLOCK_DENSITY
    return CHARACTERISTICS[its.characteristic].quantity


def outcome(one: LotMeasured, system: System) -> str:
    """Say what a lot came to: mean, spread, quality index and k, or why it is not judged."""
    if one.whole is not None:
        found = "none lies" if one.whole else "some lie"
        return (
            f"All of its {number(one.pieces, 'piece')} are measured, and {found} beyond"
            f" {' or '.join(text for text, _ in _limits(one, system))}: {_SAID[one.whole]}."
        )
    judged = one.judged
    if judged is None:
        return f"Not judged: {one.why_not}.{_others(one)}"
    parts = [
        f"quality index {inside:.2f} (deviations that the mean lies inside {text})"
        for text, inside in _limits(one, system)
        if inside is not None
    ]
    kept = f" of {one.measured} measured" if one.measured > one.plan.size else ""
    spread = "standard deviation" if one.its.sigma is None else "known standard deviation"
    return (
        f"Mean {_shown(one.its, judged.mean, system)} of {one.plan.size}{kept}, {spread}"
        f" {_shown(one.its, judged.spread, system)}; {'; '.join(parts)}, k is"
        f" {one.plan.factor:.3f}; an estimated {_percent(judged.beyond)} beyond, where up to"
        f" {_percent(judged.most_beyond)} is accepted: {_SAID[judged.accepted]}.{_others(one)}"
    )


def pieces_drawn(one: LotMeasured) -> str:
    """Say which pieces are drawn, what they are called, and which of them are left."""
    left = ""
    if one.accepted is None and 0 < len(one.left) < len(one.drawn):
        left = f" Left to measure: {', '.join(one.left)}."
    which = f"Every piece, {one.drawn[0]} to {one.drawn[-1]}."
    if one.asked < one.pieces:
        drawn = ", ".join(one.drawn)
        which = f"Drawn by the lot's code, so that anybody can draw them again: {drawn}."
    how = "The number counts in the order they were moulded: key it as the piece's name."
    return f"{which} {how}{left}"


def _others(one: LotMeasured) -> str:
    """Say how many pieces were measured that are not called as the plan drew them."""
    if not one.others:
        return ""
    of = len(one.taken)
    some = f"{one.others} of these {of} {'is' if one.others == 1 else 'are'} not"
    if one.others == of:
        some = "None of them is"
    return (
        f" {some} named as a piece the plan drew: that they were taken at random the record does"
        " not show, and the plan protects only then."
    )


def _limits(one: LotMeasured, system: System) -> list[tuple[str, float | None]]:
    """Give each limit in words, with how many deviations the mean lies inside it."""
    judged = one.judged
    lower, upper = (None, None) if judged is None else (judged.inside_lower, judged.inside_upper)
    return [
        (f"{_shown(one.its, float(limit.value_si), system)} at {word}", inside)
        for limit, word, inside in ((one.lower, "least", lower), (one.upper, "most", upper))
        if limit is not None
    ]


def _percent(share: float) -> str:
    return "less than 0.01 %" if share < _LITTLE else f"{100 * share:.2g} %"


def _shown(its: VariablesSet, si: float, system: System) -> str:
    kind = next((one for one in get_args(Kind) if one == kind_of(its.characteristic)), None)
    return f"{si:.4g}" if kind is None else show(si, kind, system=system, digits=3)


def lot_json(zone: ZoneInfo, one: LotMeasured) -> dict[str, Any]:
    """Give one lot as a map that JSON can hold; values in SI."""
    judged = one.judged
    return {
        "lot": one.lot,
        "made": iso(one.at_ms, zone),
        "pieces": one.pieces,
        "plan": one.its.name,
        "for_release": one.its.for_release,
        "asked": one.plan.size,
        "factor": one.plan.factor,
        "which": list(one.which.pieces),
        "lower": None if one.lower is None else float(one.lower.value_si),
        "upper": None if one.upper is None else float(one.upper.value_si),
        "measured": one.measured,
        "not_as_drawn": one.others,
        "mean": None if judged is None else judged.mean,
        "spread": None if judged is None else judged.spread,
        "inside_lower": None if judged is None else judged.inside_lower,
        "inside_upper": None if judged is None else judged.inside_upper,
        "beyond": None if judged is None else judged.beyond,
        "most_beyond": None if judged is None else judged.most_beyond,
        "accepted": one.accepted,
        "says": outcome(one, "si"),
    }
