"""Reasons in the units of who reads them: a figure beside its limit, and masses of the books.

Read :func:`in_units`. What is decided, and its order, stay as they were judged.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from decimal import Decimal

from beadwright.plant.assessment import Reason
from beadwright.plant.limit_rows import DIGITS, rows
from beadwright.plant.masses_said import masses_in
from beadwright.plant.reasons import of_limits
from beadwright.plant.verdicts import LimitResult, shown
from beadwright.units import System

__all__ = ["in_units"]


def in_units(
    reasons: Iterable[Reason], limits: Sequence[LimitResult], units: System
) -> tuple[Reason, ...]:
    """Give reasons with the figures of the limits, and with masses, in units of choice."""
    shown = of_limits([_shown(one, units) for one in limits])
    words = {was: now.sentence for was, now in zip(of_limits(limits), shown, strict=True)}
    return tuple(replace(one, sentence=words.get(one) or _in_units(one, units)) for one in reasons)


def _in_units(one: Reason, units: System) -> str:
    return one.us if one.us and units == "us" else masses_in(one.sentence, units)


def _shown(result: LimitResult, units: System) -> LimitResult:
    """Give what was judged with its texts as the limit's row shows them."""
    (row,) = rows([result], units)
    if not row.found or result.limit.kind not in DIGITS:
        return result
    _, number, unit = row.limit.split(" ", 2)
    if unit == result.limit.unit:
        return result
    limit = replace(result.limit, value=Decimal(number), unit=unit)
    guard = "" if result.guard_si is None else shown(result.guard_si, limit)
    found, margin = f"{row.found} {unit}", f"{row.margin} {unit}"
    return replace(result, value=found, margin=margin, limit=limit, guard=guard)
