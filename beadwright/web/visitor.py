"""Who asks: the plant, and the person signed in, found anew for each request; and who may not.

A machine's account, a closed account and a code that was changed are out at once.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any
from urllib.parse import urlencode

from django.conf import settings
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect

from beadwright.errors import BeadwrightError
from beadwright.plant.accounts import Signed, signed
from beadwright.plant.opening import Plant, open_plant
from beadwright.web.access import may_see, roles_of
from beadwright.web.refused import not_allowed, refused

__all__ = ["remember", "visitor"]

_Get = Callable[[HttpRequest], HttpResponse]


class visitor:  # noqa: N801 - a middleware is called as a function is
    """Find who asks, and serve a view to those it is for."""

    def __init__(self, get: _Get) -> None:
        """Stand before what gives the answer."""
        self._get = get

    def __call__(self, request: HttpRequest) -> HttpResponse:
        """Answer, with the plant and the person at hand."""
        try:
            plant = open_plant(getattr(settings, "PLANT", ""))
        except BeadwrightError as error:
            return refused(request, error, status=503)
        request.plant = plant  # type: ignore[attr-defined]
        request.signed = _signed(request, plant)  # type: ignore[attr-defined]
        return self._get(request)

    def process_view(
        self, request: HttpRequest, view: Callable[..., HttpResponse], _: Any, __: Any
    ) -> HttpResponse | None:
        """Turn away whoever the view is not for: to sign in, or with a word."""
        person: Signed | None = request.signed  # type: ignore[attr-defined]
        if may_see(view, None if person is None else person.role):
            return None
        if person is None:
            to = f"/in/?{urlencode({'to': request.get_full_path()})}"
            return _elsewhere(request, to)
        return not_allowed(request, person, roles_of(view))

    def process_exception(self, request: HttpRequest, error: Exception) -> HttpResponse | None:
        """Say what was wrong in words, as the terminal does; what is no word of ours stays one."""
        return refused(request, error) if isinstance(error, BeadwrightError) else None


def remember(request: HttpRequest, person: Signed) -> None:
    """Sign a person in for this session."""
    request.session.flush()
    request.session["person"], request.session["proof"] = person.person, person.proof


def _signed(request: HttpRequest, plant: Plant) -> Signed | None:
    named = request.session.get("person")
    found = signed(plant, named) if named else None
    return found if found and found.proof == request.session.get("proof") else None


def _elsewhere(request: HttpRequest, to: str) -> HttpResponse:
    """Send the page, not a fragment of it, to another address."""
    if getattr(request, "htmx", False):
        return HttpResponse(headers={"HX-Redirect": to})
    return HttpResponseRedirect(to)
