"""A product's inspection plan as a person sets it: a published one, or one of two points.

Read :class:`PlanSet` and :func:`plan_set`. The setting is ``[inspection.PRODUCT]``, dated.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from beadwright.errors import BeadwrightError, OutOfRange
from beadwright.plant.products import quantity
from beadwright.statistics.sampling import (
    Level,
    Model,
    Scheme,
    Severity,
    SinglePlan,
    TwoPoints,
    design_single,
    published_plan,
)
from beadwright.units import parse_number

__all__ = ["LEVELS", "TOPIC", "WAITS_SAID", "PlanSet", "plan_faults", "plan_set"]

TOPIC = "inspection"
LEVELS = tuple(str(one) for one in Level)
WAITS_SAID = {
    True: "A lot is released only when it is accepted by it.",
    False: "It holds and releases nothing by itself.",
}
"""What a plan says of release, by whether a lot waits with its release for it."""
_LEAST = 2
"""Pieces of a lot that a plan can be made for."""


@dataclass(frozen=True, slots=True)
class PlanSet:
    """What a product's lots are inspected by."""

    aql: float | None
    """In per cent, of a published plan; None where the plan is made of two points."""
    level: Level
    points: TwoPoints | None
    switching: bool
    """Whether inspection is tightened and eased by what was found: of a published plan only."""
    reduced: bool
    """Whether reduced inspection is agreed."""
    for_release: bool = False
    """Whether a lot waits with its release for being accepted by it."""

    def plan(self, pieces: int, severity: Severity) -> SinglePlan:
        """Give the plan for a lot of so many pieces; of one or two, every piece.

        Raises
        ------
        OutOfRange
            If the published tables have no such plan.
        """
        if pieces < _LEAST:
            return SinglePlan(max(1, pieces), 0)
        if self.points is not None:
            try:
                return design_single(self.points, Model.LOT, pieces)
            except OutOfRange:  # too small a lot to keep the two points apart: every piece
                return SinglePlan(pieces, 0)
        strict = Severity.TIGHTENED if severity is Severity.DISCONTINUED else severity
        found = published_plan(
            lot=pieces, aql=self.aql or 0.0, level=self.level, severity=strict,
            scheme=Scheme.ISO_2859_1,
        )  # fmt: skip
        if found.plan.size >= pieces:
            return SinglePlan(pieces, found.plan.accept)
        return found.plan


def plan_set(body: Mapping[str, object]) -> PlanSet:
    """Read a setting.

    Raises
    ------
    OutOfRange, BeadwrightError
        If it states neither an AQL of the tables nor two points that part, or both.
    """
    level = Level(str(body.get("level") or Level.II))
    waits = body.get("for_release") is True
    given = [body.get(name) for name in ("good", "bad")]
    if body.get("aql") and not any(given):
        aql = float(parse_number(str(body["aql"]), decimal="."))
        published_plan(lot=1000, aql=aql, level=level)
        switching, reduced = (body.get(name) is True for name in ("switching", "reduced"))
        return PlanSet(aql, level, None, switching, reduced, waits)
    if all(given) and not body.get("aql"):
        good, bad = (quantity(one, "fraction") for one in given)
        points = TwoPoints(good, bad)
        return PlanSet(None, level, points, switching=False, reduced=False, for_release=waits)
    msg = "aql"
    raise OutOfRange(msg, body.get("aql", ""), valid="stated alone, or good and bad stated")


def plan_faults(body: Mapping[str, object]) -> list[tuple[str, object]]:
    """Give each part of a setting that no plan can be made of."""
    try:
        plan_set(body)
    except (BeadwrightError, ValueError):
        name = next((one for one in ("aql", "good", "bad", "level") if body.get(one)), "aql")
        return [(name, body.get(name, ""))]
    if body.get("reduced") is True and body.get("switching") is not True:
        return [("reduced", True)]
    return [("switching", True)] if body.get("switching") is True and not body.get("aql") else []
