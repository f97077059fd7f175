"""Opens the store that a command names, and says in what state it is; nothing is opened half.

Read :class:`SiteStores`. A file is looked at with SQLite's read-only mode before Django opens it,
so that a question neither makes a file nor changes one that is not ours.
"""

from __future__ import annotations

import atexit
import os
import shutil
import tempfile
from collections.abc import Callable
from pathlib import Path

from beadwright.cli.session import Served, StoreState
from beadwright.errors import StoreUnreachable

__all__ = ["SQLITE_FAULT", "SiteStores"]

SQLITE_FAULT = ((3, 7, 0), (3, 51, 2))
"""First and last SQLite version with a fault that can damage a file in WAL mode when a checkpoint
meets a write (as SQLite's published notes on the WAL reset give it; from a second source)."""

_URL = "BEADWRIGHT_DATABASE_URL"
_FILE = "BEADWRIGHT_STORE"
_MAGIC = b"SQLite format 3\x00"
_RECORD = "ledger_entry"


class SiteStores:
    """The stores of this machine: a file each, or a PostgreSQL."""

    def __init__(self) -> None:
        """Start with no file that was made here."""
        self._own: Path | None = None

    def open(self, path: Path | None) -> StoreState:
        """Open a store that must be complete.

        Raises
        ------
        StoreUnreachable
            If there is none, or it lacks tables, migrations or triggers.
        """
        state = self.look(path)
        if state.new:
            message = f"{state.where} holds no record yet: import a plant's files into it first."
            raise StoreUnreachable(message)
        _require_whole(state)
        return state

    def look(self, path: Path | None) -> StoreState:
        """Open a store as it is, complete or not."""
        named = _named(path)
        if named is not None:
            _require_ours(named)
        return _state(named)

    def make(self, path: Path | None) -> StoreState:
        """Open a store for writing; where there is none, it is made.

        Raises
        ------
        StoreUnreachable
            If it cannot be made, or is there and lacks migrations or triggers.
        """
        named = _named(path)
        absent = named is not None and not named.exists()
        state = self._made(path)
        self._own = named if absent else None
        _require_whole(state)
        return state

    def unmake(self) -> None:
        """Take a store's file away again that :meth:`make` made, where nothing was recorded."""
        from beadwright.ledger import lots

        if self._own is None or lots.plants():
            return
        from django.db import connection

        connection.close()
        for ending in ("", "-wal", "-shm"):
            self._own.with_name(f"{self._own.name}{ending}").unlink(missing_ok=True)
        self._own = None

    def mend(self, path: Path | None) -> StoreState:
        """Open a store; make or lay what it lacks of tables, migrations and triggers."""
        state = self._made(path)
        if state.pending:
            _migrate()
        if state.missing:
            from beadwright.ledger import triggers

            triggers.lay()
        return _state(_named(path))

    def _made(self, path: Path | None) -> StoreState:
        named = _named(path)
        if named is not None and named.exists():
            _require_ours(named)
        elif named is not None:
            _require_folder(named)
        state = _state(named)
        if not state.new:
            return state
        _migrate()
        return _state(named)

    def serve(
        self, path: Path | None, plant: str, served: Served, ready: Callable[[], None]
    ) -> None:
        """Serve the pages of a plant until told to stop; ``ready`` is called before.

        Raises
        ------
        Misuse
            If it is to listen beyond this machine without a certificate, or a file is missing.
        """
        from beadwright.site.serving import serve

        serve(path, plant, served, ready)

    def rehearse(self, path: Path | None) -> StoreState:
        """Open a store for a dry run, which leaves nothing behind: not even the store itself.

        Raises
        ------
        StoreUnreachable
            As :meth:`make`.
        """
        named = _named(path)
        if named is None:
            return self.open(path)
        if named.exists():
            _require_ours(named)
            if named.stat().st_size:
                return self.open(path)
        _require_folder(named)
        folder = tempfile.mkdtemp(prefix="beadwright-")
        atexit.register(shutil.rmtree, folder, ignore_errors=True)
        return self.make(Path(folder) / "scratch.sqlite3")


def _migrate() -> None:
    from django.core.management import call_command

    call_command("migrate", verbosity=0, interactive=False)


