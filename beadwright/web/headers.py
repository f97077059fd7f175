"""What every answer says to the browser: run nothing and fetch nothing but our own."""

from __future__ import annotations

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse

__all__ = ["headers"]

_POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:;"
    " font-src 'self'; connect-src 'self'; form-action 'self'; base-uri 'none';"
    " frame-ancestors 'none'"
)


def headers(get: Callable[[HttpRequest], HttpResponse]) -> Callable[[HttpRequest], HttpResponse]:
    """Add them to each answer."""

    def answer(request: HttpRequest) -> HttpResponse:
        response = get(request)
        response.headers.setdefault("Content-Security-Policy", _POLICY)
        response.headers.setdefault("Referrer-Policy", "same-origin")
        response.headers.setdefault("X-Frame-Options", "DENY")
        response.headers.setdefault(
            "Permissions-Policy", "camera=(), microphone=(), geolocation=()"
        )
        if not request.path.startswith("/static/"):
            response.headers.setdefault("Cache-Control", "no-store")
        return response

    return answer
