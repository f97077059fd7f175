"""One entry of the record, whole."""

from __future__ import annotations

from django.http import Http404, HttpResponse
from django.shortcuts import render

from beadwright.errors import Misuse
from beadwright.plant.access import may_post
from beadwright.plant.history import entry as read
from beadwright.web.access import Asker, asks
from beadwright.web.choices.kept import chosen
from beadwright.web.entries.page import page

__all__ = ["entry"]


@asks
def entry(request: Asker, key: str) -> HttpResponse:
    """Show the entry of a number, or of a client key."""
    try:
        found = read(request.plant, key)
    except Misuse as error:
        raise Http404(str(error)) from error
    corrects = may_post(request.signed.role, "correct")
    shown = page(request.plant, found, chosen(request).units)
    return render(request, "entries/entry.html", {"page": shown, "corrects": corrects})
