"""Verbs on what figures are worth: the chance that lots conform; strength against density."""

from __future__ import annotations

from typing import Annotated

import typer

from beadwright.cli.choices import AsJson, InUnits, Units
from beadwright.cli.ending import DONE
from beadwright.cli.session import of

__all__ = ["conformity", "strength"]


def conformity(
    context: typer.Context,
    product: Annotated[str, typer.Argument(metavar="PRODUCT", help="Its code.")],
    characteristic: Annotated[
        str, typer.Argument(metavar="NAME", help="What is limited, as `limits` lists it: density.")
    ],
    uncertainty: Annotated[
        str,
        typer.Option(
            "--uncertainty",
            metavar="U",
            help='As if each piece had been read with it: standard, "0.2 kg/m3" or "2 %".',
        ),
    ] = "",
    json: AsJson = False,
) -> int:
    """Say how probable it is that lots conform to their limits, and at what risk they are judged.

    Of the newest lots of a product, each by its own uncertainty; and, from the plant's own spread,
    how much conforms and is rejected, or does not and is accepted. With --uncertainty: what if each
    were as sure as that. A guide: it decides nothing.

    Example: beadwright --store plant.sqlite3 conformity FB6S density
    """
    from beadwright.cli import show_conformity

    plant = of(context).plant()
    show_conformity.show(plant, product, characteristic, uncertainty, json=json)
    return DONE


def strength(
    context: typer.Context,
    product: Annotated[str, typer.Argument(metavar="PRODUCT", help="Its code.")],
    characteristic: Annotated[
        str, typer.Argument(metavar="NAME", help="A strength that has limits.")
    ] = "compressive_resistance",
    units: InUnits = Units.SI,
    json: AsJson = False,
) -> int:
    """Say at what density a product's strength meets its limits, by the plant's own tests.

    The line through its lots, how far they scatter, and the least density at which nearly all
    reach the limit. Lots far off are flagged and kept. An estimate: it never stands for a test.

    Example: beadwright --store plant.sqlite3 strength FB6S
    """
    from beadwright.cli import show_conformity

    plant = of(context).plant()
    show_conformity.strength(plant, product, characteristic, units, json=json)
    return DONE
