"""Limits in force, of every product or of one."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render

from beadwright.plant.listed import listed
from beadwright.plant.moment import moment
from beadwright.web.access import Asker, asks
from beadwright.web.limits.page import page

__all__ = ["limit_list"]


@asks
def limit_list(request: Asker) -> HttpResponse:
    """Show each limit with its source, whether somebody verified it, and which entry set it."""
    found = listed(request.plant.no, moment(request.plant))
    shown = page(request.plant, found, request.GET.get("of", "").strip())
    return render(request, "limits/list.html", {"page": shown})
