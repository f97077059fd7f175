"""Verbs about what may leave the plant: assess lots, and release one."""

from __future__ import annotations

from typing import Annotated

import typer

from beadwright.cli.choices import AsJson, Units
from beadwright.cli.ending import DONE, REFUSED
from beadwright.cli.session import of

__all__ = ["assess", "release"]


def assess(
    context: typer.Context,
    asked: Annotated[
        list[str] | None,
        typer.Argument(metavar="LOT", help="Block lots, bundles or shipments; all lots if none."),
    ] = None,
    units: Annotated[
        Units | None,
        typer.Option(
            envvar="BEADWRIGHT_UNITS", help="Show limits in si or us units too; else as written."
        ),
    ] = None,
    json: AsJson = False,
) -> int:
    """Say which block lots may ship, which may not, and why; of a LOT, everything.

    Without a LOT the answer is short: lots that share a reason stand together. Where the plant's
    rule asks for a release, a lot that has none may ship once it is released, and not before. The
    exit status is 0 where all may ship now, 1 where not, or where there are no lots.

    Example: beadwright --store plant.sqlite3 assess L2-008
    """
    from beadwright.cli import asking, show_lot, show_summary

    found = asking.assessed(of(context), asked or [])
    if json:
        asking.write(found)
    elif asked:
        show_lot.show(found, units=units)
    else:
        show_summary.show(found)
    return DONE if found.all_may_leave else REFUSED


def release(
    context: typer.Context,
    lot: Annotated[str, typer.Argument(metavar="LOT", help="A block lot's code, or its label.")],
    by: Annotated[
        str,
        typer.Option(metavar="WHO", envvar="BEADWRIGHT_BY", help="Initials or id of who decides."),
    ],
    note: Annotated[str, typer.Option(metavar="TEXT", help="A note kept with the release.")] = "",
) -> int:
    """Release a block lot: approve what `assess` says of it now, by the hash of its evidence.

    Refused where `assess` does not say that it may ship. Where the grounds change later, the
    release is suspended.

    Example: beadwright --store plant.sqlite3 release L1-001 --by EI
    """
    from beadwright.cli import approving, show_decision

    show_decision.released(approving.released(of(context), lot, by, note))
    return DONE
