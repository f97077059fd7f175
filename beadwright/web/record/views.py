"""The record verified on a page: walked as far as a request may take."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render

from beadwright.errors import Misuse
from beadwright.plant.chain_verified import head_of, verify_chain
from beadwright.web.access import Asker, asks
from beadwright.web.record.page import page

__all__ = ["SECONDS", "record"]

SECONDS = 10.0
"""That one walk may take: what waits meanwhile is this reader's page."""


@asks
def record(request: Asker) -> HttpResponse:
    """Show the head; where it was asked, walk the chain and say what was found."""
    plant, against = request.plant, request.GET.get("head", "").strip()[:200]
    try:
        printed = head_of(against) if against else None
        after = head_of(request.GET["after"]) if "after" in request.GET else None
    except Misuse as wrong:
        shown = page(plant, against, None, None, str(wrong))
        return render(request, "record/record.html", {"page": shown}, status=422)
    found = None
    if "walk" in request.GET or after:
        found = verify_chain(plant.code, printed, after=after, seconds=SECONDS)
    return render(request, "record/record.html", {"page": page(plant, against, printed, found)})
