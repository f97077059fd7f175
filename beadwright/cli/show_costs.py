"""What `costs` says: a row for each product, press or day, then what is worth what, and scrap."""

from __future__ import annotations

from pathlib import Path

from beadwright.charts.day_by_day import draw as drawn
from beadwright.cli import drawing
from beadwright.cli.printed import Page, write_json
from beadwright.errors import Misuse
from beadwright.plant.costs import Costs, costs_json, mix_told, prices_told, says, total_of
from beadwright.plant.costs.rows import Row
from beadwright.plant.costs.told import SAME_MIX
from beadwright.plant.opening import Plant
from beadwright.plant.words import number
from beadwright.reports.cost_picture import picture

__all__ = ["draw", "show"]


def draw(plant: Plant, found: Costs, to: Path) -> None:
    """Write the picture of what a good block cost day by day.

    Raises
    ------
    Misuse
        If no day has a figure.
    """
    spec = picture(plant, found)
    if spec is None:
        lacking = f": {', '.join(found.lacks)} is not set" if found.lacks else ""
        message = f"no day has a figure, there is nothing to draw{lacking}"
        raise Misuse(message)
    drawing.draw(drawn(spec), to)


def show(plant: Plant, found: Costs, *, json: bool) -> None:
    """Print costs."""
    if json:
        write_json(costs_json(plant, found))
        return
    page = Page()
    page.line(f"A good block of plant {plant.code}, {found.since} to {found.until}")
    for text in says(plant, found):
        page.item(text)
    if not found.rows:
        page.line("No good block was counted.")
        return
    _table(page, found)
    page.line('"scrapped" is of all blocks moulded; "lost in scrap" what those cost a good block.')
    if mix := mix_told(found):
        page.line(mix)
    for one in found.rows:
        _worth(page, one)
    if found.prices:
        page.heading("Prices")
        page.table(("of", "price>", "!setting", "set from"), prices_told(plant, found))
    for lack in found.lacks:
        page.line(f"Not known without {lack}.")


def _table(page: Page, found: Costs) -> None:
    names = [part.name for part in found.rows[0].parts]
    mixed = any(one.same_mix is not None for one in found.rows)
    columns = (
        f"!{found.by}", "!good>", "scrapped>", *(f"{name}>" for name in names), "!in all>",
        *((f"!{SAME_MIX}>",) if mixed else ()),
    )  # fmt: skip
    year = len("2026-") if found.by == "day" and found.since.year == found.until.year else 0
    totals = {one.name: total_of(one) for one in found.rows}
    page.table(columns, [
        (one.name[year:], str(one.good), f"{100 * one.share_scrap:.1f} %",
         *(_money(part.per_block) for part in one.parts),
         totals[one.name][0] + ("*" if totals[one.name][1] else ""),
         *((_money(one.same_mix),) if mixed else ()))
        for one in found.rows
    ])  # fmt: skip
    for without in sorted({lacks for _, lacks in totals.values() if lacks}):
        page.line(f"* {without.capitalize()}: no lot of it was weighed a day old or dry.")


def _worth(page: Page, one: Row) -> None:
    page.heading(f"{one.name}: what is worth what")
    page.item(f"One per cent of density: {_money(one.per_cent)}.")
    page.item(f"One point of scrap: {_money(one.point)}.")
    for cause, blocks, money in one.scrap_by_cause:
        page.item(f"Scrap, {cause}: {number(blocks, 'block')}, {_money(money)}.")
    for part in one.parts:
        if part.why:
            page.item(f"Unknown, {part.name}: {part.why}.")


def _money(value: float | None) -> str:
    return "unknown" if value is None else f"{value:.3f}"
