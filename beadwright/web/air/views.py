"""The air of the rooms, asked again every minute."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render

from beadwright.plant.moment import moment
from beadwright.plant.pentane_screen import pentane_screen
from beadwright.web.access import Asker, asks
from beadwright.web.air.page import page
from beadwright.web.choices.kept import chosen

__all__ = ["air"]


@asks
def air(request: Asker) -> HttpResponse:
    """Show what is given off in each room against its air, and the fresh blocks."""
    plant = request.plant
    screen = pentane_screen(plant.no, moment(plant))
    shown = page(screen, chosen(request).units, plant.zone)
    everything = "all" in request.GET
    return render(request, "air/page.html", {"page": shown, "all": everything})
