"""The page of defects for a span, told apart as one chooses, and a hold on lots that it names."""

from __future__ import annotations

from dataclasses import dataclass
from uuid import uuid4

from django.http import HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.urls import reverse

from beadwright.charts.pareto import ParetoChart, draw
from beadwright.charts.svg import Drawing
from beadwright.errors import BeadwrightError, Fault, Misuse
from beadwright.plant.access import may_post
from beadwright.plant.defects import (
    BY,
    DEFECTS_SAY,
    Defects,
    defects_asked,
    group_counts,
    left_told,
    none_told,
    told,
)
from beadwright.plant.defects.answer import Source
from beadwright.plant.held import held_already
from beadwright.plant.holding import hold_lots
from beadwright.plant.words import capital
from beadwright.web.access import Asker, asks, tells
from beadwright.web.holds.page import why

__all__ = ["Shown", "hold_defective", "which_defects"]

_NOT_TAKEN = 422


@dataclass(frozen=True, slots=True)
class Shown:
    """One count of defects in words."""

    name: str
    bad: int
    pieces: int
    kinds: tuple[tuple[str, int], ...]
    picture: Drawing | None
    caption: str
    left: str
    """What is in no group; empty where everything is in one."""
    apart: tuple[tuple[str, tuple[str, ...], str], ...]
    """What stands out, its lots, and a key under which they are held once."""
    none: str
    """What is said where nothing stands out."""
    groups: tuple[tuple[str, str, str, str], ...]
    """Each group, its defects, pieces and share."""


@asks
def which_defects(request: Asker) -> HttpResponse:
    """Show defects of a span; one that cannot be meant is said, and the usual is shown."""
    return render(request, "defects/page.html", _page(request, request.GET))


@tells("hold")
def hold_defective(request: Asker) -> HttpResponse:
    """Put the lots that were shown of one group on one hold."""
    said = request.POST
    lots = said.get("lots", "").split()
    if request.method != "POST" or not lots:
        return redirect(reverse("defects"))
    key = said.get("key", "") or uuid4().hex
    try:
        name, _ = hold_lots(request.plant, request.signed.who, lots, said.get("reason", ""), key)
    except BeadwrightError as no:
        page = _page(request, said, why(no))
        return render(request, "defects/page.html", page, status=_NOT_TAKEN)
    return redirect(reverse("hold", args=[name]))


def _page(request: Asker, given: QueryDict, faults: tuple[Fault, ...] = ()) -> dict[str, object]:
    wrong = ""
    try:
        found = defects_asked(
            request.plant, given.get("since", ""), given.get("until", ""),
            given.get("by", "tie lot"),
        )  # fmt: skip
    except Misuse as error:
        wrong = str(error)
        found = defects_asked(request.plant)
    page = {
        "sources": [
            _shown(request.plant.no, at, one, found) for at, one in enumerate(found.sources)
        ],
        "says": DEFECTS_SAY, "since": found.since.isoformat(), "until": found.until.isoformat(),
        "by": found.by, "ways": BY, "may_hold": may_post(request.signed.role, "hold"),
    }  # fmt: skip
    return {"page": page, "wrong": wrong, "faults": faults}


def _shown(plant_no: int, at: int, one: Source, found: Defects) -> Shown:
    picture, caption = None, ""
    if one.pareto is not None:
        caption = " ".join(one.pareto.words)
        title = f"Pieces {one.name}, by kind"
        picture = draw(ParetoChart(one.pareto, title, name=f"defects-{at}"))
    return Shown(
        one.name.capitalize(), one.bad, one.pieces, one.kinds, picture, capital(caption),
        left_told(one, found.by),
        tuple(
            (f"{told(each, found.by)} {held_already(plant_no, each.lots)}", each.lots, uuid4().hex)
            for each in one.apart
        ),
        none_told(one, found.by), tuple(each.said for each in group_counts(one)),
    )  # fmt: skip
