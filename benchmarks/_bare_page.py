"""The floor under a page: fifty rows of a table, by the framework alone, from the same store.

It has the middleware that a new project of Django's is given, one query, and one template. As a
program it serves it: ``_bare_page PORT``.
"""

from __future__ import annotations

import os
import sys
from typing import Any

import beadwright.site  # noqa: F401 - a current SQLite must stand in before Django's is loaded
from beadwright.site.stores import database_of

__all__ = ["application", "main"]

_ROWS = 50
_PAGE = """<!doctype html><html lang="en"><title>Lots</title><table>
<tr><th>Code<th>Kind<th>Product<th>Place<th>Pieces<th>Mass<th>Since</tr>
{% for lot in lots %}<tr><td><a href="/lots/{{ lot.code }}/">{{ lot.code }}</a><td>{{ lot.kind }}
<td>{{ lot.product }}<td>{{ lot.place }}<td>{{ lot.pieces }}<td>{{ lot.mg }}<td>{{ lot.first }}</tr>
{% endfor %}</table></html>"""


def _configure() -> None:
    import django  # noqa: PLC0415 - a process of its own sets it up
    from django.conf import settings  # noqa: PLC0415

    settings.configure(
        ALLOWED_HOSTS=["127.0.0.1"],
        DATABASES={"default": database_of(os.environ)},
        INSTALLED_APPS=["beadwright.ledger"],
        MIDDLEWARE=[
            "django.middleware.security.SecurityMiddleware",
            "django.contrib.sessions.middleware.SessionMiddleware",
            "django.middleware.common.CommonMiddleware",
            "django.middleware.csrf.CsrfViewMiddleware",
        ],
        ROOT_URLCONF=__name__,
        SECRET_KEY="of no secret",  # noqa: S106
        SESSION_ENGINE="django.contrib.sessions.backends.signed_cookies",
        TEMPLATES=[
            {
                "BACKEND": "django.template.backends.django.DjangoTemplates",
                "OPTIONS": {
                    "loaders": [("django.template.loaders.locmem.Loader", {"lots.html": _PAGE})]
                },
            }
        ],
    )
    django.setup()


def application() -> Any:
    """Give the page as a WSGI application."""
    _configure()
    from django.core.wsgi import get_wsgi_application  # noqa: PLC0415

    return get_wsgi_application()


def _urls() -> list[Any]:
    from django.http import HttpRequest, HttpResponse  # noqa: PLC0415
    from django.shortcuts import render  # noqa: PLC0415
    from django.urls import path  # noqa: PLC0415

    from beadwright.ledger.models import Lot  # noqa: PLC0415

    def page(request: HttpRequest) -> HttpResponse:
        return render(request, "lots.html", {"lots": Lot.objects.order_by("-no")[:_ROWS]})

    return [path("", page)]


def __getattr__(name: str) -> list[Any]:
    """Give Django its addresses when it asks for them, and not before it is set up."""
    if name == "urlpatterns":
        return _urls()
    raise AttributeError(name)


def main(port: int) -> None:
    """Serve it as `serve` does the pages."""
    from granian import Granian  # noqa: PLC0415
    from granian.constants import Interfaces  # noqa: PLC0415
    from granian.log import LogLevels  # noqa: PLC0415

    Granian(
        "benchmarks._bare_page:application",
        port=port,
        interface=Interfaces.WSGI,
        workers=2,
        blocking_threads=2,
        log_level=LogLevels.warning,
        factory=True,
    ).serve()


if __name__ == "__main__":
    main(int(sys.argv[1]))
