"""What `inspection` says: the plan, where it stands, each lot; and which pieces of one lot."""

from __future__ import annotations

from pathlib import Path

from beadwright.charts import curves
from beadwright.charts.oc_curve import OcCurve
from beadwright.charts.oc_curve import picture as drawn
from beadwright.cli import drawing
from beadwright.cli.printed import Page, write_json
from beadwright.errors import Misuse
from beadwright.plant.inspection_plans.by_variables import ByVariables, by_variables
from beadwright.plant.inspection_plans.by_variables import of_lot as variables_of
from beadwright.plant.inspection_plans.by_variables_told import NORMAL
from beadwright.plant.inspection_plans.by_variables_told import protects as protects_by
from beadwright.plant.inspection_plans.folded import LotSeen
from beadwright.plant.inspection_plans.measured_told import asks, outcome, pieces_drawn
from beadwright.plant.inspection_plans.standing import AskedOfLot, Standing, asked_of, standing
from beadwright.plant.inspection_plans.told import (
    CAUTION,
    GOVERN,
    lot_json,
    lot_told,
    plan_told,
    protects,
    standing_json,
    told,
)
from beadwright.plant.opening import Plant
from beadwright.plant.words import number

__all__ = ["of_lot", "of_product"]

_SHOWN = 30


def of_lot(plant: Plant, product: str, lot: str, picture: Path | None, *, json: bool) -> None:
    """Print what the plan asks of one lot.

    Raises
    ------
    Misuse
        If the lot is of another product, or there was no plan.
    """
    found, measured = asked_of(plant, lot, product), variables_of(plant, lot, product)
    if found is None and not measured:
        message = f"no inspection plan was set for {product} when {lot} was made"
        raise Misuse(message)
    if picture is not None:
        _draw_lot(found, picture, lot)
    if json:
        write_json(lot_json(plant, product, found, measured))
        return
    page = Page()
    page.line(f"Caution. {CAUTION} {GOVERN}")
    page.line()
    for text in () if found is None else lot_told(found):
        page.item(text)
    for one in measured:
        page.heading(f"By the variables plan {one.its.name}")
        page.item(asks(one.its, "si"))
        page.item(pieces_drawn(one))
        page.item(outcome(one, "si"))


def _draw_lot(found: AskedOfLot | None, picture: Path, lot: str) -> None:
    if found is None:
        message = f"{lot} has no plan for pass and fail to draw"
        raise Misuse(message)
    _draw(found.seen, picture)


def of_product(plant: Plant, product: str, picture: Path | None, *, json: bool) -> None:
    """Print where inspection of a product stands."""
    found, measured = standing(plant, product), by_variables(plant, product)
    if picture is not None:
        _draw(_like(found), picture)
    if json:
        write_json(standing_json(plant, found, measured))
        return
    page = Page()
    page.line(f"Inspection plan of {product}")
    page.line(f"Caution. {CAUTION} {GOVERN}")
    page.line()
    if found.plan is None:
        besides = "; a variables plan is, below" if measured else ""
        page.line(f"No plan of pieces looked over (pass and fail) is set{besides}.")
        page.line(f"To set one, state [inspection.{product}] in the plant's settings.")
    else:
        _pass_and_fail(page, found)
    for one in measured:
        _measured(page, one)


def _measured(page: Page, one: ByVariables) -> None:
    page.heading(f"Variables plan {one.its.name}")
    for text in (asks(one.its, "si"), protects_by(one.its), NORMAL):
        page.item(text)
    for lot in one.lots[-_SHOWN:]:
        page.item(f"{lot.lot}: {outcome(lot, 'si')}")


def _pass_and_fail(page: Page, found: Standing) -> None:
    assert found.plan is not None  # noqa: S101 - who asks has looked
    page.line(plan_told(found.plan))
    page.line(told(found))
    if found.like is not None:
        page.heading(f"What it protects against, in a lot like {found.like.lot}")
        for text in protects(found.like):
            page.item(text)
    if led := [one for one in found.lots if one.changed]:
        page.heading("What changed inspection")
        for one in led[-_SHOWN:]:
            page.item(f"After {one.lot}: {one.changed}")
    page.heading(f"{number(len(found.lots), 'lot')} made since")
    for one in found.lots[-_SHOWN:]:
        changed = f"; from here on {one.changed}" if one.changed else ""
        page.item(f"{one.lot}, {one.by}: {one.outcome}{changed}")


def _like(found: Standing) -> LotSeen:
    if found.like is None:
        message = "no lot was sampled since the plan was set: there is nothing to draw"
        raise Misuse(message)
    return found.like


def _draw(one: LotSeen, to: Path) -> None:
    if one.plan.size >= one.pieces:
        message = f"every piece of {one.lot} is looked at: there is no curve to draw"
        raise Misuse(message)
    short = f"{one.plan.size} of {one.pieces} pieces, at most {one.plan.accept} bad"
    picture = curves.draw(drawn(OcCurve(one.plan, short, one.pieces)))
    drawing.draw(picture, to)
