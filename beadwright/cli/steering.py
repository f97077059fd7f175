"""The verb that says whether to leave a pre-expander or to change it, and by how much."""

from __future__ import annotations

from typing import Annotated

import typer

from beadwright.cli.choices import AsJson, InUnits, Units
from beadwright.cli.ending import DONE
from beadwright.cli.session import of

__all__ = ["steer"]


def steer(
    context: typer.Context,
    expander: Annotated[str, typer.Argument(help="A pre-expander, as the plant calls it.")],
    units: InUnits = Units.SI,
    json: AsJson = False,
) -> int:
    """Say of a pre-expander whether to leave it or to change it, by its own cups.

    Forecast and band, what the band costs, what the machine has shown of its drift and of what a
    change does. A person decides; nothing is set on a machine.

    Example: beadwright --store plant.sqlite3 steer E1
    """
    from beadwright.cli import show_steering
    from beadwright.plant.steering import steering_of

    plant = of(context).plant()
    show_steering.show(plant, steering_of(plant, expander), units=units.system, json=json)
    return DONE
