"""Folds a store's write-ahead log into its one file, so that it can be moved: `settle.py FILE`."""

import sqlite3
import sys
from contextlib import closing
from pathlib import Path

__all__ = ["settle"]


def settle(store: Path) -> None:
    """Leave the store as one file, or fail where something else still has it open."""
    with closing(sqlite3.connect(f"{store.resolve().as_uri()}?mode=rw", uri=True)) as connection:
        busy = connection.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()[0]
    if busy:
        sys.exit(f"{store} is still open elsewhere: close what uses it and try again.")


if __name__ == "__main__":
    settle(Path(sys.argv[1]))
