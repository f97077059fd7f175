"""The page that shows every part in each of its states, to look at and to test."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render

from beadwright.web.access import Asker, asks
from beadwright.web.parts.index import PARTS

__all__ = ["parts"]


@asks
def parts(request: Asker) -> HttpResponse:
    """Show them all."""
    return render(request, "parts/page.html", {"page": PARTS})
