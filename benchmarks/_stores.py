"""The two stores that everything is measured on, and the year of a plant that stands in them.

Read :func:`both`, :func:`apart` and :func:`filled`. Both stores keep what they acknowledged through
a power cut: SQLite with synchronous FULL, PostgreSQL with fsync. They are made once in a run of
``./bench``, shared by its modules, and gone when it ends.
"""

from __future__ import annotations

import atexit
import os
import resource
import tempfile
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ProcessPoolExecutor
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from functools import cache
from multiprocessing import get_context
from pathlib import Path
from typing import TypeVar

from beadwright.site import configure
from benchmarks._sheets import Year
from tools.postgres import server

__all__ = ["LATER_STEPS", "PLANT", "STEPS", "WIDE_LOTS", "Imported", "Store", "apart", "both"]
__all__ += ["filled", "fresh", "later_folder", "sheets_of", "small", "waiting_folder"]

PLANT = "BENCH"
STEPS = 100_000
WIDE_LOTS = 3334
"""Lots of the wide filling; with their bundles and shipments some 10,000."""

_SMALL_STEPS = STEPS // 10

LATER_STEPS = 8_000
"""Steps of the weeks after the year, which are posted to measure posting."""

_WAITING_STEPS = 1150
"""Steps of the days of which some 100 lots wait to be released."""

_T = TypeVar("_T")
_stack = ExitStack()
atexit.register(_stack.close)


@dataclass(frozen=True)
class Store:
    """A store by name, and what names it to a process."""

    name: str
    environ: tuple[str, str]

    @property
    def postgresql(self) -> bool:
        """Whether it is a PostgreSQL."""
        return self.name == "PostgreSQL"


@dataclass(frozen=True)
class Imported:
    """What the import of the year took."""

    seconds: float
    peak_mb: float
    drafts: int
    steps: int
    movements: int
    readings: int


@cache
def both() -> tuple[Store, Store]:
    """Give an SQLite file and a PostgreSQL, both empty before :func:`filled`."""
    url = _stack.enter_context(server(durable=True))
    return (
        Store("SQLite", ("BEADWRIGHT_STORE", str(_folder() / "store.sqlite3"))),
        Store("PostgreSQL", ("BEADWRIGHT_DATABASE_URL", url)),
    )


def apart(store: Store, task: Callable[..., _T], *args: object) -> _T:
    """Run a task in a process of its own that is set up on a store."""
    with (
        _environ(store),
        ProcessPoolExecutor(1, get_context("spawn"), initializer=configure) as pool,
    ):
        return pool.submit(task, *args).result()


@cache
def filled(store: Store) -> Imported:
    """Import the year into a store, once."""
    return apart(store, _import, _sheets()[0])


@cache
def small(store: Store) -> Store:
    """Give a store of the same kind that holds the first tenth of the year only."""
    tenth = fresh(store, "small")
    year = Year()
    year.grow(_SMALL_STEPS)
    apart(tenth, _import, sheets_of(year, "tenth"), _SMALL_STEPS)
    return tenth


def fresh(like: Store, name: str) -> Store:
    """Give an empty store of the same kind, which is gone when the bench ends."""
    if like.postgresql:
        return Store(like.name, (like.environ[0], _stack.enter_context(server(durable=True))))
    return Store(like.name, (like.environ[0], str(_folder() / f"{name}.sqlite3")))


def sheets_of(year: Year, name: str) -> Path:
    """Give the folder of a year's sheets, written once under a name."""
    folder = _folder() / name
    if not folder.exists():
        year.write(folder)
    return folder


def later_folder() -> Path:
    """Give the sheets of the weeks that follow the year."""
    return _sheets()[1]


@cache
def waiting_folder() -> Path:
    """Give the sheets of the days after those weeks, of which nothing is bundled or shipped yet."""
    folder = _sheets()[2]
    for name in ("bundles", "shipments"):
        for file in folder.glob(f"{name}.*"):
            file.unlink()
    return folder


@cache
def _folder() -> Path:
    return Path(_stack.enter_context(tempfile.TemporaryDirectory(prefix="beadwright-bench-")))


@cache
def _sheets() -> tuple[Path, Path, Path]:
    year = Year()
    year.wide(WIDE_LOTS)
    year.grow(STEPS)
    later = year.next()
    later.grow(LATER_STEPS)
    waiting = later.next()
    waiting.grow(_WAITING_STEPS)
    folders = (_folder() / "year", _folder() / "later", _folder() / "waiting")
    year.write(folders[0])
    later.write(folders[1])
    waiting.write(folders[2])
    return folders


@contextmanager
def _environ(store: Store) -> Iterator[None]:
    ours = ("BEADWRIGHT_STORE", "BEADWRIGHT_DATABASE_URL")
    before = {name: os.environ.pop(name) for name in ours if name in os.environ}
    os.environ[store.environ[0]] = store.environ[1]
    try:
        yield
    finally:
        del os.environ[store.environ[0]]
        os.environ.update(before)


def _import(folder: Path, expected: int = STEPS) -> Imported:
    from django.core.management import call_command  # noqa: PLC0415 - after the set-up

    from beadwright.interop.importing import import_files  # noqa: PLC0415
    from beadwright.ledger.store import one  # noqa: PLC0415

    call_command("migrate", verbosity=0, interactive=False)
    begun = time.perf_counter()
    report = import_files([folder])
    seconds = time.perf_counter() - begun
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1000
    assert not report.refused
    assert report.nonconformities == 0
    counts = [one(f"SELECT count(*) FROM {name}") for name in _COUNTED]  # noqa: S608 - ours
    steps, movements, readings = (row[0] if row else 0 for row in counts)
    assert steps == expected
    return Imported(seconds, peak, report.posted, steps, movements, readings)


_COUNTED = ("ledger_step", "ledger_touch", "quality_reading")
