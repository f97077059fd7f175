"""Joins the apps: settings, the store, and the console script. Exempt from the floors.

Lives here: what must know every floor at once, and nothing that computes.
Read first: beadwright.site.settings.
May import: everything.
"""

import os
import sys
from pathlib import Path

__all__ = ["configure"]

# A current SQLite, where its wheel is installed, must stand in before anything imports sqlite3:
# the libraries of some systems lie in the range of a bug that can damage a file in WAL mode.
try:
    import pysqlite3
except ImportError:
    pass
else:
    sys.modules["sqlite3"] = pysqlite3
    sys.modules["sqlite3.dbapi2"] = pysqlite3.dbapi2


def configure(store: Path | None = None) -> None:
    """Set Django up on a store: the file given, else what the environment names."""
    if store is not None:
        os.environ["BEADWRIGHT_STORE"] = str(store)
        os.environ.pop("BEADWRIGHT_DATABASE_URL", None)
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "beadwright.site.settings")
    import django

    django.setup()
