"""Addresses of the pages, and of the programming interface beside them."""

from __future__ import annotations

from django.urls import include, path

from beadwright.api.routes import api
from beadwright.web.access import anybody
from beadwright.web.urls import handler404
from beadwright.web.urls import urlpatterns as pages

__all__ = ["handler404", "urlpatterns"]

_routes, _app, _namespace = api.urls
for _one in _routes:
    if _one.callback is not None:
        anybody(_one.callback)  # the interface says itself, per call, who may

urlpatterns = [*pages, path("api/", include((_routes, _app), _namespace))]
