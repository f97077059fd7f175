"""The verb that asks how far the beads of each silo have aged, signed and by estimate."""

from __future__ import annotations

from typing import Annotated

import typer

from beadwright.cli.choices import AsJson, InUnits, Units, Why
from beadwright.cli.ending import DONE
from beadwright.cli.session import of

__all__ = ["ageing"]


def ageing(
    context: typer.Context,
    silo: Annotated[str, typer.Argument(help="A silo, as the plant calls it; else all.")] = "",
    why: Why = False,
    units: InUnits = Units.SI,
    json: AsJson = False,
) -> int:
    """Say of each silo's beads how old they are, which hours are signed, and what is estimated.

    The signed hours decide. The estimate has its band, says what it rests on and which hours it
    would propose to an engineer to sign; where an input is missing it is unknown.

    Example: beadwright --store plant.sqlite3 ageing S3 --why
    """
    from beadwright.cli import show_ageing

    plant = of(context).plant()
    show_ageing.show(plant, show_ageing.asked(plant, silo), why=why, units=units.system, json=json)
    return DONE
