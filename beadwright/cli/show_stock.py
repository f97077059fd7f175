"""What `stock` says: silos first, with grades and ages; then every other lot that has stock."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from beadwright.cli.printed import Page, iso, mass, write_json
from beadwright.cli.words import KIND_WORDS, number
from beadwright.ledger import lots
from beadwright.ledger.account import OUTSIDE
from beadwright.ledger.draft import Material
from beadwright.ledger.holds import open_causes
from beadwright.ledger.lots import LotView
from beadwright.plant.opening import Plant
from beadwright.units import System

__all__ = ["show", "stock_json"]

_HOUR_MS = 3_600_000
_ROWS = 15


def show(plant: Plant, *, units: System, json: bool) -> None:
    """Print the stock of a plant by its books."""
    views = [
        view
        for kind in Material
        for view in lots.of_kind(plant.no, kind)
        if (view.mg or view.what == "content") and not view.place.startswith(OUTSIDE)
    ]
    newest = lots.newest(plant.no)
    if json:
        write_json(stock_json(plant, views, newest))
        return
    page = Page()
    page.line(f"{plant.name}, plant {plant.code}, by the books; ages at the newest entry.")
    places = [view for view in views if view.what == "content"]
    page.heading("Silos, hoppers and lines")
    page.table(
        ("!place", "!mass>", "grades", "!first in, h>", "!last in, h>", "held by"),
        [(*_content(view, newest, units), _held(plant, view)) for view in places],
        indent=0,
    )
    for kind in Material:
        here = [v for v in views if v.kind == kind and v.what != "content"]
        if here:
            _kind(page, plant, here, units)


def _content(view: LotView, newest: int, units: System) -> tuple[str, str, str, str, str]:
    grades = ", ".join(view.grades)
    return (
        view.code,
        mass(view.mg, units),
        grades,
        _age(view.first, newest),
        _age(view.last, newest),
    )


def _age(at_ms: int | None, newest: int) -> str:
    return "" if at_ms is None else f"{(newest - at_ms) / _HOUR_MS:.1f}"


def _held(plant: Plant, view: LotView) -> str:
    return ", ".join(open_causes(plant.no, "|".join(view.causes)))


def _kind(page: Page, plant: Plant, here: Sequence[LotView], units: System) -> None:
    total = sum(view.mg for view in here)
    name = KIND_WORDS.get(here[0].kind, here[0].kind)
    page.heading(f"{name.capitalize()}: {number(len(here), 'lot')}, {mass(total, units)}")
    rows = [
        (
            view.code,
            KIND_WORDS.get(view.what, view.what),
            view.product or ", ".join(view.grades),
            str(view.pieces) if view.unit_mg else "",
            mass(view.mg, units),
            _held(plant, view),
        )
        for view in here[-_ROWS:]
    ]
    if len(here) > _ROWS:
        page.line(f"the newest {_ROWS} of them; all with --json", indent=2)
    page.table(("!lot", "what", "product", "!pieces>", "!mass>", "held by"), rows)


def stock_json(plant: Plant, views: Sequence[LotView], newest: int) -> dict[str, Any]:
    """Give the stock as JSON; masses in mg, whole numbers."""
    return {
        "plant": plant.code,
        "zone": plant.zone.key,
        "at": iso(newest, plant.zone),
        "lots": [
            {
                "lot": view.code,
                "kind": view.kind,
                "what": view.what,
                "product": view.product,
                "place": view.place,
                "mg": view.mg,
                "pieces": view.pieces if view.unit_mg else None,
                "grades": list(view.grades),
                "first_in": iso(view.first, plant.zone),
                "last_in": iso(view.last, plant.zone),
                "held_by": list(open_causes(plant.no, "|".join(view.causes))),
            }
            for view in views
        ],
    }
