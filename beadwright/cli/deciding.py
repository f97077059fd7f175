"""Verbs by which a person decides: hold, lift, concede, reverse. Each needs a reason and a name."""

from __future__ import annotations

from typing import Annotated

import typer

from beadwright.cli.ending import DONE
from beadwright.cli.session import of

__all__ = ["concede", "hold", "lift", "reverse"]

_Lots = Annotated[list[str], typer.Argument(metavar="LOT", help="Lots, by code or label.")]
_Reason = Annotated[str, typer.Option(metavar="TEXT", help="Why; it stays in the record.")]
_By = Annotated[
    str, typer.Option(metavar="WHO", envvar="BEADWRIGHT_BY", help="Initials or id of who decides.")
]
_Id = Annotated[str, typer.Option("--id", metavar="ID", help="What the hold is called.")]


def hold(context: typer.Context, lots: _Lots, reason: _Reason, by: _By, hold_id: _Id) -> int:
    """Put lots on hold, and with them everything made of them.

    A hold on a silo or hopper counts from its last swept empty; name it alone.

    Example: beadwright --store plant.sqlite3 hold B-0412 --id H-7 --reason notice --by EI
    """
    from beadwright.cli import decisions, show_decision

    show_decision.decided(decisions.hold(of(context), lots, hold_id, (reason, by)))
    return DONE


def lift(context: typer.Context, lots: _Lots, reason: _Reason, by: _By, hold_id: _Id) -> int:
    """Lift a hold for the lots named, and only for those.

    Example: beadwright --store plant.sqlite3 lift L1-001 --id H-7 --reason "tested" --by EI
    """
    from beadwright.cli import decisions, show_decision

    show_decision.decided(decisions.lift(of(context), lots, hold_id, (reason, by)))
    return DONE


def concede(
    context: typer.Context,
    cause: Annotated[str, typer.Argument(metavar="CAUSE", help="As `nonconformities` gives it.")],
    reason: _Reason,
    by: _By,
) -> int:
    """Give a concession: close the nonconformities of one cause, as they are known now.

    One that is found later opens the cause again.

    Example: beadwright --store plant.sqlite3 concede "too_old:S2" --reason "tested" --by EI
    """
    from beadwright.cli import decisions, show_decision

    show_decision.decided(decisions.concede(of(context), cause, (reason, by)))
    return DONE


def reverse(
    context: typer.Context,
    step: Annotated[str, typer.Argument(metavar="KEY", help="The step, as e.g. bundles/17.")],
    reason: _Reason,
    by: _By,
) -> int:
    """Undo a step whose outputs have not moved; both it and its undoing stay in the record.

    A step whose outputs have moved is corrected instead, by a row of the corrections sheet.

    Example: beadwright --store plant.sqlite3 reverse bundles/17 --reason "entered twice" --by EI
    """
    from beadwright.cli import decisions, show_decision

    show_decision.decided(decisions.reverse(of(context), step, (reason, by)))
    return DONE
