"""The page of what a good block costs, for a span, told apart as one chooses."""

from __future__ import annotations

from dataclasses import dataclass

from django.http import HttpResponse
from django.shortcuts import render

from beadwright.charts.day_by_day import draw
from beadwright.errors import Misuse
from beadwright.plant.costs import BY, costs_asked, mix_told, money_of, prices_told, says, total_of
from beadwright.plant.costs.answer import Costs
from beadwright.plant.costs.rows import Part, Row
from beadwright.plant.opening import Plant
from beadwright.reports.cost_picture import picture
from beadwright.units import System, show
from beadwright.web.access import Asker, asks
from beadwright.web.choices.kept import chosen

__all__ = ["Shown", "what_blocks_cost"]


@dataclass(frozen=True, slots=True)
class Shown:
    """A row in words."""

    name: str
    good: int
    scrap: str
    parts: tuple[tuple[str, str, str, str], ...]
    """Name, money, what it is of, and why it is unknown."""
    total: str
    without: str
    """What is not in the sum."""
    same_mix: str
    """Empty where the mix of products is not told apart."""
    per_cent: str
    point: str
    causes: tuple[tuple[str, int, str], ...]


@asks
def what_blocks_cost(request: Asker) -> HttpResponse:
    """Show what good blocks of a span cost; a span that cannot be meant is said, with the usual."""
    given = request.GET
    wrong = ""
    try:
        found = costs_asked(
            request.plant, given.get("since", ""), given.get("until", ""),
            given.get("by", "product"),
        )  # fmt: skip
    except Misuse as error:
        wrong = str(error)
        found = costs_asked(request.plant)
    return render(
        request,
        "costs/page.html",
        {"page": _page(request.plant, found, chosen(request).units), "wrong": wrong},
    )


def _page(plant: Plant, found: Costs, units: System) -> dict[str, object]:
    spec = picture(plant, found)
    return {
        "picture": None if spec is None else draw(spec),
        "money": money_of(plant),
        "prices": prices_told(plant, found),
        "day_by_day": "" if spec is None else spec.title,
        "rows": [_shown(one, units) for one in found.rows],
        "parts": [part.name for part in found.rows[0].parts] if found.rows else [],
        "mix": mix_told(found),
        "lacks": found.lacks,
        "says": says(plant, found),
        "since": found.since.isoformat(),
        "until": found.until.isoformat(),
        "by": found.by,
        "ways": BY,
    }


def _shown(one: Row, units: System) -> Shown:
    parts = tuple(
        (part.name, _money(part.per_block), _amount(part, units), part.why)
        for part in one.parts
    )  # fmt: skip
    causes = tuple((cause, blocks, _money(money)) for cause, blocks, money in one.scrap_by_cause)
    total, without = total_of(one)
    total = total.replace("\u00a0", " ")  # its band goes below it where the page is narrow
    return Shown(
        one.name, one.good, f"{100 * one.share_scrap:.1f}\u00a0%", parts, total, without,
        "" if one.same_mix is None else _money(one.same_mix), _money(one.per_cent),
        _money(one.point), causes,
    )  # fmt: skip


def _amount(part: Part, units: System) -> str:
    if part.amount is None:
        return ""
    if part.unit == "kg":
        return show(part.amount, "mass", system=units, digits=3).replace(" ", "\u00a0")
    return f"{part.amount:.3f}\u00a0{part.unit}"


def _money(value: float | None) -> str:
    return "unknown" if value is None else f"{value:.3f}"
