"""The ledger as a Django app: its name, its triggers and indexes after every migration."""

from django.apps import AppConfig
from django.db.models.signals import post_migrate

__all__ = ["LedgerConfig"]


class LedgerConfig(AppConfig):
    """The record and its projections."""

    name = "beadwright.ledger"
    label = "ledger"

    def ready(self) -> None:
        """Lay the triggers and indexes again whenever tables have changed."""
        from beadwright.ledger import indexes, triggers  # noqa: PLC0415

        post_migrate.connect(triggers.lay, sender=self, dispatch_uid="beadwright.ledger.triggers")
        post_migrate.connect(indexes.lay, sender=self, dispatch_uid="beadwright.ledger.indexes")
