"""The page on which a person chooses."""

from __future__ import annotations

from typing import cast, get_args

from django.http import HttpResponse, HttpResponseRedirect
from django.shortcuts import render

from beadwright.units import System
from beadwright.web.access import Asker, anybody
from beadwright.web.choices.kept import Choices, Light, chosen, keep
from beadwright.web.inside import inside

__all__ = ["choices"]


@anybody
def choices(request: Asker) -> HttpResponse:
    """Show what is chosen, or keep another choice."""
    if request.method != "POST":
        return render(request, "choices/page.html", {"page": chosen(request)})
    said = chosen(request)
    units, light = request.POST.get("units", ""), request.POST.get("light", "")
    response = HttpResponseRedirect(inside(request.POST.get("to", ""), "/choices/"))
    keep(
        response,
        Choices(
            cast("System", units) if units in get_args(System) else said.units,
            cast("Light", light) if light in get_args(Light) else said.light,
        ),
    )
    return response
