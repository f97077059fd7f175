"""What `inspection` says: the plan, where it stands, each lot; and which pieces of one lot."""

from __future__ import annotations

from pathlib import Path

from beadwright.charts import curves
from beadwright.charts.oc_curve import OcCurve
from beadwright.charts.oc_curve import picture as drawn
from beadwright.cli.handing import require_new
from beadwright.cli.printed import Page, write_json
from beadwright.errors import Misuse
from beadwright.plant.inspection_plans.standing import Standing, asked_of, standing
from beadwright.plant.inspection_plans.told import (
    CAUTION,
    GOVERN,
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


def of_lot(plant: Plant, product: str, lot: str) -> None:
    """Print what the plan asks of one lot."""
    found = asked_of(plant, lot)
    if found is None:
        message = f"no inspection plan was set for {product} when {lot} was made"
        raise Misuse(message)
    page = Page()
    page.line(f"Caution. {CAUTION} {GOVERN}")
    page.line()
    for text in lot_told(found):
        page.item(text)


def of_product(plant: Plant, product: str, picture: Path | None, *, json: bool) -> None:
    """Print where inspection of a product stands."""
    found = standing(plant, product)
    if picture is not None:
        _draw(found, picture)
    if json:
        write_json(standing_json(plant, found))
        return
    page = Page()
    page.line(f"Inspection plan of {product}")
    page.line(f"Caution. {CAUTION} {GOVERN}")
    page.line()
    if found.plan is None:
        page.line(f"None is set: state [inspection.{product}] in the plant's settings.")
        return
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


def _draw(found: Standing, to: Path) -> None:
    require_new(to)
    one = found.like
    if one is None:
        message = "no lot was sampled since the plan was set: there is nothing to draw"
        raise Misuse(message)
    short = f"{one.plan.size} of {one.pieces} pieces, at most {one.plan.accept} bad"
    picture = curves.draw(drawn(OcCurve(one.plan, short, one.pieces)))
    to.write_text(f"{curves.alone(picture)}\n", encoding="utf-8")
