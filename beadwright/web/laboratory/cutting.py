"""The page that plans where specimens are cut from a panel."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render

from beadwright.plant.cutting import FIELDS, SHAPES, cutting_sheet, read_cutting
from beadwright.web.access import Asker, asks
from beadwright.web.choices.kept import chosen
from beadwright.web.laboratory.cut_page import COLUMNS, cut_page

__all__ = ["cutting"]

_NAMES = (*FIELDS, "ties", *(f"n-{one.name}" for one in SHAPES))


@asks
def cutting(request: Asker) -> HttpResponse:
    """Show a panel as it is keyed, and where to cut what is wanted."""
    said = request.GET
    texts = {name: said.get(name, "") for name in _NAMES}
    units = {name: said.get(f"unit-{name}", "") for name in FIELDS}
    keyed = read_cutting(texts, units)
    shown = cut_page(keyed, cutting_sheet(keyed), texts, units, chosen(request).units)
    return render(request, "laboratory/cutting.html", {"page": shown, "columns": COLUMNS})
