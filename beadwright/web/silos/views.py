"""The silo board, asked again every few seconds."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render

from beadwright.plant.machines import board as board_of
from beadwright.plant.moment import moment
from beadwright.plant.named import Named
from beadwright.web.access import Asker, asks
from beadwright.web.ageing.views import silo_picture
from beadwright.web.choices.kept import chosen
from beadwright.web.silos.page import page

__all__ = ["silos"]

_SAME = 204
"""Nothing to show anew."""


@asks
def silos(request: Asker) -> HttpResponse:
    """Show every silo, hopper and line; the part that lives by itself."""
    found = board_of(request.plant.no, moment(request.plant))
    shown = page(found, chosen(request).units, Named.of(request.plant))
    if "seen" not in request.GET:
        # Asked again every few seconds the board leaves out the picture, which asks for itself.
        given = {"page": shown, "ageing": silo_picture(request)}
        return render(request, "silos/page.html", given)
    if request.GET["seen"] == shown.print:
        return HttpResponse(status=_SAME)
    return render(request, "silos/live.html", {"page": shown})
