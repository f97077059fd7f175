"""The program called as a shell calls it, in this process, on a store that the test chooses."""

import contextlib
import io
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from django.db import connections

from beadwright.cli.main import run
from beadwright.cli.session import StoreState
from beadwright.site.opening import SiteStores
from beadwright.site.stores import database_of

__all__ = ["Outcome", "Shell", "at"]


@dataclass(frozen=True)
class Outcome:
    """How a call ended, and what it wrote on which stream."""

    status: int
    out: str
    err: str

    def __post_init__(self) -> None:
        """No call shows a traceback that nobody asked for."""
        assert "Traceback" not in self.out + self.err


class OpenStores:
    """Says that the connection of the test is the store that was asked for."""

    def look(self, path: Path | None) -> StoreState:
        """Open it."""
        return self.open(path)

    def make(self, path: Path | None) -> StoreState:
        """Open it."""
        return self.open(path)

    def unmake(self) -> None:
        """Keep it: it is the test's."""

    def mend(self, path: Path | None) -> StoreState:
        """Open it."""
        return self.open(path)

    def rehearse(self, path: Path | None) -> StoreState:
        """Open it."""
        return self.open(path)

    def open(self, path: Path | None) -> StoreState:
        """Open it."""
        del path
        return StoreState("the test's store", "an engine")


@dataclass(frozen=True)
class Shell:
    """Runs commands: on the test's own connection, or on a file as the program opens it."""

    stores: Any
    before: tuple[str, ...] = ()
    """Words that stand before the verb."""

    def __call__(self, *words: str) -> Outcome:
        """Run one command."""
        out, err = io.StringIO(), io.StringIO()
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            status = run(self.stores, [*self.before, *words])
        return Outcome(status, out.getvalue(), err.getvalue())

    @classmethod
    def here(cls) -> "Shell":
        """Give a shell on the test's own connection."""
        return cls(OpenStores())


@contextlib.contextmanager
def at(path: Path) -> Iterator[Shell]:
    """Give a shell on a file, opened as the program opens it, while the connection points there."""
    before, connection = connections.databases["default"], connections["default"]
    wanted = {"default": database_of({"BEADWRIGHT_STORE": str(path)})}
    connections.databases["default"] = connections.configure_settings(wanted)["default"]
    del connections["default"]
    try:
        yield Shell(SiteStores(), ("--store", str(path)))
    finally:
        connections["default"].close()
        connections.databases["default"] = before
        connections["default"] = connection
