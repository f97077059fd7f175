"""The verb that says what a good block costs, part by part."""

from __future__ import annotations

from typing import Annotated

import typer

from beadwright.cli.choices import AsJson, AsPicture
from beadwright.cli.ending import DONE
from beadwright.cli.session import of

__all__ = ["costs"]


def costs(  # noqa: PLR0913 - its options are typer's to call
    context: typer.Context,
    since: Annotated[str, typer.Option(help="First day, as 2026-09-01; else seven days.")] = "",
    until: Annotated[str, typer.Option(help="Last day, included; else today.")] = "",
    by: Annotated[
        str, typer.Option(metavar="WORD", help="product, press, day, grade, shift or 'bead bag'.")
    ] = "product",
    picture: AsPicture = None,
    json: AsJson = False,
) -> int:
    """Say what a good block costs: beads, overweight, ties, scrap by cause, the press.

    Beside it what one per cent of density and one point of scrap are worth. Prices are the plant's
    own: `price_per_kg` of a grade, `cost_per_h` of a press; where one is not set its part is
    unknown. --picture draws a good block's cost day by day.

    Example: beadwright --store plant.sqlite3 costs --by press --since 2026-09-01
    """
    from beadwright.cli import show_costs
    from beadwright.plant.costs import costs_asked

    plant = of(context).plant()
    found = costs_asked(plant, since, until, by)
    if picture is not None:
        show_costs.draw(plant, found, picture)
    show_costs.show(plant, found, json=json)
    return DONE
