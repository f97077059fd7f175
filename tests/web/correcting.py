"""The pages, and an address at which an entry is corrected: where it is there, it is offered."""

from django.http import HttpRequest, HttpResponse
from django.urls import path

from beadwright.web import urls

__all__ = ["urlpatterns"]


def _corrected(request: HttpRequest, key: str) -> HttpResponse:
    """Stand for the page."""
    raise NotImplementedError(request.path, key)


urlpatterns = [path("entries/<str:key>/correct/", _corrected, name="correct"), *urls.urlpatterns]
