"""The verb that charts what a plant records, and says what signals."""

from __future__ import annotations

from typing import Annotated

import typer

from beadwright.cli.choices import AsJson, AsPicture, InUnits, Units
from beadwright.cli.ending import DONE
from beadwright.cli.session import of
from beadwright.cli.together import not_with, only_with

__all__ = ["chart"]

_Key = Annotated[
    str, typer.Argument(metavar="[KEY]", help="Which series, as listed; else all are listed.")
]
_Kind = Annotated[
    str, typer.Option(metavar="WORD", help="Another chart than the data ask for, as individuals.")
]


_Only = Annotated[
    str, typer.Option("--of", metavar="NAME", help="Only those of a product, a machine or a lot.")
]


def chart(  # noqa: PLR0913 - its options are typer's to call
    context: typer.Context,
    key: _Key = "",
    kind: _Kind = "",
    picture: AsPicture = None,
    only: _Only = "",
    units: InUnits = Units.SI,
    json: AsJson = False,
) -> int:
    """Chart what the plant records, without set-up: what signals, since when, which lots.

    Cups of each pre-expander, dry foam density, dimensions and strengths by product, defective
    pieces by kind, scrap of each press by cause. A signal asks for a cause to be looked for; it
    judges and holds nothing. The exit status is 0, whatever is found.

    Example: beadwright --store plant.sqlite3 chart density_24h.FB6S
    """
    from beadwright.cli import show_charts

    only_with(context, "the name of a series", "units", given=bool(key))
    not_with(context, "the name of a series", "only", given=bool(key))
    plant = of(context).plant()
    if key:
        show_charts.one(plant, show_charts.Asked(key, kind, picture, units.system), json=json)
    else:
        show_charts.every(plant, kind, picture, only, json=json)
    return DONE
