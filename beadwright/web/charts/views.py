"""Every chart, one of them, and a hold on the lots made since what it signals began."""

from __future__ import annotations

from dataclasses import replace
from uuid import uuid4

from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse

from beadwright.errors import BeadwrightError, Misuse
from beadwright.plant.access import may_post
from beadwright.plant.charted import charted, charts
from beadwright.plant.held import held_already
from beadwright.plant.holding import hold_lots
from beadwright.plant.moment import moment
from beadwright.web.access import Asker, asks, tells
from beadwright.web.charts.page import ChartPage, chart_page, list_page
from beadwright.web.choices.kept import chosen
from beadwright.web.holds.page import why

__all__ = ["chart", "chart_list", "hold_charted"]

_NOT_TAKEN = 422


@asks
def chart_list(request: Asker) -> HttpResponse:
    """Show every chart, or those of a product, a machine or a lot; those that signal first."""
    of = request.GET.get("of", "").strip()
    page = list_page(charts(request.plant, moment(request.plant), of), request.plant.zone, of)
    return render(request, "charts/list.html", {"page": page})


@asks
def chart(request: Asker, series: str) -> HttpResponse:
    """Show one chart; of another kind where that is asked for and can be made."""
    return render(request, "charts/chart.html", {"page": _page(request, series)})


@tells("hold")
def hold_charted(request: Asker, series: str) -> HttpResponse:
    """Put the lots that were shown on one hold."""
    if request.method != "POST":
        return redirect(reverse("chart", args=[series]))
    said = request.POST
    reason, key = said.get("reason", ""), said.get("key", "") or uuid4().hex
    lots = said.get("lots", "").split()
    if not lots:
        return redirect(reverse("chart", args=[series]))
    try:
        name, _ = hold_lots(request.plant, request.signed.who, lots, reason, key)
    except BeadwrightError as no:
        page = replace(_page(request, series), faults=why(no), reason=reason, key_of_hold=key)
        return render(request, "charts/chart.html", {"page": page}, status=_NOT_TAKEN)
    return redirect(reverse("hold", args=[name]))


def _page(request: Asker, series: str) -> ChartPage:
    asked, wrong, at_ms = request.GET.get("kind", "").strip(), "", moment(request.plant)
    try:
        found = charted(request.plant, series, at_ms, kind=asked)
    except Misuse as error:
        try:
            found = charted(request.plant, series, at_ms)
        except Misuse as no:
            raise Http404(str(no)) from no
        asked, wrong = "", str(error)
    page = chart_page(
        found, chosen(request).units, request.plant.zone, asked=asked,
        may_hold=may_post(request.signed.role, "hold"),
    )  # fmt: skip
    return replace(page, wrong=wrong, held_already=held_already(request.plant.no, found.lots))
