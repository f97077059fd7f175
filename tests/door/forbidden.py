"""What a plant forbids, one way to do each: the yard made ready, and the step that breaks the rule.

Every step is said as at hour 1440, which is the yard's own now; so the same step can be planned.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from beadwright.ledger import lots
from beadwright.ledger.draft import (
    Evidence,
    Line,
    Material,
    NewLot,
    StepDraft,
)
from beadwright.plant.release import assess
from tests.plant.yard import Yard, ms

__all__ = ["FORBIDDEN", "NOW_H", "Broken", "kg", "planned"]

NOW_H = 1440
"""The yard's clock stands at this hour of the plant."""


def kg(mass: float) -> int:
    """Milligrams."""
    return round(mass * 1_000_000)


def planned(draft: StepDraft) -> StepDraft:
    """The same step before it has happened."""
    return replace(draft, planned=True, happened_at=None)


@dataclass(frozen=True)
class Broken:
    """A step that breaks one rule: its draft, and the root of the cause its outputs carry."""

    draft: StepDraft
    cause: str


def _ready(yard: Yard, *, grade: str = "F1", filled: float = NOW_H - 12) -> None:
    yard.bag("B-1", grade=grade)
    yard.carton("T-1")
    yard.expand("B-1", "S1", at=filled)


def _mould(*, product: str = "FB6", foam: float = 59.8, rest: float = 0) -> StepDraft:
    """Forty blocks: 59.8 kg of foam and 64.8 kg of ties, unless said otherwise."""
    ties = 240 * kg(0.27)
    out = kg(foam) + ties - kg(rest)
    new = NewLot("L1", Material.BLOCK, "mould run", product, unit_mg=out // 40)
    lines = (
        Line("S1", -1, kg(foam), 0, Evidence.BACKFLUSHED),
        Line("T-1", -1, ties, 240, Evidence.COUNTED),
        Line("L1", 1, out, 40, Evidence.COUNTED),
    )
    return StepDraft(
        "mould/x", "mould", ms(NOW_H), lines, (), kg(rest), (new,), product=product, place="FP1"
    )


def _wrong_grade(yard: Yard) -> Broken:
    _ready(yard, grade="PK1")
    return Broken(_mould(), "wrong_grade:S1")


def _no_approved_list(yard: Yard) -> Broken:
    _ready(yard)
    yard.set("product", "FB8", family="form", title="Not listed yet")
    draft = _mould(product="FB8")
    return Broken(draft, "no_approved_list:step mould/x")


def _wrong_grade_in_place(yard: Yard) -> Broken:
    yard.bag("B-1", grade="PK1")
    yard.set("place", "S3", kind="silo", content=True, accepts=["F1"])
    lines = (Line("B-1", -1, kg(40)), Line("S3", 1, kg(40)))
    return Broken(StepDraft("x", "expand", ms(NOW_H), lines), "wrong_grade_in_place:B-1")


def _reclaim_in_block(yard: Yard) -> Broken:
    _ready(yard)
    regrind = NewLot("R-1", Material.REGRIND, "bag", grades=("F1",))
    yard.step("receipt", 0, [Line("R-1", 1, kg(50))], regrind)
    yard.transfer("R-1", "S1", 10, at=NOW_H - 11)
    return Broken(_mould(), "reclaim_in_block:S1")


def _too_fresh(yard: Yard) -> Broken:
    _ready(yard, filled=NOW_H - 7.9)
    return Broken(_mould(), "too_fresh:S1")


def _too_old(yard: Yard) -> Broken:
    _ready(yard, filled=NOW_H - 96.1)
    return Broken(_mould(), "too_old:S1")


def _more_than_held(yard: Yard) -> Broken:
    _ready(yard)
    lines = (Line("S1", -1, kg(421)), Line("S2", 1, kg(421)))
    return Broken(StepDraft("x", "fill", ms(NOW_H), lines), "more_than_held:S1")


def _imbalance(yard: Yard) -> Broken:
    _ready(yard)
    return Broken(_mould(rest=10), "imbalance:step mould/x")


def _on_hold(yard: Yard) -> Broken:
    _ready(yard)
    yard.hold("H1", "S1", at=NOW_H - 2)
    return Broken(_mould(), "on_hold:S1")


def _unknown_product(yard: Yard) -> Broken:
    _ready(yard)
    return Broken(_mould(product="NOPE"), "unknown_product:step mould/x")


def _taken(yard: Yard, kind: str, made: str, *, age: float = 1, **facts: str) -> StepDraft:
    """Twenty blocks of L1, moulded some hours ago, taken into another lot."""
    _ready(yard, filled=NOW_H - 11 - age)
    yard.mould("L1", at=NOW_H - age)
    block = lots.get(yard.no, "L1")
    assert block is not None
    mg = 20 * block.unit_mg
    new = NewLot("N-1", Material.BLOCK, made, "FB6", unit_mg=block.unit_mg)
    place = "outside:QUARRY LANE" if kind == "ship" else ""
    lines = (
        Line("L1", -1, mg, 20, Evidence.COUNTED),
        Line("N-1", 1, mg, 20, Evidence.COUNTED, place=place),
    )
    return StepDraft("x", kind, ms(NOW_H), lines, new_lots=(new,), facts=facts)


def _not_released(yard: Yard) -> Broken:
    yard.set("release", "rule", {"persons": 1})
    return Broken(_taken(yard, "ship", "shipment"), "not_released:L1")


def _bundle_of_other_product(yard: Yard) -> Broken:
    draft = _taken(yard, "bundle", "bundle")
    of_other = replace(draft.new_lots[0], product="FB8")
    return Broken(replace(draft, new_lots=(of_other,)), "bundle_of_other_product:L1")


def _too_young_to_wrap(yard: Yard) -> Broken:
    yard.set("age_gate", "wrap", {"min_h": "1.5"})
    return Broken(_taken(yard, "bundle", "bundle"), "too_young_to_wrap:L1")


def _too_young_for_trailer(yard: Yard) -> Broken:
    yard.set("age_gate", "closed_trailer", {"min_h": "72"})
    draft = _taken(yard, "ship", "shipment", age=30, trailer="closed")
    _release(yard)
    return Broken(draft, "too_young_for_trailer:L1")


def _too_young_to_cut(yard: Yard) -> Broken:
    yard.set("age_gate", "hot_wire", {"min_h": "48"})
    draft = _taken(yard, "sample", "sample", cut="hot wire")
    return Broken(draft, "too_young_to_cut:L1")


def _release(yard: Yard) -> None:
    """Let nothing but the age stand in the way of lot L1."""
    yard.limit("MASS", "block_mass", "min", "3.0 kg")
    yard.weigh("L1", "24h", [3.2], at=NOW_H - 2)
    (told,) = assess(yard.no, ["L1"]).lots
    yard.release("L1", told.evidence, at=NOW_H - 1)


FORBIDDEN: Mapping[str, Callable[[Yard], Broken]] = {
    "wrong_grade": _wrong_grade,
    "no_approved_list": _no_approved_list,
    "wrong_grade_in_place": _wrong_grade_in_place,
    "reclaim_in_block": _reclaim_in_block,
    "too_fresh": _too_fresh,
    "too_old": _too_old,
    "more_than_held": _more_than_held,
    "imbalance": _imbalance,
    "on_hold": _on_hold,
    "not_released": _not_released,
    "bundle_of_other_product": _bundle_of_other_product,
    "too_young_to_wrap": _too_young_to_wrap,
    "too_young_for_trailer": _too_young_for_trailer,
    "too_young_to_cut": _too_young_to_cut,
    "unknown_product": _unknown_product,
}
"""For each code of what a plant forbids, the yard made ready and the step that breaks the rule."""
