"""What `stock` says: places that hold beads, then lots by kind and place."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from beadwright.cli.printed import Page, local, write_json
from beadwright.cli.stocking import contents, together
from beadwright.ledger.draft import RECLAIM
from beadwright.ledger.lots import LotView
from beadwright.plant.figures import mass, percent
from beadwright.plant.moment import moment
from beadwright.plant.opening import Plant
from beadwright.plant.words import KIND_WORDS, iso
from beadwright.units import System

__all__ = ["show", "stock_json"]

_HOUR_MS = 3_600_000
_LONG_H = 240
"""Hours beyond which nobody counts hours."""


def show(plant: Plant, found: Sequence[LotView], *, each: bool, units: System, json: bool) -> None:
    """Print the stock."""
    if json:
        write_json(stock_json(plant, found))
        return
    page = Page()
    page.line(f"Stock of {plant.name}, plant {plant.code}, by the books")
    page.line(f"Record to entry {plant.head[0]}; times in {plant.zone.key}")
    _contents(page, plant, contents(found), units)
    if each:
        _lots(page, [lot for lot in found if lot.what != "content"], units)
    else:
        _sums(page, found, units)


def _contents(page: Page, plant: Plant, found: Sequence[LotView], units: System) -> None:
    full = [lot for lot in found if lot.mg]
    page.heading("Silos, hoppers and lines with beads in them")
    now = moment(plant)
    rows = [
        (
            lot.code,
            mass(lot.mg, units),
            _grades(lot),
            "" if lot.first is None else local(lot.first, plant.zone),
            "" if lot.last is None else local(lot.last, plant.zone),
            "" if lot.last is None else _age(now - lot.last),
            f"{len(lot.causes)}" if lot.causes else "",
        )
        for lot in full
    ]
    columns = ("!place", "!mass>", "grades", "!first in", "!last in", "!rested>", "marks>")
    page.table(columns, rows)
    empty = [lot.code for lot in found if not lot.mg]
    if empty:
        page.line(f"Empty by the books: {', '.join(empty)}", indent=2)
    if any(lot.causes for lot in full):
        page.line(
            "Marks: holds and nonconformities that reach it (closed ones too); only a swept empty"
            " place is rid of them.",
            indent=2,
        )


def _grades(lot: LotView) -> str:
    """Give the grades of a lot; of foam moulded before its share, where it is not all of it."""
    part = 0 < lot.reclaim < 1
    return " + ".join(
        f"{name} {percent(lot.reclaim)} %" if name == RECLAIM and part else name
        for name in lot.grades
    )


def _age(ms: int) -> str:
    hours = ms / _HOUR_MS
    return f"{hours:.0f} h" if hours < _LONG_H else f"{hours / 24:.0f} d"


def _sums(page: Page, found: Sequence[LotView], units: System) -> None:
    page.heading("Everything else, by kind and place (--lots for each)")
    rows = [
        (
            KIND_WORDS.get(one.what or one.kind, one.what or one.kind),
            one.product,
            one.place,
            str(one.lots),
            str(one.pieces) if one.pieces else "",
            mass(one.mg, units),
        )
        for one in together(found)
    ]
    page.table(("kind", "product or grade", "place", "!lots>", "!pieces>", "!mass>"), rows)


def _lots(page: Page, found: Sequence[LotView], units: System) -> None:
    page.heading("Every other lot")
    rows = [
        (
            lot.code,
            KIND_WORDS.get(lot.what or lot.kind, lot.what or lot.kind),
            lot.product or _grades(lot),
            lot.place,
            str(lot.pieces) if lot.pieces else "",
            mass(lot.mg, units),
        )
        for lot in found
    ]
    page.table(("!lot", "kind", "product or grade", "place", "!pieces>", "!mass>"), rows)


def stock_json(plant: Plant, found: Sequence[LotView]) -> dict[str, Any]:
    """Give the stock as a map that JSON can hold; masses in mg."""
    return {
        **plant.about,
        "lots": [
            {
                "lot": lot.code,
                "id": lot.id,
                "kind": lot.kind,
                "what": lot.what,
                "product": lot.product,
                "place": lot.place,
                "grades": list(lot.grades),
                "reclaim_share": lot.reclaim,
                "causes": list(lot.causes),
                "mass_mg": lot.mg,
                "pieces": lot.pieces,
                "piece_mg": lot.unit_mg,
                "first_in": iso(lot.first, plant.zone),
                "last_in": iso(lot.last, plant.zone),
            }
            for lot in found
        ],
    }
