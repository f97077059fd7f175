"""What `costs` says: a row for each product, press or day, then scrap by cause."""

from __future__ import annotations

from beadwright.cli.printed import Page, write_json
from beadwright.plant.costs import COSTS_SAY, Costs, costs_json
from beadwright.plant.opening import Plant

__all__ = ["show"]


def show(plant: Plant, found: Costs, *, json: bool) -> None:
    """Print costs."""
    if json:
        write_json(costs_json(plant, found))
        return
    page = Page()
    page.line(f"A good block of plant {plant.code}, {found.since} to {found.until}")
    page.line(COSTS_SAY)
    if not found.rows:
        page.line("No good block was counted.")
        return
    names = [part.name for part in found.rows[0].parts]
    columns = (f"!{found.by}", "!good>", "scrap>", *(f"{name}>" for name in names), "!in all>")
    page.table(columns, [
        (one.name, str(one.good), f"{100 * one.share_scrap:.1f} %",
         *(_money(part.per_block) for part in one.parts), _money(one.total))
        for one in found.rows
    ])  # fmt: skip
    for one in found.rows:
        page.heading(f"{one.name}: what is worth what")
        page.item(f"One per cent of density: {_money(one.per_cent)}.")
        page.item(f"One point of scrap: {_money(one.point)}.")
        for cause, blocks, money in one.scrap_by_cause:
            page.item(f"Scrap, {cause}: {blocks} blocks, {_money(money)}.")
    for lack in found.lacks:
        page.line(f"Not known without {lack}.")


def _money(value: float | None) -> str:
    return "unknown" if value is None else f"{value:.3f}"
