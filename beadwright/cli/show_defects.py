"""What `defects` says: kinds by how many, then what stands out and what goes with it."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from beadwright.charts.pareto import ParetoChart
from beadwright.charts.pareto import draw as drawn
from beadwright.cli import drawing
from beadwright.cli.printed import Page, write_json
from beadwright.errors import Misuse
from beadwright.plant.defects import (
    DEFECTS_SAY,
    Defects,
    defects_json,
    group_counts,
    left_told,
    none_told,
    told,
)
from beadwright.plant.defects.answer import Source
from beadwright.plant.opening import Plant
from beadwright.plant.words import in_runs, number

__all__ = ["draw", "show"]

_RUNS = 8
"""Lots, or runs of following lots, that are read at a glance; common practice, no source."""


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
    counts = group_counts(one)
    if len(counts) > 1:
        page.table((f"!{by}", "!defects>", "!pieces>", "!share, 95 %>"),
                   [each.said for each in counts[:_RUNS]])  # fmt: skip
    if len(counts) > _RUNS:
        page.line(f"and {len(counts) - _RUNS} with a smaller share (--json names each)")
    for apart in one.apart:
        page.item(told(apart, by) + _lots(apart.lots))
    if not one.apart:
        page.line(none_told(one, by))


def _lots(lots: Sequence[str]) -> str:
    """Name the lots; of very many those that come first, and how many there are."""
    if len(lots) == 1:  # it was named already
        return ""
    runs = in_runs(lots).split(", ")
    if len(runs) <= _RUNS:
        return f" Lots: {', '.join(runs)}."
    return f" Lots: {', '.join(runs[:_RUNS])} and others, {len(lots)} in all (--json names each)."
