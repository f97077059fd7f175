"""The verb about people: names stand outside the record, and can be erased."""

from __future__ import annotations

from typing import Annotated

import typer

from beadwright.cli.ending import DONE
from beadwright.cli.session import of

__all__ = ["people"]


def people(
    context: typer.Context,
    confirm: Annotated[
        str,
        typer.Option(
            metavar="INITIALS", help="Confirm whose initials these are; it then stays so."
        ),
    ] = "",
    erase: Annotated[
        str,
        typer.Option(metavar="ID", help="Forget a person's name and initials for good."),
    ] = "",
    json: Annotated[bool, typer.Option("--json", help="Answer as JSON.")] = False,
) -> int:
    """List the people behind the ids of the record, or confirm or erase one.

    The record holds ids only. To erase a person leaves the record whole and the id nameless.

    Example: beadwright --store plant.sqlite3 people --confirm KR
    """
    from beadwright.cli import persons

    plant = of(context).plant()
    if confirm:
        persons.confirm(plant.code, confirm)
    if erase:
        persons.erase(plant.code, erase)
    persons.show(plant.code, json=json)
    return DONE
