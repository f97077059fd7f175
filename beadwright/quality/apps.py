"""Quality as a Django app: its name."""

from django.apps import AppConfig

__all__ = ["QualityConfig"]


class QualityConfig(AppConfig):
    """What was measured."""

    name = "beadwright.quality"
    label = "quality"
