"""The verbs about what an instrument read: while it may have been wrong, and one by one."""

from __future__ import annotations

from typing import Annotated

import typer

from beadwright.cli.choices import AsJson, InUnits, Units
from beadwright.cli.ending import DONE, REFUSED
from beadwright.cli.session import of

__all__ = ["look_back", "readings"]


def look_back(
    context: typer.Context,
    instrument: Annotated[
        str, typer.Argument(metavar="INSTRUMENT", help="As `instruments` lists it.")
    ],
    done: Annotated[
        str,
        typer.Option(
            metavar="DATE", help="Day of the calibration that found it; else the newest that did."
        ),
    ] = "",
    error: Annotated[
        str,
        typer.Option(
            metavar="ERROR",
            help='What if it was off by so much, what it says less the truth: "+2 g", "-0.4 %".',
        ),
    ] = "",
    json: AsJson = False,
) -> int:
    """Look back on an instrument found wrong: which lots would not have passed without its error.

    From a calibration that failed, or states an error as found, back to the last one passed: every
    reading it took, and every block lot judged by them, as read and without the error; who released
    them, and where they are. The exit status is 1 where a lot stands worse or cannot be judged.

    Example: beadwright --store plant.sqlite3 look-back BAL-2 --error "+12 g"
    """
    from beadwright.cli import show_look_back

    plant = of(context).plant()
    back = show_look_back.asked(plant, instrument, done, error)
    show_look_back.show(plant, back, json=json)
    return REFUSED if back.to_hold else DONE


def readings(
    context: typer.Context,
    instrument: Annotated[
        str, typer.Argument(metavar="INSTRUMENT", help="As `instruments` lists it.")
    ],
    since: Annotated[
        str,
        typer.Option(
            metavar="DATE", help="From this day; else from the calibration that found it right."
        ),
    ] = "",
    units: InUnits = Units.SI,
    json: AsJson = False,
) -> int:
    """List what an instrument read, one by one, since the last calibration that found it right.

    The newest first: when, the entry, of which lot, what, the value, and who; what was voided since
    is listed too, and says so. As JSON each value stands as keyed and in SI.

    Example: beadwright --store plant.sqlite3 readings BAL-Q1 --since 2025-09-24
    """
    from beadwright.cli import show_look_back

    plant = of(context).plant()
    found = show_look_back.readings_asked(plant, instrument, since)
    show_look_back.show_readings(plant, found, units.system, json=json)
    return DONE
