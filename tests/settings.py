"""The tests' settings: SQLite, or the PostgreSQL that BEADWRIGHT_TEST_POSTGRES_URL names.

A developer's own store, named in the environment, is never touched.
"""

import os

os.environ.pop("BEADWRIGHT_STORE", None)
os.environ["BEADWRIGHT_DATABASE_URL"] = os.environ.get("BEADWRIGHT_TEST_POSTGRES_URL", "")

os.environ["BEADWRIGHT_SECRET"] = "of the tests"  # noqa: S105 - signs nothing outside

from beadwright.site.pages import *  # noqa: F403  (the environment must be set first)

# A slow hash is for real codes; here hundreds are made.
PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
