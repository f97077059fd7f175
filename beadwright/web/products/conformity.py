"""How probable it is that lots conform, and at what risk the plant's rule judges: one page."""

from __future__ import annotations

from django.http import Http404, HttpResponse
from django.shortcuts import render

from beadwright.errors import Misuse
from beadwright.plant.conformity_words import ASSUMED, RISK, product_worth
from beadwright.plant.moment import moment
from beadwright.web.access import Asker, asks

__all__ = ["conformity_page"]


@asks
def conformity_page(request: Asker, product: str) -> HttpResponse:
    """Show the newest lots of a product by each limit on a characteristic, and the risks."""
    of, u = request.GET.get("of", ""), request.GET.get("u", "").strip()[:40]
    try:
        found = product_worth(request.plant.no, product, of, moment(request.plant), u)
    except Misuse as no:
        raise Http404(str(no)) from no
    return render(
        request, "products/conformity.html", {"page": found, "assumed": ASSUMED, "risk": RISK}
    )
