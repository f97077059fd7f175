"""The page that plans where specimens are cut from a panel."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render

from beadwright.plant.access import may_post
from beadwright.plant.cut_places import panel_keyed, panels
from beadwright.plant.cutting import FIELDS, SHAPES, cutting_sheet, read_cutting
from beadwright.plant.moment import moment
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
    known, system = panels(request.plant.no, moment(request.plant)), chosen(request).units
    if (product := said.get("product", "")) in known:
        of, by = panel_keyed(known[product], system)
        texts, units = {**texts, **of}, {**units, **by}
    keyed = read_cutting(texts, units)
    shown = cut_page(keyed, cutting_sheet(keyed), texts, units, system)
    page = {"page": shown, "columns": COLUMNS, "products": tuple(known), "product": product}
    page["keys"] = may_post(request.signed.role, "sample")
    return render(request, "laboratory/cutting.html", page)
