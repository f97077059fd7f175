"""The floor: the plant as it stands, asked again every few seconds."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render

from beadwright.plant.floor import floor as floor_of
from beadwright.plant.moment import moment
from beadwright.web.access import Asker, asks
from beadwright.web.choices.kept import chosen
from beadwright.web.floor.page import page

__all__ = ["floor"]

_SAME = 204
"""Nothing to show anew."""


@asks
def floor(request: Asker) -> HttpResponse:
    """Show what is where, what waits for whom, and what is held; the part that lives by itself."""
    shown = page(
        floor_of(request.plant.no, moment(request.plant)),
        chosen(request).units,
        request.signed.role,
    )
    if "seen" not in request.GET:
        return render(request, "floor/page.html", {"page": shown})
    if request.GET["seen"] == shown.print:
        return HttpResponse(status=_SAME)
    return render(request, "floor/live.html", {"page": shown})
