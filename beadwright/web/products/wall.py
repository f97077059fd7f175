"""The wall sheet of a product: where its courses end, and what heat the finished wall lets pass."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render

from beadwright.plant.moment import moment
from beadwright.plant.wall import read_wall, wall_sheet
from beadwright.web.access import Asker, asks
from beadwright.web.choices.kept import chosen
from beadwright.web.products.sent import found_or_gone, sent_of, whole
from beadwright.web.products.wall_page import FIELDS, wall_page

__all__ = ["wall"]


@asks
def wall(request: Asker, product: str) -> HttpResponse:
    """Show where courses end, and the wall's resistance; with ``all`` everything stands open."""
    sent = sent_of(request, FIELDS, FIELDS)
    keyed = read_wall(product, sent.named, whole(sent))
    at_ms = moment(request.plant)
    found, wrong = found_or_gone(
        lambda asked: wall_sheet(request.plant.no, asked, at_ms), keyed.asked
    )
    shown = wall_page(found, sent.judged(keyed.wrong, wrong), chosen(request).units)
    return render(request, "products/wall.html", {"page": shown})
