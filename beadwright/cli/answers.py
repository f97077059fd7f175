"""Verbs that ask about the plant as it stands: its stock, and what did not conform."""

from __future__ import annotations

from typing import Annotated

import typer

from beadwright.cli.choices import AsJson, Units
from beadwright.cli.ending import DONE
from beadwright.cli.session import of
from beadwright.cli.together import not_with

__all__ = ["nonconformities", "stock"]


def stock(
    context: typer.Context,
    each: Annotated[
        bool, typer.Option("--lots", help="A line for each lot, not for each kind and place.")
    ] = False,
    units: Annotated[
        Units, typer.Option(envvar="BEADWRIGHT_UNITS", help="Masses in kg (si) or lb (us).")
    ] = Units.SI,
    json: AsJson = False,
) -> int:
    """Say where everything is by the books: silos and hoppers with grades and ages, then lots.

    Example: beadwright --store plant.sqlite3 stock --lots
    """
    from beadwright.cli import show_stock, stocking

    plant = of(context).plant()
    show_stock.show(plant, stocking.stock(plant.no), each=each, units=units.system, json=json)
    return DONE


def nonconformities(
    context: typer.Context,
    closed: Annotated[
        bool, typer.Option("--closed", help="List those that a concession closed too.")
    ] = False,
    by_station: Annotated[
        bool, typer.Option("--by-station", help="Count them by station, code and week.")
    ] = False,
    json: AsJson = False,
) -> int:
    """List what was forbidden and happened, by cause; the cause is what `concede` takes.

    Each says in which nonconformity file it is, or that it is not yet in one.

    Example: beadwright --store plant.sqlite3 nonconformities
    """
    from beadwright.cli import show_causes, show_nonconformities
    from beadwright.plant import caused

    not_with(context, "--by-station", "closed", given=by_station)
    plant = of(context).plant()
    if by_station:
        show_nonconformities.by_station(plant, json=json)
        return DONE
    show_causes.show(plant, caused.by_cause(plant.no), closed=closed, json=json)
    return DONE
