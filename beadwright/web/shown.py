"""What every page is given besides its own: the plant, who is signed in, what they chose."""

from __future__ import annotations

from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from django.http import HttpRequest
from django.utils.html import format_html
from django.utils.safestring import SafeString

from beadwright.web.choices.kept import chosen
from beadwright.web.places import places_for

__all__ = ["around", "when"]


def around(request: HttpRequest) -> dict[str, Any]:
    """Give it to each template."""
    signed = getattr(request, "signed", None)
    return {
        "plant": getattr(request, "plant", None),
        "signed": signed,
        "choices": chosen(request),
        "places": places_for(signed, request.path),
    }


def when(ms: int, zone: ZoneInfo) -> SafeString:
    """Give a time in a zone, to the minute, readable by machines too."""
    there = datetime.fromtimestamp(ms / 1000, zone)
    return format_html(
        '<time datetime="{}">{}</time>',
        there.isoformat(timespec="seconds"),
        f"{there:%Y-%m-%d %H:%M}",
    )
