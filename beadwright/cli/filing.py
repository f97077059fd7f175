"""Verbs about files: write the invented plant's, and read a plant's own."""

from __future__ import annotations

import os
import shlex
from pathlib import Path
from typing import Annotated

import typer

from beadwright.cli.choices import AsJson
from beadwright.cli.ending import DONE, REFUSED, say
from beadwright.cli.session import of

__all__ = ["demo", "import_"]


def demo(
    context: typer.Context,
    to: Annotated[
        Path, typer.Option("--to", metavar="FOLDER", help="Where to write; new or empty.")
    ],
    seed: Annotated[
        int, typer.Option(metavar="N", min=0, help="Which of the invented histories.")
    ] = 1,
    months: Annotated[
        int,
        typer.Option(metavar="N", min=0, help="Months of a simulated plant; 0: the three weeks."),
    ] = 0,
    parameters: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="Figures of the simulated plant that are to differ."),
    ] = None,
) -> int:
    """Write the files of an invented plant, for learning and for trying things out.

    They are of the kind that `import` reads; truth.json beside them tells what was planted and what
    is truly in every lot, and is never read. With --months it is a simulated plant of any length.

    Example: beadwright demo --seed 1 --to files
    """
    from beadwright.cli import show_files

    show_files.require_empty(to)
    show_files.write(seed, to, months, parameters)
    show_files.written(seed, to)
    named = bool(of(context).store or os.environ.get("BEADWRIGHT_STORE"))
    named = named or bool(os.environ.get("BEADWRIGHT_DATABASE_URL"))
    store = "" if named else "--store demonstration.sqlite3 "
    say(f"Next: `beadwright {store}import {shlex.quote(str(to))}`")
    return DONE


def import_(  # noqa: PLR0913 - one of them is the context
    context: typer.Context,
    paths: Annotated[
        list[Path], typer.Argument(metavar="PATH", help="Folders, or sheets and settings files.")
    ],
    dry_run: Annotated[
        bool, typer.Option("--dry-run", help="Read and check everything; record nothing.")
    ] = False,
    keep: Annotated[
        list[str] | None,
        typer.Option(metavar="FILE:ROW:FIELD", help="A value asked about stands as keyed; repeat."),
    ] = None,
    by: Annotated[
        str,
        typer.Option(
            metavar="WHO",
            envvar="BEADWRIGHT_BY",
            help="Initials or id of the engineer who signs for settings that change.",
        ),
    ] = "",
    json: AsJson = False,
) -> int:
    """Read a plant's files into its record; the store is made where there is none.

    A file with a bad row records nothing, and all bad rows are listed. What was read before is not
    doubled; a row that says something else than last time is shown, and waits for a correction.
    Settings that change are told key by key, and an engineer signs for them with --by; the first
    import of a plant needs none.

    Example: beadwright --store plant.sqlite3 import files --dry-run
    """
    from beadwright.cli import importing, show_import

    report = importing.run(of(context), paths, frozenset(keep or ()), by, dry_run=dry_run)
    show_import.show(report, json=json)
    return REFUSED if report.refused or report.changed else DONE
