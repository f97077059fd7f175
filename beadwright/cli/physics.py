"""Verbs that put the physics to work: what a product's set-up asks for."""

from __future__ import annotations

from typing import Annotated

import typer

from beadwright.cli.choices import AsJson, InUnits, Units, Why
from beadwright.cli.ending import DONE
from beadwright.cli.session import of

__all__ = ["set_up"]


def set_up(  # noqa: PLR0913 - its options are typer's to call
    context: typer.Context,
    product: Annotated[str, typer.Argument(help="A product, as the plant calls it.")],
    grade: Annotated[str, typer.Option(help="Bead grade; else the first that is approved.")] = "",
    expander: Annotated[str, typer.Option(help="Pre-expander; else the first that feeds.")] = "",
    mould: Annotated[str, typer.Option(help="Mould; else the one that was used last.")] = "",
    why: Why = False,
    units: InUnits = Units.SI,
    json: AsJson = False,
) -> int:
    """Work out a product's set-up sheet: density, beads, charge, ageing, steam, foam, resin.

    Every number says whether it is exact, an estimate with its band, or not known and why. It
    advises: nothing is held, released or set by it.

    Example: beadwright --store plant.sqlite3 set-up FB6S --units us
    """
    from beadwright.cli import show_set_up
    from beadwright.plant.moment import moment
    from beadwright.plant.set_up import Choice
    from beadwright.plant.set_up import set_up as of_product

    plant = of(context).plant()
    choice = Choice(product, grade, expander, mould)
    found = of_product(plant.no, choice, moment(plant))
    show_set_up.show(plant, found, why=why, units=units.system, json=json)
    return DONE
