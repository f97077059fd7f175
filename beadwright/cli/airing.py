"""The verb that asks what beads and blocks give off, and what the air of a room does with it."""

from __future__ import annotations

from typing import Annotated

import typer

from beadwright.cli.choices import AsJson, InUnits, Units, Why
from beadwright.cli.ending import DONE
from beadwright.cli.session import of

__all__ = ["air"]


def air(  # noqa: PLR0913 - one of them is the context
    context: typer.Context,
    room: Annotated[str, typer.Argument(help="A room, as the plant calls it; else all.")] = "",
    ahead: Annotated[int, typer.Option(min=1, max=72, help="Hours to look ahead.")] = 24,
    why: Why = False,
    units: InUnits = Units.SI,
    json: AsJson = False,
) -> int:
    """Work out what silos and fresh blocks give off hour by hour, against each room's air.

    Calculated, not measured: not a gas test, not permission to enter or do hot work. A room of
    which anything is missing is unknown. Then the blocks that are younger than the plant's gates.

    Example: beadwright --store plant.sqlite3 air SILO-HALL
    """
    from beadwright.cli import show_air

    plant = of(context).plant()
    screen = show_air.asked(plant, room, ahead)
    show_air.show(plant, screen, why=why, units=units.system, json=json)
    return DONE
