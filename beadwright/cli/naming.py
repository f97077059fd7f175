"""Verbs about people: their names stand outside the record, can be erased, and may sign in."""

from __future__ import annotations

from typing import Annotated

import typer

from beadwright.cli.choices import AsJson
from beadwright.cli.ending import DONE
from beadwright.cli.session import of
from beadwright.cli.together import not_with, only_with

__all__ = ["account", "people", "token"]


def people(  # noqa: PLR0913 - one of them is the context
    context: typer.Context,
    confirm: Annotated[
        str,
        typer.Option(
            metavar="INITIALS", help="Confirm whose initials these are; it then stays so."
        ),
    ] = "",
    erase: Annotated[
        str,
        typer.Option(
            metavar="ID", help="Forget a person's name and initials for good; needs --by."
        ),
    ] = "",
    by: Annotated[
        str,
        typer.Option(
            metavar="WHO", envvar="BEADWRIGHT_BY", help="The engineer who wants it erased."
        ),
    ] = "",
    yes: Annotated[
        bool, typer.Option("--yes", help="Erase without asking; a script must say so.")
    ] = False,
    json: AsJson = False,
) -> int:
    """List the people behind the ids of the record, or confirm or erase one.

    The record holds ids only. To erase a person leaves the record whole and the id nameless.

    Example: beadwright --store plant.sqlite3 people --confirm KR
    """
    from beadwright.cli import persons

    only_with(context, "--erase", "by", "yes", given=bool(erase))
    plant = of(context).plant()
    if confirm:
        persons.confirm(plant.code, confirm)
    if erase:
        persons.erase(plant.code, erase, by, yes=yes)
    persons.show(plant.code, json=json)
    return DONE


def account(
    context: typer.Context,
    who: Annotated[str, typer.Argument(metavar="WHO", help="Initials or id of a person.")],
    close: Annotated[bool, typer.Option("--close", help="Let the person sign in no more.")] = False,
) -> int:
    """Give a person a code to sign in with at the pages; asked for twice, or read from a pipe.

    The record holds neither code nor account. A new code signs out whoever used the old one.

    Example: beadwright --store plant.sqlite3 account EI
    """
    from beadwright.cli import signing_in

    plant = of(context).plant()
    if close:
        signing_in.close_account(plant, who)
    else:
        signing_in.give_code(plant, who)
    return DONE


def token(
    context: typer.Context,
    name: Annotated[str, typer.Argument(metavar="NAME", help="A name for it, such as scale-2.")],
    role: Annotated[
        str, typer.Option(metavar="ROLE", help="What it may do: machine, operator, auditor …")
    ] = "machine",
    station: Annotated[
        str, typer.Option(metavar="PLACE", help="The one place whose forms it may post.")
    ] = "",
    close: Annotated[bool, typer.Option("--close", help="Let it in no more.")] = False,
) -> int:
    """Make a token, by which a machine or a program is let in at /api/; it is shown once.

    Only a hash of it is kept, outside the record. A new one of the same name replaces the old.

    Example: beadwright --store plant.sqlite3 token press-2 --role operator --station L2
    """
    from beadwright.cli import signing_in

    not_with(context, "--close", "role", "station", given=close)
    plant = of(context).plant()
    if close:
        signing_in.close_token(plant, name)
    else:
        signing_in.give_token(plant, name, role, station)
    return DONE
