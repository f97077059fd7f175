"""The visit file from a page: since which day, which lots, on which paper, and the PDF of that."""

from __future__ import annotations

from dataclasses import dataclass

from django.http import HttpResponse
from django.shortcuts import render

from beadwright.errors import Misuse
from beadwright.reports.visit.asked import VisitAsked, made
from beadwright.web.access import Asker, asks

__all__ = ["MOST_ENTRIES", "VisitPage", "visit_file"]

MOST_ENTRIES = 50_000
"""Entries of a record of which a page makes the file: some ten seconds, and nobody posts meanwhile.

[measured: three seconds for 16,000 entries, in proportion]
"""

_NOT_TAKEN = 422


@dataclass(frozen=True, slots=True)
class VisitPage:
    """The form, as it was filled."""

    since: str = ""
    lots: str = ""
    paper: str = "a4"
    wrong: str = ""
    """Why no file was made."""
    too_long: bool = False
    """Whether the record is so long that the file is made at the shell."""


@asks
def visit_file(request: Asker) -> HttpResponse:
    """Show the form; of what was sent, give the file."""
    plant, said = request.plant, request.POST if request.method == "POST" else request.GET
    since, lots, paper = (said.get(name, "").strip() for name in ("since", "lots", "paper"))
    paper = paper or "a4"
    too_long = plant.head[0] > MOST_ENTRIES
    shown = VisitPage(since, lots, paper, "", too_long)
    if request.method != "POST" or too_long:
        return render(request, "record/visit.html", {"page": shown})
    try:
        asked = VisitAsked(since, tuple(lots.replace(",", " ").split()), paper)
        done = made(plant, asked, request.signed.who)
    except Misuse as wrong:
        shown = VisitPage(since, lots, paper, str(wrong))
        return render(request, "record/visit.html", {"page": shown}, status=_NOT_TAKEN)
    answer = HttpResponse(done.pdf, content_type="application/pdf")
    answer["Content-Disposition"] = f'attachment; filename="visit-{done.content.since}.pdf"'
    return answer
