"""A lot's page and its trace: each asks one question of the plant and shows the answer."""

from __future__ import annotations

from django.http import Http404, HttpResponse
from django.shortcuts import render

from beadwright.errors import Misuse
from beadwright.plant.access import may_post
from beadwright.plant.flowing import flowing
from beadwright.plant.story import story
from beadwright.web.access import Asker, asks
from beadwright.web.choices.kept import chosen
from beadwright.web.lots import page, trace_page

__all__ = ["lot", "trace"]


_DIGITS = 18
"""Digits of a number that every store can hold."""


@asks
def lot(request: Asker, code: str) -> HttpResponse:
    """Tell a lot's story; of a long one the newest part, or what came before an entry."""
    units, before = chosen(request).units, request.GET.get("before", "")
    try:
        found = story(request.plant, code.upper(), units=units, before=_number(before))
    except Misuse as error:
        raise Http404(str(error)) from error
    shown = page.page(request.plant, found, units)
    role = request.signed.role
    may = {"corrects": may_post(role, "correct"), "holds": may_post(role, "hold")}
    return render(request, "lots/lot.html", {"page": shown, **may})


@asks
def trace(request: Asker, code: str) -> HttpResponse:
    """Follow a lot both ways, drawn and as tables; ``open`` names the layers that are unfolded."""
    try:
        found = flowing(request.plant, code.upper())
    except Misuse as error:
        raise Http404(str(error)) from error
    opened = [
        n for text in request.GET.get("open", "").split(".") if (n := _number(text)) is not None
    ]
    every = "every" in request.GET
    units = chosen(request).units
    shown = trace_page.page(
        request.plant, found, units, "/lots/{}/trace/".format, opened, every=every
    )
    return render(request, "lots/trace.html", {"page": shown})


def _number(text: str) -> int | None:
    return int(text) if text.isascii() and text.isdecimal() and len(text) <= _DIGITS else None
