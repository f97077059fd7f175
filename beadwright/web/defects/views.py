"""The page of defects for a span, told apart as one chooses."""

from __future__ import annotations

from dataclasses import dataclass

from django.http import HttpResponse
from django.shortcuts import render

from beadwright.charts.pareto import ParetoChart, draw
from beadwright.charts.svg import Drawing
from beadwright.errors import Misuse
from beadwright.plant.defects import BY, DEFECTS_SAY, Defects, defects_asked, told
from beadwright.plant.defects.answer import Source
from beadwright.web.access import Asker, asks

__all__ = ["Shown", "which_defects"]


@dataclass(frozen=True, slots=True)
class Shown:
    """One count of defects in words."""

    name: str
    bad: int
    pieces: int
    kinds: tuple[tuple[str, int], ...]
    picture: Drawing | None
    apart: tuple[tuple[str, tuple[str, ...]], ...]
    """What stands out, and its lots."""


@asks
def which_defects(request: Asker) -> HttpResponse:
    """Show defects of a span; one that cannot be meant is said, and the usual is shown."""
    given, wrong = request.GET, ""
    try:
        found = defects_asked(
            request.plant, given.get("since", ""), given.get("until", ""),
            given.get("by", "tie lot"),
        )  # fmt: skip
    except Misuse as error:
        wrong = str(error)
        found = defects_asked(request.plant)
    page = {
        "sources": [_shown(at, one, found) for at, one in enumerate(found.sources)],
        "says": DEFECTS_SAY, "since": found.since.isoformat(), "until": found.until.isoformat(),
        "by": found.by, "ways": BY,
    }  # fmt: skip
    return render(request, "defects/page.html", {"page": page, "wrong": wrong})


def _shown(at: int, one: Source, found: Defects) -> Shown:
    picture = None
    if one.pareto is not None:
        title = f"Pieces {one.name}, by kind"
        picture = draw(ParetoChart(one.pareto, title, name=f"defects-{at}"))
    return Shown(
        one.name.capitalize(), one.bad, one.pieces, one.kinds, picture,
        tuple((told(each, found.by), each.lots) for each in one.apart),
    )  # fmt: skip
