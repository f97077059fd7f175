"""The verb that says which defects there are, and which group has more of one than chance gives."""

from __future__ import annotations

from typing import Annotated

import typer

from beadwright.cli.choices import AsJson, AsPicture
from beadwright.cli.ending import DONE
from beadwright.cli.session import of

__all__ = ["defects"]


def defects(  # noqa: PLR0913 - its options are typer's to call
    context: typer.Context,
    since: Annotated[str, typer.Option(help="First day, as 2026-09-01; else four weeks.")] = "",
    until: Annotated[str, typer.Option(help="Last day, included; else today.")] = "",
    by: Annotated[
        str,
        typer.Option(
            metavar="WORD", help="product, press, cavity, shift, 'tie lot', silo or 'bead bag'."
        ),
    ] = "tie lot",
    picture: AsPicture = None,
    json: AsJson = False,
) -> int:
    """Say which defects there are, by kind, and which tie lot, bag, press or cavity has more.

    Blocks scrapped at the press and pieces found bad when looked over stand apart. What stands out
    is corrected for having looked at all, and is not yet the cause.

    Example: beadwright --store plant.sqlite3 defects --by press --since 2026-09-01
    """
    from beadwright.cli import show_defects
    from beadwright.plant.defects import defects_asked

    plant = of(context).plant()
    found = defects_asked(plant, since, until, by)
    if picture is not None:
        show_defects.draw(found, picture)
    show_defects.show(plant, found, json=json)
    return DONE
