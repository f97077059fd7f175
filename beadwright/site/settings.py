"""Django's settings, read from the environment.

BEADWRIGHT_STORE: the plant's SQLite file. BEADWRIGHT_DATABASE_URL: a PostgreSQL instead of it.
"""

import os
from typing import Any

from beadwright.site.stores import database_of

__all__ = [
    "ATOMIC_REQUESTS",
    "DATABASES",
    "DEFAULT_AUTO_FIELD",
    "INSTALLED_APPS",
    "TIME_ZONE",
    "USE_I18N",
    "USE_TZ",
]

INSTALLED_APPS = ["beadwright.ledger", "beadwright.quality"]

DATABASES: dict[str, dict[str, Any]] = {"default": database_of(os.environ)}

# A page that only reads must never wait for, or take, the one write lock.
ATOMIC_REQUESTS = False

DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
TIME_ZONE = "UTC"
USE_I18N = False
USE_TZ = True
