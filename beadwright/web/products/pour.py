"""The pour sheet of a product: what is asked, and what the weakest lot supports."""

from __future__ import annotations

import re
from urllib.parse import urlencode

from django.http import Http404, HttpResponse
from django.shortcuts import render

from beadwright.errors import Misuse
from beadwright.plant.moment import moment
from beadwright.plant.pour import PourAsked, PourSheet, pour_sheet, read_pour
from beadwright.web.access import Asker, asks
from beadwright.web.choices.kept import chosen
from beadwright.web.products.pour_page import CHOICES, FIELDS, Sent, pour_page

__all__ = ["pour"]

_MOST = 60
"""Letters of a field that are read."""


@asks
def pour(request: Asker, product: str) -> HttpResponse:
    """Show what rate and lift the lots support; with ``all`` everything stands open."""
    given = {name: request.GET.get(name, "").strip()[:_MOST] for name in (*FIELDS, *CHOICES)}
    units = {name: request.GET.get(f"unit-{name}", "")[:_MOST] for name in FIELDS}
    named = request.GET.get("lots", "").replace("\x00", "")
    lots = [one for one in re.split(r"[\s,;]+", named) if one]
    whole = {name: _whole(text, units.get(name, "")) for name, text in given.items()}
    keyed = read_pour(product, lots, whole)
    found, wrong = _found(request, keyed.asked)
    asked = {key: value for key, value in request.GET.items() if key != "all" and value}
    wrong = keyed.wrong.get("lots", wrong)
    sent = Sent(given, units, named, keyed.wrong, wrong, urlencode(asked), "all" in request.GET)
    shown = pour_page(found, sent, chosen(request).units)
    return render(request, "products/pour.html", {"page": shown})


def _whole(text: str, unit: str) -> str:
    """Give a figure with the unit beside it, unless a unit was keyed with it."""
    return f"{text} {unit}".strip() if text and " " not in text else text


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
