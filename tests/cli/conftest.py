"""A shell on the test's store, and the demonstration plant in a file of its own."""

import os
import shutil
import sqlite3
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import closing
from functools import cache
from pathlib import Path

import pytest
from pytest_django import DjangoDbBlocker

from tests.cli.shell import Outcome, Shell, at

PROGRAM = (
    sys.executable,
    "-c",
    "import sys; from beadwright.site.main import main; sys.exit(main())",
)


def _called(*words: str, **environ: str) -> Outcome:
    kept = {key: text for key, text in os.environ.items() if not key.startswith("BEADWRIGHT_")}
    kept.pop("DJANGO_SETTINGS_MODULE", None)
    done = subprocess.run(
        [*PROGRAM, *words],
        env={**kept, "PYTHONIOENCODING": "utf-8", **environ},
        capture_output=True,
        encoding="utf-8",
        check=False,
    )
    return Outcome(done.returncode, done.stdout, done.stderr)


@pytest.fixture
def shell() -> Shell:
    """The program, run in this process on the test's own store."""
    return Shell.here()


@pytest.fixture
def program() -> Callable[..., Outcome]:
    """The program, run in a process of its own."""
    return _called


@pytest.fixture(scope="session")
def demonstration(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the invented plant's files, and its store; made once, shared by workers."""
    shared = tmp_path_factory.getbasetemp()
    if os.environ.get("PYTEST_XDIST_WORKER"):
        shared = shared.parent
    folder = shared / "demonstration"
    if not folder.exists():
        making = tmp_path_factory.mktemp("making")
        files, store = making / "files", making / "store.sqlite3"
        made = _called("demo", "--seed", "1", "--to", str(files))
        read = _called("--store", str(store), "import", str(files))
        assert (made.status, read.status) == (0, 0), made.err + read.err
        try:
            making.rename(folder)
        except OSError:  # another worker was quicker
            shutil.rmtree(making)
    return folder


@pytest.fixture
def environment(monkeypatch: pytest.MonkeyPatch) -> None:
    """Puts the environment back that opening a store writes into."""
    monkeypatch.setenv("BEADWRIGHT_STORE", "")
    monkeypatch.setenv("BEADWRIGHT_DATABASE_URL", os.environ.get("BEADWRIGHT_DATABASE_URL", ""))


@pytest.fixture(scope="session")
def asked(demonstration: Path, django_db_blocker: DjangoDbBlocker) -> Callable[..., Outcome]:
    """Questions to the demonstration's store; what was asked before is not asked again."""
    kept = {name: os.environ.get(name) for name in ("BEADWRIGHT_STORE", "BEADWRIGHT_DATABASE_URL")}

    @cache
    def ask(*words: str) -> Outcome:
        with django_db_blocker.unblock(), at(demonstration / "store.sqlite3") as shell:
            told = shell(*words)
        for name, text in kept.items():
            os.environ.pop(name, None) if text is None else os.environ.update({name: text})
        return told

    return ask


@pytest.fixture
def damaged(
    demonstration: Path, tmp_path: Path, environment: None, django_db_blocker: DjangoDbBlocker
) -> Iterator[tuple[Shell, Path]]:
    """A shell on a copy of the demonstration's store, to be changed from behind."""
    del environment
    copy = tmp_path / "store.sqlite3"
    with (
        closing(sqlite3.connect(demonstration / "store.sqlite3")) as source,
        closing(sqlite3.connect(copy)) as target,
    ):
        source.backup(target)
    with django_db_blocker.unblock(), at(copy) as shell:
        yield shell, copy
