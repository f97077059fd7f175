"""The floor: the plant as it stands."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render

from beadwright.plant.door import now_ms
from beadwright.plant.floor import floor as floor_of
from beadwright.web.access import Asker, asks

__all__ = ["floor"]


@asks
def floor(request: Asker) -> HttpResponse:
    """Show what is where, what waits for whom, and what is held."""
    return render(request, "floor/page.html", {"page": floor_of(request.plant.no, now_ms())})
