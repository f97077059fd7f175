"""Strength against density by the plant's own tests: the line, its band, the least density.

Read :func:`strength_line`. One point is one lot: the mean of its tests at the density of its
specimens, for tests of one lot share its density and are no further proof of the line. What seems
not to belong is flagged and kept.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from beadwright.errors import OutOfRange
from beadwright.ledger import settings
from beadwright.plant.bounds import LimitInForce
from beadwright.plant.limits import rulebook
from beadwright.plant.set_up.own_tests import OwnTests, own_tests
from beadwright.statistics.regression import Inverse, Line, Suspect, inverse, lightest, suspects

__all__ = ["CONFIDENCE", "LEAST", "AtLimit", "StrengthLine", "by_lot", "strength_line"]

LEAST = 6
"""Lots without which no line is drawn. Common practice, no source."""

CONFIDENCE = 0.95
_COVERAGE = 0.90


@dataclass(frozen=True, slots=True)
class AtLimit:
    """One limit, and the density at which it is met."""

    limit: LimitInForce
    lightest_kg_m3: float | None
    """From here on nine lots in ten reach it, with 90 % confidence; None: nowhere tested."""
    found: Inverse | None
    """Where the line itself reaches it, with its 95 % interval; None where the slope is unsure."""


@dataclass(frozen=True, slots=True)
class StrengthLine:
    """The plant's own line, or why there is none."""

    product: str
    characteristic: str
    density_kg_m3: tuple[float, ...]
    value_si: tuple[float, ...]
    line: Line | None
    flagged: tuple[Suspect, ...]
    """Lots far from the line of the others, the furthest first; they are in the line all the same.
    """
    without: Line | None
    limits: tuple[AtLimit, ...]
    source: str
    why_not: str = ""


def strength_line(plant_no: int, product: str, characteristic: str, at_ms: int) -> StrengthLine:
    """Fit the plant's tests of a product, lot by lot."""
    in_force = settings.load(plant_no)
    tests = own_tests(plant_no, in_force, [product], characteristic, at_ms)
    density, value = by_lot(tests)
    every = rulebook(plant_no, in_force).limits(product, at_ms)
    limits = [
        one
        for one in every
        if one.characteristic == characteristic and one.bound == "min" and not one.unusable
    ]
    bare = (product, characteristic, density, value)
    if len(density) < LEAST or math.isclose(min(density), max(density)):
        why = f"{len(density)} lots have both; {LEAST} of differing density are needed"
        return StrengthLine(*bare, None, (), None, (), tests.source, why)
    seen = suspects(density, value)
    told = tuple(_at(one, seen.line) for one in limits)
    return StrengthLine(*bare, seen.line, seen.flagged, seen.without, told, tests.source)


def by_lot(tests: OwnTests) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Give one point a lot: its density, and the mean of its tests."""
    found: dict[float, list[float]] = {}
    for density, value in zip(tests.density_kg_m3, tests.value, strict=True):
        found.setdefault(density, []).append(value)
    order = sorted(found)
    return tuple(order), tuple(_mean(found[one]) for one in order)


def _mean(values: Sequence[float]) -> float:
    return math.fsum(values) / len(values)


def _at(limit: LimitInForce, line: Line) -> AtLimit:
    bound = float(limit.value_si)
    if line.slope <= 0:
        return AtLimit(limit, None, None)
    try:
        found = inverse(line, bound, CONFIDENCE)
    except OutOfRange:
        found = None
    return AtLimit(limit, lightest(line, bound, _COVERAGE, _COVERAGE), found)
