"""What `defects` says: kinds by how many, then what stands out and what goes with it."""

from __future__ import annotations

from pathlib import Path

from beadwright.charts.pareto import ParetoChart
from beadwright.charts.pareto import draw as drawn
from beadwright.cli import drawing
from beadwright.cli.printed import Page, write_json
from beadwright.errors import Misuse
from beadwright.plant.defects import DEFECTS_SAY, Defects, defects_json, left_told, told
from beadwright.plant.defects.answer import Source
from beadwright.plant.opening import Plant
from beadwright.plant.words import in_runs, number

__all__ = ["draw", "show"]


def draw(found: Defects, to: Path) -> None:
    """Write the picture of the kinds of scrap; of those found when looked over, without any."""
    first = next((one for one in found.sources if one.pareto is not None), None)
    if first is None or first.pareto is None:
        message = "fewer than two kinds were found: there is nothing to draw"
        raise Misuse(message)
    picture = drawn(ParetoChart(first.pareto, f"Blocks {first.name}, by kind"))
    drawing.draw(picture, to)


def show(plant: Plant, found: Defects, *, json: bool) -> None:
    """Print defects."""
    if json:
        write_json(defects_json(plant, found))
        return
    page = Page()
    page.line(f"Defects of plant {plant.code}, {found.since} to {found.until}, by {found.by}")
    page.line(DEFECTS_SAY)
    for one in found.sources:
        _source(page, one, found.by)


def _source(page: Page, one: Source, by: str) -> None:
    page.heading(f"{one.name.capitalize()}: {one.bad} of {number(one.pieces, 'piece')}")
    if one.pareto is not None:
        page.table(("!kind", "!pieces>", "!of the defects>", "!interval>"), [
            (cause.name, str(cause.count), f"{100 * cause.share:.0f} %",
             f"{100 * cause.lower:.0f} to {100 * cause.upper:.0f} %")
            for cause in one.pareto.causes
        ])  # fmt: skip
    else:
        for kind, count in one.kinds:
            page.item(f"{kind}: {count}")
    if left := left_told(one, by):
        page.line(left)
    for apart in one.apart:
        page.item(f"{told(apart, by)} Lots: {in_runs(apart.lots)}.")
    if not one.apart:
        page.line(f"No {by} has more than chance gives.")
