"""The import as a shell runs it: the store made where needed, progress on the error stream."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path

from beadwright.cli.ending import say
from beadwright.cli.session import Session
from beadwright.errors import Misuse, Refusal
from beadwright.interop.importing import ImportReport, import_files

__all__ = ["run"]


def run(
    session: Session, paths: Sequence[Path], keep: frozenset[str], by: str, *, dry_run: bool
) -> ImportReport:
    """Import paths into the session's store.

    Raises
    ------
    Misuse
        If a path does not exist.
    """
    absent = [str(path) for path in paths if not path.exists()]
    if absent:
        message = f"there is no file or folder {', '.join(absent)}: check the path"
        raise Misuse(message)
    (session.stores.rehearse if dry_run else session.stores.make)(session.store)
    counted = _Counted()
    try:
        return import_files(
            paths,
            plant=session.plant_code,
            keep=keep,
            dry_run=dry_run,
            by=by,
            progress=counted.show,
        )
    except Refusal:
        if counted.done:
            say(
                f"{counted.done} entries before this one are in the record. Mend the file and"
                " import it again: what is in the record is not doubled."
            )
        raise
    finally:
        counted.end()
        if not dry_run:
            session.stores.unmake()


class _Counted:
    """Entries recorded so far: one line that is written over at a terminal, else a line each."""

    def __init__(self) -> None:
        self.done = 0
        self._open = False

    def show(self, done: int, of: int) -> None:
        """Say how far it is."""
        self.done = done
        if sys.stderr.isatty():
            sys.stderr.write(f"\rrecorded {done} of {of}")
            self._open = True
        elif done % 10_000 == 0 or done == of:
            sys.stderr.write(f"recorded {done} of {of}\n")
        sys.stderr.flush()

    def end(self) -> None:
        """End the line that was written over."""
        if self._open:
            sys.stderr.write("\n")
            self._open = False
