"""Verbs that decide: hold, lift, concede, reverse. Each is an entry of the record."""

from __future__ import annotations

from typing import Annotated

import typer

from beadwright.cli.choices import AsJson
from beadwright.cli.ending import DONE
from beadwright.cli.session import of

__all__ = ["concede", "hold", "holds", "lift", "reverse"]

_By = Annotated[
    str, typer.Option(metavar="WHO", envvar="BEADWRIGHT_BY", help="Initials or id of who decides.")
]
_Reason = Annotated[str, typer.Option(metavar="TEXT", help="Why; it is kept for ever.")]


def hold(
    context: typer.Context,
    lots: Annotated[
        list[str], typer.Argument(metavar="LOT", help="Lots or places, by code or label.")
    ],
    name: Annotated[str, typer.Option("--id", metavar="HOLD", help="What the hold is called.")],
    reason: _Reason,
    by: _By,
) -> int:
    """Put lots on hold; the hold flows to everything made of them.

    A hold on a place counts since it was last swept empty.

    Example: beadwright --store plant.sqlite3 hold S2 --id H-07 --reason "smell" --by EI
    """
    from beadwright.cli import decisions, show_decision

    show_decision.held(decisions.hold(of(context), lots, (name, reason, by)))
    return DONE


def holds(
    context: typer.Context,
    every: Annotated[
        bool, typer.Option("--all", help="List those that hold nothing any more too.")
    ] = False,
    json: AsJson = False,
) -> int:
    """List the holds that people placed: what each reaches, and what of it has been shipped.

    Example: beadwright --store plant.sqlite3 holds
    """
    from beadwright.cli import show_holds
    from beadwright.plant.held import holds_of

    plant = of(context).plant()
    show_holds.show(plant, holds_of(plant.no), every=every, json=json)
    return DONE


def lift(  # noqa: PLR0913 - one of them is the context
    context: typer.Context,
    name: Annotated[str, typer.Argument(metavar="HOLD", help="What the hold is called.")],
    reason: _Reason,
    by: _By,
    lots: Annotated[
        list[str] | None,
        typer.Argument(metavar="LOT", help="Lots to clear, and only those."),
    ] = None,
    everything: Annotated[
        bool, typer.Option("--all", help="Clear every lot that the hold reaches now.")
    ] = False,
) -> int:
    """Lift a hold from lots. What was made of a lot before keeps the hold unless it is named too.

    A lift clears the lots it names and no other: where a correction later says that a lot has
    another code, or was made of what is still on hold, that lot is held until it is lifted too.

    Example: beadwright --store plant.sqlite3 lift H-07 --all --reason "tested" --by EI
    """
    from beadwright.cli import decisions, show_decision

    done = decisions.lift(of(context), (name, reason, by), lots or [], everything=everything)
    show_decision.lifted(done)
    return DONE


def concede(
    context: typer.Context,
    cause: Annotated[
        str, typer.Argument(metavar="CAUSE", help="As `nonconformities` lists it: too_fresh:S8.")
    ],
    reason: _Reason,
    by: _By,
) -> int:
    """Give a concession: close every nonconformity that shares a cause, as they stand now.

    One that comes later, or changes by a correction, opens the cause again.

    Example: beadwright --store plant.sqlite3 concede too_fresh:S8 --reason "tested" --by EI
    """
    from beadwright.cli import decisions, show_decision

    show_decision.conceded(decisions.concede(of(context), cause, reason, by))
    return DONE


def reverse(
    context: typer.Context,
    step: Annotated[
        str, typer.Argument(metavar="KEY", help="The step's key, such as mould_runs/17.")
    ],
    reason: _Reason,
    by: _By,
) -> int:
    """Undo a step whose outputs have not been used. One that has been used is corrected instead.

    A correction is a row of the corrections sheet: sheet, row, field, value, reason.

    Example: beadwright --store plant.sqlite3 reverse bundles/40 --reason "twice" --by EI
    """
    from beadwright.cli import decisions, show_decision

    show_decision.reversed_(decisions.reverse(of(context), step, reason, by))
    return DONE
