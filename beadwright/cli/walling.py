"""The verb that asks where a product's courses end, and what heat its wall lets pass."""

from __future__ import annotations

from typing import Annotated

import typer

from beadwright.cli.choices import AsJson, InUnits, Units, Why
from beadwright.cli.ending import DONE
from beadwright.cli.session import of

__all__ = ["wall"]

_LOTS = "Lots that go into the wall; else the newest released ones that were gauged."
_Lots = Annotated[list[str] | None, typer.Argument(help=_LOTS)]
_Storey = Annotated[str, typer.Option(help="Height that the courses should end at, as '8 ft'.")]
_Courses = Annotated[str, typer.Option(help="Number of courses; else the nearest to the storey.")]
_Tolerance = Annotated[str, typer.Option(help="How far it may end off, as '0.25 in'.")]
_Joint = Annotated[str, typer.Option(help="What a joint between courses adds, as '0.2 mm'.")]
_Spread = Annotated[str, typer.Option(help="Spread of joints, as '0.1 mm'.")]


def wall(  # noqa: PLR0913 - one of them is the context
    context: typer.Context,
    product: Annotated[str, typer.Argument(help="A form product.")],
    lots: _Lots = None,
    storey: _Storey = "",
    courses: _Courses = "",
    tolerance: _Tolerance = "",
    joint: _Joint = "",
    joint_spread: _Spread = "",
    why: Why = False,
    units: InUnits = Units.SI,
    json: AsJson = False,
) -> int:
    """Work out where a wall's courses end by measured heights, and the wall's thermal resistance.

    Courses of one lot are wrong together; of several they cancel in part. A chance guides inside
    the plant, and goes on no paper that leaves it. The resistance is worked out, not tested.

    Example: beadwright --store plant.sqlite3 wall FB6S --storey '8 ft' --tolerance '0.25 in'
    """
    from beadwright.cli.show_wall import answer
    from beadwright.plant.wall import read_wall

    said = {
        "storey": storey, "courses": courses, "tolerance": tolerance, "joint": joint,
        "joint_spread": joint_spread,
    }  # fmt: skip
    asked = read_wall(product, lots or (), said).certain()
    answer(of(context).plant(), asked, why=why, units=units.system, json=json)
    return DONE