def _named(path: Path | None) -> Path | None:
    """Give the file that is the store; None where it is a PostgreSQL."""
    if path is not None:
        return path
    if os.environ.get(_URL):
        return None
    if os.environ.get(_FILE):
        return Path(os.environ[_FILE])
    message = (
        "no store is named: write `beadwright --store FILE …`, before the verb,"
        f" or set {_FILE} or {_URL}."
    )
    raise StoreUnreachable(message)


def _require_ours(path: Path) -> None:
    """Refuse what is no store of ours without touching it."""
    if not path.exists():
        message = f"there is no store {path}: check the path, or import a plant's files into it."
        raise StoreUnreachable(message)
    if not path.is_file():
        message = f"{path} is a folder: name the store's file."
        raise StoreUnreachable(message)
    try:
        with path.open("rb") as file:
            start = file.read(len(_MAGIC))
    except OSError as error:
        message = f"{path} cannot be read: {error.strerror}."
        raise StoreUnreachable(message) from error
    if start and start != _MAGIC:
        message = f"{path} is no store: it is not an SQLite file. Check the path."
        raise StoreUnreachable(message)
    tables = _tables(path) if start else set()
    if tables and _RECORD not in tables:
        message = f"{path} is another program's file: it holds no record. Check the path."
        raise StoreUnreachable(message)


def _require_folder(path: Path) -> None:
    """Refuse a file that is to be made in a folder that is not there."""
    if not path.absolute().parent.is_dir():
        message = f"{path} cannot be made: there is no folder {path.absolute().parent}."
        raise StoreUnreachable(message)


def _tables(path: Path) -> set[str]:
    import sqlite3

    try:
        connection = sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro", uri=True)
        try:
            rows = connection.execute("SELECT name FROM sqlite_master WHERE type='table'")
            return {row[0] for row in rows}
        finally:
            connection.close()
    except sqlite3.DatabaseError as error:
        message = f"{path} cannot be read: {error}."
        raise StoreUnreachable(message) from error


def _state(path: Path | None) -> StoreState:
    from beadwright.site import configure

    configure(path)
    from django.db import connection
    from django.db.migrations.executor import MigrationExecutor

    from beadwright.ledger import triggers

    new = _RECORD not in connection.introspection.table_names()
    executor = MigrationExecutor(connection)
    plan = executor.migration_plan(executor.loader.graph.leaf_nodes())
    return StoreState(
        where=_where(path),
        engine=_engine(),
        new=new,
        pending=tuple(f"{migration.app_label} {migration.name}" for migration, _ in plan),
        missing=() if new else triggers.missing(),
        warning=_warning(),
        size=path.stat().st_size if path is not None and path.exists() else None,
    )


def _where(path: Path | None) -> str:
    if path is not None:
        return str(path)
    from django.db import connection

    settings = connection.settings_dict
    host = f" at {settings['HOST']}" if settings["HOST"] else ""
    return f"PostgreSQL database {settings['NAME']}{host}"


def _engine() -> str:
    from django.db import connection

    if connection.vendor == "postgresql":
        return "PostgreSQL " + ".".join(map(str, connection.get_database_version()))
    import sqlite3

    return f"SQLite {sqlite3.sqlite_version}"


def _warning() -> str:
    from django.db import connection

    if connection.vendor == "postgresql":
        return ""
    import sqlite3

    first, last = SQLITE_FAULT
    if not first <= sqlite3.sqlite_version_info <= last:
        return ""
    return (
        f"SQLite {sqlite3.sqlite_version} lies in the range {_dotted(first)} to {_dotted(last)},"
        " of which a rare fault is known that can damage the file when two programs write at"
        " once. Install the extra `sqlite` of this program, which brings a newer one."
    )


def _dotted(version: tuple[int, ...]) -> str:
    return ".".join(map(str, version))


def _require_whole(state: StoreState) -> None:
    if state.pending:
        message = (
            f"{state.where} was made by an older version: {', '.join(state.pending)} not applied."
            " Keep a copy of it, then run `beadwright doctor --mend`."
        )
        raise StoreUnreachable(message)
    if state.missing:
        message = (
            f"{state.where} lacks what keeps its record from being changed"
            f" ({', '.join(state.missing)}). Run `beadwright verify` to see whether it was changed,"
            " then `beadwright doctor --mend`."
        )
        raise StoreUnreachable(message)
