"""Verbs that follow evidence to its source: one entry of the record, all that was said of a lot."""

from __future__ import annotations

from typing import Annotated

import typer

from beadwright.cli.choices import Units
from beadwright.cli.ending import DONE
from beadwright.cli.session import of

__all__ = ["entry", "history"]

_Units = Annotated[
    Units, typer.Option(envvar="BEADWRIGHT_UNITS", help="Masses in kg (si) or lb (us).")
]
_Json = Annotated[bool, typer.Option("--json", help="Answer as JSON.")]


def entry(
    context: typer.Context,
    what: Annotated[
        str, typer.Argument(metavar="ENTRY", help="An entry's number, or its client key.")
    ],
    units: _Units = Units.SI,
    json: _Json = False,
) -> int:
    """Show one entry of the record: what it says, who keyed it, where it came from, its hash.

    Of a correction, of a step or of readings: field by field what was before and after. It also
    says which later entries restated, reversed or voided it. A client key is what
    `nonconformities` calls a step; corrections/60 is the correction of that number.

    Example: beadwright --store plant.sqlite3 entry mould_runs/17
    """
    from beadwright.cli import show_entry
    from beadwright.plant import history as plant_history

    plant = of(context).plant()
    found = plant_history.entry(plant, what)
    show_entry.show(plant, found, units=units.system, json=json)
    return DONE


def history(
    context: typer.Context,
    lot: Annotated[
        str, typer.Argument(metavar="LOT", help="A lot's code or label; code:B-1 is no label.")
    ],
    units: _Units = Units.SI,
    json: _Json = False,
) -> int:
    """Tell everything that was ever said about a lot, in the order in which it happened.

    Every line has the number of its entry, which `entry` shows whole. Both versions of what was
    corrected stay, and so do readings that were voided; holds and concessions that reach the lot,
    reports that cover it and nonconformity files it is in are there too.

    Example: beadwright --store plant.sqlite3 history L1-001
    """
    from beadwright.cli import show_history
    from beadwright.plant import history as plant_history
    from beadwright.plant.lot_named import one_lot

    plant = of(context).plant()
    found = plant_history.history(plant, one_lot(plant, lot).code)
    show_history.show(plant, found, units=units.system, json=json)
    return DONE
