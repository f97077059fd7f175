"""Verbs about the record itself: verify it, make its projections again, look at the store."""

from __future__ import annotations

from typing import Annotated

import typer

from beadwright.cli.choices import AsJson
from beadwright.cli.ending import BROKEN, DONE, NO_STORE, say
from beadwright.cli.session import of

__all__ = ["doctor", "rebuild", "verify"]


def verify(
    context: typer.Context,
    head: Annotated[
        str,
        typer.Option(
            metavar="SEQ:HASH",
            help="A head printed earlier, held against the record; 12 figures of it will do.",
        ),
    ] = "",
    chain: Annotated[
        bool,
        typer.Option(
            "--chain", help="The chain alone, in seconds: lots and readings are not made anew."
        ),
    ] = False,
    json: AsJson = False,
) -> int:
    """Verify the record: every entry unchanged, in its place, and the chain whole.

    Then lots, readings and decisions are made anew and compared with what the store answers from;
    nobody can post meanwhile (a year of records takes some ten seconds). Of a store that is a file,
    SQLite also looks whether the file itself is whole.

    Prints the head to keep. Held against a head kept elsewhere it also shows a record cut short
    or written anew; without one, a record that was rewritten whole cannot be told from a true one.

    Example: beadwright --store plant.sqlite3 verify --head 512:9f2c…
    """
    from beadwright.cli import show_record, verifying

    found = verifying.verified(of(context), head, chain_only=chain)
    show_record.verified(found, json=json)
    if not found.holds:
        return BROKEN
    return NO_STORE if found.missing else DONE


def rebuild(context: typer.Context) -> int:
    """Make lots, stock, readings, nonconformities and holds again from the record.

    Nothing of the record changes, and the answers are the same as before.

    Example: beadwright --store plant.sqlite3 rebuild
    """
    from beadwright.cli import show_record, verifying

    for code in verifying.verified_plants(of(context)):
        say(f"{code}: making the projections again …")
        show_record.rebuilt(code, verifying.rebuilt(code))
    return DONE


def doctor(
    context: typer.Context,
    mend: Annotated[
        bool, typer.Option("--mend", help="Make or lay what the store lacks; keep a copy first.")
    ] = False,
    json: AsJson = False,
) -> int:
    """Say in what state the store is: engine, file, tables, safeguards, plants and what they hold.

    Example: beadwright --store plant.sqlite3 doctor
    """
    from beadwright.cli import examining, show_record

    found = examining.examined(of(context), mend=mend)
    show_record.examined(found, json=json)
    if found.damage:
        return BROKEN
    return DONE if found.is_sound else NO_STORE
