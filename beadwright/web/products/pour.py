"""The pour sheet of a product: what is asked, and what the weakest lot supports."""

from __future__ import annotations

from django.http import Http404, HttpResponse
from django.shortcuts import render

from beadwright.errors import Misuse
from beadwright.plant.moment import moment
from beadwright.plant.pour import PourAsked, PourSheet, pour_sheet, read_pour
from beadwright.web.access import Asker, asks
from beadwright.web.choices.kept import chosen
from beadwright.web.products.pour_page import CHOICES, FIELDS, pour_page
from beadwright.web.products.sent import sent_of, whole

__all__ = ["pour"]


@asks
def pour(request: Asker, product: str) -> HttpResponse:
    """Show what rate and lift the lots support; with ``all`` everything stands open."""
    sent = sent_of(request, (*FIELDS, *CHOICES), FIELDS)
    keyed = read_pour(product, sent.named, whole(sent))
    found, wrong = _found(request, keyed.asked)
    shown = pour_page(found, sent.judged(keyed.wrong, wrong), chosen(request).units)
    return render(request, "products/pour.html", {"page": shown})


def _found(request: Asker, asked: PourAsked) -> tuple[PourSheet, str]:
    """Give the sheet; where a lot that was named is none of the product's, without lots."""
    at_ms = moment(request.plant)
    try:
        return pour_sheet(request.plant.no, asked, at_ms), ""
    except Misuse as error:
        wrong = str(error)
    if not asked.lots:
        raise Http404(wrong)
    try:
        return pour_sheet(request.plant.no, asked.without_lots(), at_ms), wrong
    except Misuse as error:
        raise Http404(str(error)) from None
