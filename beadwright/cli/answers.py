"""Verbs that ask about the whole plant: what stands where, and what did not conform."""

from __future__ import annotations

from typing import Annotated

import typer

from beadwright.cli.choices import Units
from beadwright.cli.ending import DONE
from beadwright.cli.session import of

__all__ = ["nonconformities", "stock"]


def stock(
    context: typer.Context,
    units: Annotated[
        Units, typer.Option(envvar="BEADWRIGHT_UNITS", help="Masses in kg or in lb.")
    ] = Units.SI,
    json: Annotated[bool, typer.Option("--json", help="Answer as JSON.")] = False,
) -> int:
    """Say what is in the plant by the books: every lot with stock, silos with grades and ages.

    Example: beadwright --store plant.sqlite3 stock
    """
    from beadwright.cli import show_stock

    show_stock.show(of(context).plant(), units=units.system, json=json)
    return DONE


def nonconformities(
    context: typer.Context,
    everything: Annotated[
        bool, typer.Option("--all", help="Those that a concession has closed as well.")
    ] = False,
    json: Annotated[bool, typer.Option("--json", help="Answer as JSON.")] = False,
) -> int:
    """List nonconformities and holds, those with one cause together.

    The cause is what `concede` takes; a hold is named by the id that `lift` takes.

    Example: beadwright --store plant.sqlite3 nonconformities
    """
    from beadwright.cli import show_nonconformities

    show_nonconformities.show(of(context).plant(), everything=everything, json=json)
    return DONE
