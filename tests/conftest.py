"""What every test may ask for: a store.

The whole run is on SQLite, or on PostgreSQL where BEADWRIGHT_TEST_POSTGRES_URL is set. A test that
needs a store says ``@pytest.mark.django_db`` (its writes are rolled back) or asks for
``fresh_store`` (a store of its own, for races, other processes and kills). Both kinds carry the
mark ``store``, and ``pytest -m store`` picks them.
"""

import itertools
import os
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from urllib.parse import quote

import hypothesis
import pytest
from django.core.management import call_command
from django.db import connection, connections
from pytest_django import DjangoDbBlocker

hypothesis.settings.register_profile(
    "check",
    max_examples=50,
    stateful_step_count=30,
    deadline=None,  # two cores shared with other work: time says nothing there
    derandomize=True,  # what holds here holds there: `--long` is what looks for new examples
    print_blob=True,
    suppress_health_check=[hypothesis.HealthCheck.too_slow],
)
hypothesis.settings.register_profile(
    "long",
    hypothesis.settings.get_profile("check"),
    derandomize=False,
    max_examples=2000,
    stateful_step_count=100,
)
hypothesis.settings.load_profile("check")

_STORE_FIXTURES = {"db", "transactional_db", "fresh_store", "empty_store"}
_serial = itertools.count()


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark what needs a store, so that no test can forget to say so."""
    for item in items:
        names = set(getattr(item, "fixturenames", ()))
        if item.get_closest_marker("django_db") or names & _STORE_FIXTURES:
            item.add_marker("store")


@dataclass(frozen=True)
class FreshStore:
    """A store of the test's own.

    This process's default connection points at it, in every thread; `environ` points another
    process at it. `path` is its file, None on PostgreSQL.
    """

    path: Path | None
    environ: dict[str, str] = field(repr=False)


@pytest.fixture
def process_environ() -> dict[str, str]:
    """The environment for a process of ours that is to open no store, or one it is told of."""
    return _environ()


@pytest.fixture
def empty_store(tmp_path: Path, django_db_blocker: DjangoDbBlocker) -> Iterator[FreshStore]:
    """A store of the test's own with no tables yet."""
    with django_db_blocker.unblock():
        make = _on_postgresql if connection.vendor == "postgresql" else _on_sqlite
        yield from make(tmp_path)


@pytest.fixture
def fresh_store(empty_store: FreshStore) -> FreshStore:
    """A store of the test's own with all tables and triggers; what it commits stays there."""
    call_command("migrate", verbosity=0, interactive=False)
    return empty_store


def _on_sqlite(folder: Path) -> Iterator[FreshStore]:
    path = folder / "store.sqlite3"
    environ = _environ(BEADWRIGHT_STORE=str(path))
    with _Default(NAME=str(path)):
        yield FreshStore(path, environ)


def _on_postgresql(_: Path) -> Iterator[FreshStore]:
    # The process number keeps the workers of a parallel run apart.
    name = f"beadwright_fresh_{os.getpid()}_{next(_serial)}"
    given = connection.settings_dict
    with _Default(NAME="postgres"), connections["default"].cursor() as cursor:
        cursor.execute(f"CREATE DATABASE {name}")
    try:
        url = _url(given, name)
        with _Default(NAME=name):
            yield FreshStore(None, _environ(BEADWRIGHT_DATABASE_URL=url))
    finally:
        with _Default(NAME="postgres"), connections["default"].cursor() as cursor:
            cursor.execute(f"DROP DATABASE {name} WITH (FORCE)")


def _url(given: dict[str, Any], name: str) -> str:
    user, password = (quote(str(given[key]), safe="") for key in ("USER", "PASSWORD"))
    host = quote(str(given["HOST"]), safe="")
    port = f"localhost:{given['PORT']}" if given["PORT"] else ""
    return f"postgresql://{user}:{password}@{port}/{name}?host={host}"


def _environ(**store: str) -> dict[str, str]:
    kept = {key: text for key, text in os.environ.items() if not key.startswith("BEADWRIGHT_")}
    return {**kept, "DJANGO_SETTINGS_MODULE": "beadwright.site.settings", **store}


class _Default:
    """Points the default connection elsewhere for a while, in all threads that start meanwhile."""

    def __init__(self, **changes: object) -> None:
        self.changes = changes

    def __enter__(self) -> None:
        self.before = connections.databases["default"]
        self.connection = connections["default"]
        self.switch({**self.before, **self.changes})

    def __exit__(self, *_: object) -> None:
        connections["default"].close()
        self.switch(self.before)
        connections["default"] = self.connection

    def switch(self, settings: dict[str, Any]) -> None:
        """A connection is made anew from its settings the first time it is asked for."""
        connections.databases["default"] = settings
        del connections["default"]
