"""Pages of a no: what was wrong, with which value, and what to do."""

from __future__ import annotations

import json
from dataclasses import dataclass
from http import HTTPStatus

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from beadwright.errors import BeadwrightError, Fault, Refusal, problem_of
from beadwright.plant.access import Role
from beadwright.plant.accounts import Signed
from beadwright.web.access import anybody

__all__ = ["no_such_page", "not_allowed", "not_from_here", "refused"]


@dataclass(frozen=True, slots=True)
class _No:
    """What is said where something was not done."""

    title: str
    faults: tuple[Fault, ...]


def refused(request: HttpRequest, error: BeadwrightError, status: int = 422) -> HttpResponse:
    """Say why something was refused, every reason at once."""
    faults = tuple(error.faults) if isinstance(error, Refusal) else (_worded(str(error)),)
    return _page(request, _No("That was not done", faults), status)


def not_allowed(
    request: HttpRequest, person: Signed, roles: frozenset[Role] | None = None
) -> HttpResponse:
    """Say that a page is for other roles, and for which."""
    what = f"this page is not for the role {_in_words(person.role)}"
    if roles:
        what += f"; it is for: {', '.join(_in_words(one) for one in Role if one in roles)}"
    remedy = "Ask somebody whose role allows it, or sign in as yourself."
    return _page(request, _No("Not for you", (Fault("not_allowed", what, "", "", remedy),)), 403)


def _in_words(role: Role | str) -> str:
    """Give a role in words."""
    return role.replace("_", " ")


def no_such_page(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:  # noqa: ARG001
    """Say that there is nothing at an address."""
    what = f"there is nothing at {request.path}"
    fault = Fault("no_page", what, "", "", "Search for the lot, or begin at the floor.")
    return _page(request, _No("Nothing here", (fault,)), 404)


@anybody
def not_from_here(request: HttpRequest, reason: str = "") -> HttpResponse:
    """Say that a form did not come from our own page, or the page was too old."""
    what = "the form was not sent from a page of this sitting"
    fault = Fault("stale_form", what, reason, "", "Load the page again and send it once more.")
    return _page(request, _No("That was not done", (fault,)), 403)


def _page(request: HttpRequest, said: _No, status: int) -> HttpResponse:
    if request.path.startswith("/api/"):  # a program asked: what it reads is a problem
        detail = "; ".join(one.what for one in said.faults)
        body = problem_of(status, HTTPStatus(status).phrase, detail, said.faults)
        text = json.dumps(body, ensure_ascii=False)
        return HttpResponse(text, status=status, content_type="application/problem+json")
    return render(request, "refused.html", {"page": said}, status=status)


def _worded(text: str) -> Fault:
    return Fault("", text, "", "", "")
