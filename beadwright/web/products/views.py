"""The list of products, and the set-up sheet of each."""

from __future__ import annotations

from django.http import Http404, HttpResponse
from django.shortcuts import render

from beadwright.errors import Misuse
from beadwright.plant.moment import moment
from beadwright.plant.products import products_of
from beadwright.plant.set_up import Choice, set_up
from beadwright.web.access import Asker, asks
from beadwright.web.choices.kept import chosen
from beadwright.web.products.page import page
from beadwright.web.products.strength import strength_of

__all__ = ["product_list", "sheet"]

_PARTS = ("grade", "expander", "mould")


@asks
def product_list(request: Asker) -> HttpResponse:
    """Show every product, form blocks first."""
    found = products_of(request.plant.no, moment(request.plant))
    return render(request, "products/list.html", {"products": found})


@asks
def sheet(request: Asker, product: str) -> HttpResponse:
    """Show a product's set-up sheet; with ``all`` everything stands open, as for paper."""
    choice = Choice(product, *(request.GET.get(part, "") for part in _PARTS))
    try:
        found = set_up(request.plant.no, choice, moment(request.plant))
    except Misuse as error:
        raise Http404(str(error)) from None
    units = chosen(request).units
    shown = page(found, units, everything="all" in request.GET)
    own = strength_of(request.plant.no, product, moment(request.plant), units)
    return render(request, "products/sheet.html", {"page": shown, "strength": own})
