"""The pages as a WSGI application, for the server that `serve` starts."""

import os

import beadwright.site  # noqa: F401 - a current SQLite must stand in before Django's is loaded

__all__ = ["application"]

os.environ["DJANGO_SETTINGS_MODULE"] = "beadwright.site.pages"

from django.core.wsgi import get_wsgi_application

application = get_wsgi_application()
