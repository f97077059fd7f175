"""The tolerance of a product's characteristic, by the limits in force.

Read :func:`tolerance_of`.
"""

from __future__ import annotations

from decimal import Decimal

from beadwright.errors import BeadwrightError, Misuse
from beadwright.ledger import settings
from beadwright.plant.gauge_studies.crossed import Tolerance
from beadwright.plant.limits import LimitInForce, rulebook
from beadwright.units import from_si, to_si

__all__ = ["tolerance_of"]


def tolerance_of(
    plant_no: int, at_ms: int, product: str, characteristic: str, unit: str
) -> Tolerance:
    """Give the narrowest tolerance that limits of both sides leave, in the study's unit.

    Raises
    ------
    Misuse
        If the product has no limits on it, limits to one side only, or they are in a unit of
        another quantity than was measured.
    """
    every = rulebook(plant_no, settings.load(plant_no)).limits(product, at_ms)
    mine = [one for one in every if one.characteristic == characteristic and not one.unusable]
    if not mine:
        there = ", ".join(sorted({one.characteristic for one in every})) or "none"
        message = f"{product} has no limit on {characteristic}; there are limits on: {there}"
        raise Misuse(message)
    ends = {bound: [one for one in mine if one.bound == bound] for bound in ("min", "max")}
    if not all(ends.values()):
        side = "least" if ends["min"] else "most"
        message = (
            f"{characteristic} of {product} has a {side} alone: there is no tolerance to take a"
            " share of; state a tolerance, or judge by the share of the study"
        )
        raise Misuse(message)
    low = max(ends["min"], key=lambda one: one.value_si)
    high = min(ends["max"], key=lambda one: one.value_si)
    values = [_into(one, unit) for one in (low, high)]
    if values[0] >= values[1]:
        message = f"limits {low.name} and {high.name} leave no tolerance between them"
        raise Misuse(message)
    return Tolerance(values[0], values[1], unit, f"limits {low.name} and {high.name}")


def _into(limit: LimitInForce, unit: str) -> Decimal:
    if limit.unit == unit:
        return limit.value
    try:
        if limit.kind is None:
            raise _another(limit, unit)
        to_si(Decimal(1), unit, limit.kind)
        return from_si(limit.value_si, unit, limit.kind)
    except BeadwrightError as error:
        raise _another(limit, unit) from error


def _another(limit: LimitInForce, unit: str) -> Misuse:
    message = f"limit {limit.name} is in {limit.unit}, and what was measured is in {unit}"
    return Misuse(message)
