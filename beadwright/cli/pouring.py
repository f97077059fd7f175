"""The verb that asks what rate and lift the measured strength of a product's lots supports."""

from __future__ import annotations

from typing import Annotated

import typer

from beadwright.cli.choices import AsJson, InUnits, Units, Why
from beadwright.cli.ending import DONE
from beadwright.cli.session import of

__all__ = ["pour"]

_LOTS = "Lots that go into the wall; else the newest that were tested."
_Lots = Annotated[list[str] | None, typer.Argument(help=_LOTS)]
_Height = Annotated[str, typer.Option(help="Fresh concrete that has not set, as '9 ft'.")]
_Rate = Annotated[
    str, typer.Option(help="Rate of rise that the installation manual allows, as '4 ft/h'.")
]
_Factor = Annotated[str, typer.Option(help="Safety factor, as 2.")]
_Density = Annotated[str, typer.Option(help="Of the fresh concrete, as '150 lb/ft3'.")]
_Slump = Annotated[str, typer.Option(help="After all admixtures, as '6 in'.")]
_Warmth = Annotated[str, typer.Option(help="Of the concrete, as '70 °F'.")]
_Vibration = Annotated[str, typer.Option(help="How deep a vibrator goes, as '3 ft'.")]
_Binder = Annotated[
    str,
    typer.Option(
        metavar="WORD",
        help="plain (Types I to III), blended, or high: 70 % slag or 40 % fly ash and more.",
    ),
]
_Retarder = Annotated[
    str, typer.Option(metavar="WORD", help="yes or no: whether anything delays its set.")
]
_Unbroken = Annotated[
    str, typer.Option(metavar="WORD", help="yes or no: whether panels run over three spans.")
]
_Placed = Annotated[str, typer.Option(metavar="WORD", help="top, or base: pumped in at the base.")]
_Scc = Annotated[bool, typer.Option("--self-consolidating", help="The mix consolidates by itself.")]


def pour(  # noqa: PLR0913 - its options are typer's to call
    context: typer.Context,
    product: Annotated[str, typer.Argument(help="A form product, as the plant calls it.")],
    lots: _Lots = None,
    height: _Height = "",
    rate: _Rate = "",
    factor: _Factor = "",
    density: _Density = "",
    slump: _Slump = "",
    temperature: _Warmth = "",
    vibration: _Vibration = "",
    binder: _Binder = "",
    retarder: _Retarder = "",
    unbroken: _Unbroken = "",
    placed: _Placed = "",
    self_consolidating: _Scc = False,
    why: Why = False,
    units: InUnits = Units.SI,
    json: AsJson = False,
) -> int:
    """Say what rate of rise and what lift the measured flexural strength of lots supports.

    May only lower the installation manual's rate, never raise it. Not form design: an aid to a
    talk with the engineer of record. What nobody says of the concrete is taken at its worst.

    Example: beadwright --store plant.sqlite3 pour FB6S --height '9 ft' --rate '4 ft/h' --factor 2
    """
    from beadwright.cli.show_pour import answer
    from beadwright.plant.pour import read_pour

    said = {
        "height": height, "rate": rate, "factor": factor, "density": density, "slump": slump,
        "temperature": temperature, "vibration": vibration, "binder": binder,
        "retarder": retarder, "unbroken": unbroken, "placed": placed,
        "self_consolidating": "yes" if self_consolidating else "",
    }  # fmt: skip
    asked = read_pour(product, lots or (), said).certain()
    answer(of(context).plant(), asked, why=why, units=units.system, json=json)
    return DONE
