"""The verb that follows a lot: back to what it was made of, forward to what was made of it."""

from __future__ import annotations

from typing import Annotated

import typer

from beadwright.cli.choices import AsJson, Units
from beadwright.cli.ending import DONE
from beadwright.cli.session import of

__all__ = ["trace"]


def trace(  # noqa: PLR0913 - one of them is the context
    context: typer.Context,
    lot: Annotated[
        str, typer.Argument(metavar="LOT", help="A lot's code or label; code:B-1 is no label.")
    ],
    back: Annotated[bool, typer.Option("--back", help="To what it was made of.")] = False,
    forward: Annotated[bool, typer.Option("--forward", help="To what was made of it.")] = False,
    cut: Annotated[
        float | None,
        typer.Option(metavar="MG", min=0, help="Expected mass below which a lot is not listed."),
    ] = None,
    units: Annotated[
        Units, typer.Option(envvar="BEADWRIGHT_UNITS", help="Masses in kg (si) or lb (us).")
    ] = Units.SI,
    json: AsJson = False,
) -> int:
    """Trace a lot: every lot it was made of, or every lot made of it, with masses and shares.

    A silo is no pipe: a share is an estimate (well mixed) between the least and the most it can be.
    Either way it is a share of the lot that the other went into, of all that ever came into that.
    Lots with less than one bead's expected mass (0.4 mg, or --cut) are given as a sum.

    Example: beadwright --store plant.sqlite3 trace B-0412 --forward
    """
    from beadwright.cli import following, show_trace
    from beadwright.plant.followed import followed
    from beadwright.plant.lot_named import one_lot

    plant = of(context).plant()
    way = following.way(back=back, forward=forward)
    found = followed(plant, one_lot(plant, lot), way, cut)
    show_trace.show(plant, found, units=units.system, json=json)
    return DONE
