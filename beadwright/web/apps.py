"""The Django app that holds the static files; it has no tables."""

from django.apps import AppConfig

__all__ = ["Web"]


class Web(AppConfig):
    """Pages for people."""

    name = "beadwright.web"
    label = "web"
