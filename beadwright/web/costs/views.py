"""The page of what a good block costs, for a span, told apart as one chooses."""

from __future__ import annotations

from dataclasses import dataclass

from django.http import HttpResponse
from django.shortcuts import render

from beadwright.errors import Misuse
from beadwright.plant.costs import BY, COSTS_SAY, costs_asked
from beadwright.plant.costs.answer import Costs, Part, Row
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
    parts: tuple[tuple[str, str, str], ...]
    """Name, money, and what it is of."""
    total: str
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
        request, "costs/page.html", {"page": _page(found, chosen(request).units), "wrong": wrong}
    )


def _page(found: Costs, units: System) -> dict[str, object]:
    return {
        "rows": [_shown(one, units) for one in found.rows],
        "parts": [part.name for part in found.rows[0].parts] if found.rows else [],
        "lacks": found.lacks,
        "says": COSTS_SAY,
        "since": found.since.isoformat(),
        "until": found.until.isoformat(),
        "by": found.by,
        "ways": BY,
    }


def _shown(one: Row, units: System) -> Shown:
    parts = tuple(
        (part.name, _money(part.per_block),
         _amount(part, units))
        for part in one.parts
    )  # fmt: skip
    causes = tuple((cause, blocks, _money(money)) for cause, blocks, money in one.scrap_by_cause)
    return Shown(
        one.name, one.good, f"{100 * one.share_scrap:.1f}\u00a0%", parts, _money(one.total),
        _money(one.per_cent), _money(one.point), causes,
    )  # fmt: skip


def _amount(part: Part, units: System) -> str:
    if part.amount is None:
        return ""
    if part.unit == "kg":
        return show(part.amount, "mass", system=units, digits=3)
    return f"{part.amount:.3f}\u00a0{part.unit}"


def _money(value: float | None) -> str:
    return "unknown" if value is None else f"{value:.3f}"
