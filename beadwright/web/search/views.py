"""Search, as it is typed and as it is sent."""

from __future__ import annotations

from django.http import HttpResponse, HttpResponseRedirect
from django.shortcuts import render

from beadwright.plant.search import search as find
from beadwright.web.access import Asker, asks
from beadwright.web.search.page import LIMIT, page

__all__ = ["search"]


@asks
def search(request: Asker) -> HttpResponse:
    """Show what a text finds; one code or label that was sent whole, as a scanner sends it, opens.

    As somebody types, the list alone is given.
    """
    asked = request.GET.get("q", "")[:200].replace("\x00", "")
    shown = page(asked, find(request.plant, asked, LIMIT))
    if getattr(request, "htmx", False):
        return render(request, "search/found.html", {"page": shown})
    if shown.only:
        return HttpResponseRedirect(f"/lots/{shown.only}/")
    return render(request, "search/search.html", {"page": shown})
