"""Verbs about limits: list them, and sign one against the paid text."""

from __future__ import annotations

from typing import Annotated

import typer

from beadwright.cli.choices import AsJson
from beadwright.cli.ending import DONE
from beadwright.cli.session import of
from beadwright.cli.together import not_with

__all__ = ["limits", "sign"]


def limits(
    context: typer.Context,
    standard: Annotated[
        str, typer.Option(metavar="NAME", help='Every row of one standard: "ASTM C578".')
    ] = "",
    everything: Annotated[
        bool, typer.Option("--all", help="Every row of every standard that is carried.")
    ] = False,
    unsigned: Annotated[
        bool, typer.Option("--unsigned", help="Only printed limits that nobody has signed.")
    ] = False,
    json: AsJson = False,
) -> int:
    """List limits: those the plant's products are judged by today, printed and its own.

    A printed limit is unverified until somebody has compared it with the paid text and signed it.

    Example: beadwright --store plant.sqlite3 limits --unsigned
    """
    from beadwright.cli import show_limits

    not_with(context, "--standard", "everything", given=bool(standard))
    plant = of(context).plant()
    show_limits.show(plant, (standard, everything, unsigned), json=json)
    return DONE


def sign(  # noqa: PLR0913 - one of them is the context
    context: typer.Context,
    row: Annotated[
        str, typer.Argument(metavar="ROW", help="As `limits` lists it: ASTM C578/10/II/density.")
    ],
    by: Annotated[
        str, typer.Option(metavar="WHO", envvar="BEADWRIGHT_BY", help="Initials or id of who read.")
    ],
    value: Annotated[
        str, typer.Option(metavar="VALUE", help='What the paid text says: "1.35 lb/ft3".')
    ] = "",
    page: Annotated[
        str, typer.Option(metavar="TEXT", help="Where it stands there: page, table.")
    ] = "",
    note: Annotated[str, typer.Option(metavar="TEXT", help="What else a reader should know.")] = "",
    withdraw: Annotated[
        str, typer.Option(metavar="REASON", help="Withdraw the signature that stands, and why.")
    ] = "",
) -> int:
    """Sign a printed limit: this figure stands so in the paid text.

    Where the paid text says otherwise it is refused; set a limit of the plant's own then.

    Example: beadwright sign "ASTM C578/10/II/density" --value "1.35 lb/ft3" --page 3 --by EI
    """
    from beadwright.cli import show_limits, signed

    not_with(context, "--withdraw", "value", "page", "note", given=bool(withdraw))
    session = of(context)
    if withdraw:
        show_limits.withdrawn(signed.withdraw(session, row, withdraw, by))
    else:
        show_limits.signed(signed.sign(session, row, (value, page, note), by))
    return DONE
