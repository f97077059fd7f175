"""The wall sheet of a product: where its courses end, and what heat the finished wall lets pass."""

from __future__ import annotations

from django.http import Http404, HttpResponse
from django.shortcuts import render

from beadwright.errors import Misuse
from beadwright.plant.moment import moment
from beadwright.plant.wall import WallAsked, WallSheet, read_wall, wall_sheet
from beadwright.web.access import Asker, asks
from beadwright.web.choices.kept import chosen
from beadwright.web.products.sent import sent_of, whole
from beadwright.web.products.wall_page import FIELDS, wall_page

__all__ = ["wall"]


@asks
def wall(request: Asker, product: str) -> HttpResponse:
    """Show where courses end, and the wall's resistance; with ``all`` everything stands open."""
    sent = sent_of(request, FIELDS, FIELDS)
    keyed = read_wall(product, sent.named, whole(sent))
    found, wrong = _found(request, keyed.asked)
    shown = wall_page(found, sent.judged(keyed.wrong, wrong), chosen(request).units)
    return render(request, "products/wall.html", {"page": shown})


def _found(request: Asker, asked: WallAsked) -> tuple[WallSheet, str]:
    """Give the sheet; where a lot that was named is none of the product's, without lots."""
    at_ms = moment(request.plant)
    try:
        return wall_sheet(request.plant.no, asked, at_ms), ""
    except Misuse as error:
        wrong = str(error)
    if not asked.lots:
        raise Http404(wrong)
    try:
        return wall_sheet(request.plant.no, asked.without_lots(), at_ms), wrong
    except Misuse as error:
        raise Http404(str(error)) from None
