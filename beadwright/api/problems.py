"""Problems, as RFC 9457 writes them, with our faults beside: code, what, value, where, remedy."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from http import HTTPStatus
from typing import Any

from django.http import HttpRequest, HttpResponse
from ninja import NinjaAPI
from ninja.errors import AuthenticationError, HttpError, ValidationError

from beadwright.api.callers import NotAllowed
from beadwright.errors import BeadwrightError, Fault, Misuse, Refusal, problem_of

__all__ = ["add_handlers", "problem"]


def problem(status: int, detail: str, faults: Iterable[Fault] = (), **more: object) -> HttpResponse:
    """Give a problem, and what more is to be said of it."""
    body = {**problem_of(status, HTTPStatus(status).phrase, detail, faults), **more}
    text = json.dumps(body, ensure_ascii=False)
    return HttpResponse(text, status=status, content_type="application/problem+json")


def add_handlers(api: NinjaAPI) -> None:
    """Have every error answered as a problem, also one that nobody thought of."""

    @api.exception_handler(AuthenticationError)
    def _nobody(request: HttpRequest, error: AuthenticationError) -> HttpResponse:  # noqa: ARG001
        answer = problem(401, "Send `Authorization: Bearer` and a token that is open.")
        answer.headers["WWW-Authenticate"] = "Bearer"
        return answer

    @api.exception_handler(NotAllowed)
    def _not_allowed(request: HttpRequest, error: NotAllowed) -> HttpResponse:  # noqa: ARG001
        return problem(403, str(error.fault), [error.fault])

    @api.exception_handler(ValidationError)
    def _odd(request: HttpRequest, error: ValidationError) -> HttpResponse:  # noqa: ARG001
        return problem(422, "The request is not as it must be.", map(_fault, error.errors))

    @api.exception_handler(HttpError)
    def _http(request: HttpRequest, error: HttpError) -> HttpResponse:  # noqa: ARG001
        return problem(error.status_code, error.message)

    @api.exception_handler(Misuse)
    def _nothing(request: HttpRequest, error: Misuse) -> HttpResponse:  # noqa: ARG001
        return problem(404, str(error))

    @api.exception_handler(BeadwrightError)
    def _refused(request: HttpRequest, error: BeadwrightError) -> HttpResponse:  # noqa: ARG001
        faults = error.faults if isinstance(error, Refusal) else ()
        return problem(422, str(error), faults)

    @api.exception_handler(Exception)
    def _ours(request: HttpRequest, error: Exception) -> HttpResponse:  # noqa: ARG001
        return problem(500, "A fault of the program; nothing of the request was kept.")


def _fault(one: Mapping[str, Any]) -> Fault:
    where = ".".join(str(part) for part in one.get("loc", ()))
    return Fault("bad_request", str(one.get("msg", "")), "", where, "See /api/openapi.json.")
