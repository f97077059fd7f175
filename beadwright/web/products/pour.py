"""The pour sheet of a product: what is asked, and what the weakest lot supports."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render

from beadwright.plant.moment import moment
from beadwright.plant.pour import pour_sheet, read_pour
from beadwright.web.access import Asker, asks
from beadwright.web.choices.kept import chosen
from beadwright.web.products.pour_page import CHOICES, FIELDS, pour_page
from beadwright.web.products.sent import found_or_gone, sent_of, whole

__all__ = ["pour"]


@asks
def pour(request: Asker, product: str) -> HttpResponse:
    """Show what rate and lift the lots support; with ``all`` everything stands open."""
    sent = sent_of(request, (*FIELDS, *CHOICES), FIELDS)
    keyed = read_pour(product, sent.named, whole(sent))
    at_ms = moment(request.plant)
    found, wrong = found_or_gone(
        lambda asked: pour_sheet(request.plant.no, asked, at_ms), keyed.asked
    )
    shown = pour_page(found, sent.judged(keyed.wrong, wrong), chosen(request).units)
    return render(request, "products/pour.html", {"page": shown})
