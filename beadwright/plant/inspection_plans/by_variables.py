"""Lots of a product by its variables plans: measured values against the limits of each piece.

Read :func:`by_variables` and :func:`of_lot`. Nothing of it is kept: it is worked out from the
readings that a release is decided on.
"""

from __future__ import annotations

from dataclasses import dataclass

from beadwright.ledger import settings
from beadwright.ledger.lots import LotView
from beadwright.ledger.settings import Settings
from beadwright.plant.inspection_plans.folded import made_of
from beadwright.plant.inspection_plans.lot_measured import JudgedBy, LotMeasured, measured_lots
from beadwright.plant.inspection_plans.variables_set import (
    Plans,
    VariablesSet,
    variables_in_force,
)
from beadwright.plant.limits import rulebook
from beadwright.plant.lots_read import lots_read
from beadwright.plant.moment import moment
from beadwright.plant.opening import Plant
from beadwright.plant.plan import Planbook
from beadwright.plant.restatements import restating
from beadwright.quality import readings

__all__ = ["ByVariables", "by_variables", "of_lot"]

_MOST = 60
"""Newest lots that are judged."""


@dataclass(frozen=True, slots=True)
class ByVariables:
    """One plan of a product, and its lots."""

    its: VariablesSet
    """As it is set now."""
    since_ms: int
    lots: tuple[LotMeasured, ...]
    """Made since the plan was first set, oldest first; the newest sixty."""


def by_variables(plant: Plant, product: str, at_ms: int | None = None) -> tuple[ByVariables, ...]:
    """Give every variables plan of a product with its lots."""
    now = moment(plant) if at_ms is None else at_ms
    in_force = settings.load(plant.no)
    plans = variables_in_force(in_force)
    its = {
        name: known
        for name, versions in plans.items()
        if (known := [one for one in versions if one[0] <= now]) and known[-1][1].product == product
    }
    if not its:
        return ()
    first = min(versions[0][0] for versions in its.values())
    made = [view for view, _ in made_of(plant.no, product, now) if (view.first or 0) >= first]
    found = _judged(plant, in_force, made[-_MOST:], plans, now)
    return tuple(
        ByVariables(
            versions[-1][1], versions[-1][0], tuple(one for one in found if one.its.name == name)
        )
        for name, versions in its.items()
    )


def of_lot(plant: Plant, lot: str, product: str) -> tuple[LotMeasured, ...]:
    """Give what each variables plan asks of one lot, and what it came to."""
    now, in_force = moment(plant), settings.load(plant.no)
    plans = variables_in_force(in_force)
    if not plans:
        return ()
    made = [view for view, _ in made_of(plant.no, product, now) if view.code == lot]
    return _judged(plant, in_force, made, plans, now)


def _judged(
    plant: Plant, in_force: Settings, made: list[LotView], plans: Plans, now: int
) -> tuple[LotMeasured, ...]:
    """Judge lots, in their order, by the plans of their product."""
    if not made:
        return ()
    codes = [view.code for view in made]
    read = lots_read(plant.no, codes, in_force, now)
    said = readings.of_lots(plant.no, codes, voided=True)
    restated = restating(plant.no, said, ((code, ()) for code in codes), plant.zone)
    by = JudgedBy(plans, rulebook(plant.no, in_force), Planbook(in_force), restated)
    found = measured_lots([(read[view.code], view.first or 0) for view in made], by)
    return tuple(one for view in made for one in found.get(view.code, ()))
