"""Sign in with initials or id and a code; out; or let another person stand at this tablet."""

from __future__ import annotations

from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render

from beadwright.plant.access import Role
from beadwright.plant.accounts import SHOWN_CODE, Signed, those_who_may
from beadwright.plant.accounts import sign_in as signed_in
from beadwright.plant.opening import Plant
from beadwright.web.access import Asker, anybody
from beadwright.web.inside import inside
from beadwright.web.sign_in.slowed import slow
from beadwright.web.visitor import remember

__all__ = ["sign_in", "sign_out", "who"]

_FIRST = (
    Role.ENGINEER,
    Role.SHIFT_LEAD,
    Role.TECHNICIAN,
    Role.OPERATOR,
    Role.AUDITOR,
    Role.MACHINE,
)


@dataclass(frozen=True, slots=True)
class _SignIn:
    """The page of signing in."""

    to: str
    named: str = ""
    wrong: str = ""
    shown: tuple[Signed, ...] = ()
    """People of a demonstration, whom anybody may be."""
    code: str = ""
    """Their code; empty where the plant is real."""


@anybody
def sign_in(request: HttpRequest) -> HttpResponse:
    """Ask who it is, or sign the person in and go on to where they were going."""
    plant: Plant = request.plant  # type: ignore[attr-defined]
    to = inside(request.POST.get("to", "") or request.GET.get("to", ""))
    if request.method != "POST":
        return _page(request, plant, _SignIn(to))
    named = request.POST.get("named", "")
    wait = slow.wait(named)
    if wait:
        said = f"Too many wrong codes for {named}. Try again in {wait} seconds."
        return _page(request, plant, _SignIn(to, named, said), 429)
    found = signed_in(plant, named, request.POST.get("code", ""))
    if found is None:
        slow.wrong(named)
        said = "These initials and this code do not belong together."
        return _page(request, plant, _SignIn(to, named, said), 422)
    slow.right(named)
    remember(request, found)
    return HttpResponseRedirect(to)


@anybody
def sign_out(request: Asker) -> HttpResponse:
    """Forget who was signed in."""
    if request.method == "POST":
        request.session.flush()
    return HttpResponseRedirect("/in/")


@anybody
def who(request: Asker) -> HttpResponse:
    """Let another person sign in here, and go on where this one was."""
    to = inside(request.POST.get("to", ""))
    if request.method == "POST":
        request.session.flush()
        request.signed = None  # type: ignore[assignment]  # the page shows nobody any more
    return _page(request, request.plant, _SignIn(to))


def _people(plant: Plant) -> tuple[Signed, ...]:
    """Give the people of a demonstration, those first who may do most."""
    return tuple(sorted(those_who_may(plant), key=lambda one: _FIRST.index(one.role)))


def _page(request: HttpRequest, plant: Plant, page: _SignIn, status: int = 200) -> HttpResponse:
    if plant.invented:
        page = _SignIn(page.to, page.named, page.wrong, _people(plant), SHOWN_CODE)
    return render(request, "sign_in/page.html", {"page": page}, status=status)
