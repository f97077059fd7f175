"""The ageing of every silo's beads: a page of its own, and the picture on the silo board."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render

from beadwright.plant.ageing.board import kept_board
from beadwright.plant.moment import moment
from beadwright.web.access import Asker, asks
from beadwright.web.ageing.page import Picture, page, picture
from beadwright.web.choices.kept import chosen

__all__ = ["ageing", "silo_picture"]

_SAME = 204
"""Nothing to show anew."""


def silo_picture(request: Asker) -> Picture:
    """Give the picture of the minute; its physics is worked out once for all who look."""
    plant = request.plant
    return picture(kept_board(plant.no, moment(plant)), plant.zone)


@asks
def ageing(request: Asker) -> HttpResponse:
    """Show every silo's hours; with ``seen`` the picture alone, where it is no longer the same."""
    if "seen" in request.GET:
        shown = silo_picture(request)
        if request.GET["seen"] == shown.print:
            return HttpResponse(status=_SAME)
        return render(request, "ageing/picture.html", {"ageing": shown})
    plant = request.plant
    board = kept_board(plant.no, moment(plant))
    whole = page(board, chosen(request).units, plant.zone)
    return render(request, "ageing/page.html", {"page": whole, "all": "all" in request.GET})
