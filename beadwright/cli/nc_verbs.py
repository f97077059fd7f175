"""Verbs of the nonconformity file: open, note, dispose, cause, action, check, close, and show."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from beadwright.cli.choices import AsJson
from beadwright.cli.ending import DONE
from beadwright.cli.session import of
from beadwright.cli.together import only_with

__all__ = [
    "nc_action",
    "nc_cause",
    "nc_check",
    "nc_close",
    "nc_dispose",
    "nc_note",
    "nc_open",
    "nonconformity",
]

_By = Annotated[
    str, typer.Option(metavar="WHO", envvar="BEADWRIGHT_BY", help="Initials or id of who says so.")
]
_Number = Annotated[str, typer.Argument(metavar="NUMBER", help="Number of the file: NC-0001.")]
_Text = Annotated[str, typer.Argument(metavar="TEXT", help="In words; it is kept for ever.")]
_Causes = Annotated[
    list[str] | None,
    typer.Option(
        "--cause", metavar="CAUSE", help="A cause, as `nonconformities` lists it. Repeatable."
    ),
]
_Lots = Annotated[
    list[str] | None,
    typer.Option(
        "--lot",
        metavar="LOT[=QUANTITY]",
        help="A lot and how much of it: L1-041=19, or RG-07=41.2 kg; else all of it. Repeatable.",
    ),
]
_Files = Annotated[
    list[Path] | None,
    typer.Option("--file", metavar="FILE", help="A photograph or letter to keep. Repeatable."),
]
_Hold = Annotated[
    bool, typer.Option("--hold", help="Put the lots on hold, under the number of the file.")
]


def nonconformity(
    context: typer.Context,
    number: Annotated[
        str, typer.Argument(metavar="NUMBER", help="Number of a file; all files if none.")
    ] = "",
    json: AsJson = False,
) -> int:
    """Show a nonconformity file: what, how much, where it is, decided, done, left to do.

    Without a number, list the files and the open nonconformities that are in none.

    Example: beadwright --store plant.sqlite3 nonconformity NC-0001
    """
    from beadwright.cli import show_nonconformities

    plant = of(context).plant()
    if number:
        show_nonconformities.one(plant, number, json=json)
    else:
        show_nonconformities.every(plant, json=json)
    return DONE


def nc_open(  # noqa: PLR0913 - a file has many parts
    context: typer.Context,
    title: Annotated[str, typer.Argument(metavar="TITLE", help="What it is, in a few words.")],
    by: _By,
    causes: _Causes = None,
    lots: _Lots = None,
    files: _Files = None,
    held: _Hold = False,
    receiver: Annotated[
        str, typer.Option(metavar="NAME", help="Of a complaint: who complains.")
    ] = "",
    shipment: Annotated[
        str, typer.Option(metavar="LOT", help="Of a complaint: the shipment, bundle or lot.")
    ] = "",
    received: Annotated[
        str, typer.Option(metavar="DATE", help="Of a complaint: the day it came; today if none.")
    ] = "",
    complaint: Annotated[
        str, typer.Option(metavar="TEXT", help="Of a complaint: its words; else the title.")
    ] = "",
    another: Annotated[
        bool,
        typer.Option("--another", help="It is not the complaint that stands in a file already."),
    ] = False,
    keep: Annotated[
        bool, typer.Option("--keep", help="The day of the complaint stands, though it is long ago.")
    ] = False,
    number: Annotated[
        str, typer.Option(metavar="NUMBER", help="A number of your own; else the next.")
    ] = "",
) -> int:
    """Open a nonconformity file on causes, a complaint, photographs, or what somebody found.

    Without --lot it is about everything that the causes reach, or all of what was complained of.

    Example: beadwright --store plant.sqlite3 nc-open "too fresh" --cause too_fresh:S1 --by EI
    """
    from beadwright.cli import nc_work, show_nonconformities

    only_with(context, "--receiver", "another", "keep", given=bool(receiver))
    wanted = nc_work.Wanted(
        title, by, causes or (), lots or (), files or (), held,
        receiver, shipment, received, complaint, another, keep,
    )  # fmt: skip
    show_nonconformities.done(nc_work.opened(of(context), wanted, number), "opened")
    return DONE


def nc_note(  # noqa: PLR0913 - one of them is the context
    context: typer.Context,
    number: _Number,
    text: _Text,
    by: _By,
    causes: _Causes = None,
    lots: _Lots = None,
    files: _Files = None,
    held: _Hold = False,
) -> int:
    """Add to a nonconformity file: words, photographs, more causes, a larger quantity.

    Example: beadwright --store plant.sqlite3 nc-note NC-0001 "four more" --lot L1-041=4 --by KR
    """
    from beadwright.cli import nc_work, show_nonconformities

    wanted = nc_work.Wanted(text, by, causes or (), lots or (), files or (), held)
    show_nonconformities.done(nc_work.noted(of(context), number, wanted), "noted")
    return DONE


def nc_dispose(  # noqa: PLR0913 - one of them is the context
    context: typer.Context,
    number: _Number,
    how: Annotated[
        str,
        typer.Option("--as", metavar="HOW", help="concession, rework, downgrade, scrap or sort."),
    ],
    reason: Annotated[str, typer.Option(metavar="TEXT", help="Why; it is kept for ever.")],
    by: _By,
    lots: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="LOT[=QUANTITY]", help="Which, and how much; else all that is left."
        ),
    ] = None,
    conforming: Annotated[
        str, typer.Option(metavar="QUANTITY", help="Of what was sorted: how much conforms.")
    ] = "",
) -> int:
    """Decide what is done with a nonconforming quantity.

    Use by concession closes the causes of the file too. Lots that nobody has decided on, or that
    are not for use, go on hold in the same moment; `lift` clears them later.

    Example: beadwright --store plant.sqlite3 nc-dispose NC-0001 L1-041=19 --as scrap --reason "…"
    """
    from beadwright.cli import nc_work, show_nonconformities
    from beadwright.plant.nc_acts import Disposal

    said = Disposal(how, (), reason, by)
    done = nc_work.disposed(of(context), number, lots or (), said, conforming)
    show_nonconformities.done(done, "decided")
    return DONE


def nc_cause(context: typer.Context, number: _Number, text: _Text, by: _By) -> int:
    """State why it happened; stated again, the newest counts.

    Example: beadwright --store plant.sqlite3 nc-cause NC-0001 "no clock on the silo" --by EI
    """
    from beadwright.cli import nc_work, show_nonconformities

    show_nonconformities.done(nc_work.said(of(context), "cause", number, text, by), "cause stated")
    return DONE


def nc_action(  # noqa: PLR0913 - one of them is the context
    context: typer.Context,
    number: _Number,
    text: _Text,
    who: Annotated[str, typer.Option(metavar="WHO", help="Who does it: initials or id.")],
    due: Annotated[str, typer.Option(metavar="DATE", help="By when: 2026-10-01.")],
    by: _By,
    replaces: Annotated[
        int, typer.Option(metavar="ACTION", help="The action that did not work, if one did not.")
    ] = 0,
    keep: Annotated[
        bool, typer.Option("--keep", help="The day stands, though it is past or far ahead.")
    ] = False,
) -> int:
    """State a corrective action: what, by whom, by when.

    Example: beadwright --store plant.sqlite3 nc-action NC-0001 "a clock" --who KR --due 2026-10-01
    """
    from beadwright.cli import nc_work, show_nonconformities

    done = nc_work.acted(of(context), number, (text, who, due, by), replaces, keep=keep)
    show_nonconformities.done(done, f"action {done.answer.file.actions[-1].number} stated")
    return DONE


def nc_check(  # noqa: PLR0913 - one of them is the context
    context: typer.Context,
    number: _Number,
    action: Annotated[int, typer.Argument(metavar="ACTION", help="Number of the action.")],
    text: _Text,
    by: _By,
    worked: Annotated[
        bool, typer.Option("--worked/--did-not-work", help="Whether the action worked.")
    ],
    files: _Files = None,
) -> int:
    """State whether an action worked, and how that was found.

    Example: beadwright --store plant.sqlite3 nc-check NC-0001 1 "20 fills" --worked --by EI
    """
    from beadwright.cli import nc_work, show_nonconformities

    wanted = nc_work.Wanted(text, by, files=files or ())
    done = nc_work.checked(of(context), number, action, wanted, worked=worked)
    show_nonconformities.done(done, f"action {action} checked")
    return DONE


def nc_close(context: typer.Context, number: _Number, text: _Text, by: _By) -> int:
    """Close a nonconformity file. Refused, with what is missing, while something is left to do.

    Example: beadwright --store plant.sqlite3 nc-close NC-0001 "no more since" --by EI
    """
    from beadwright.cli import nc_work, show_nonconformities

    show_nonconformities.done(nc_work.said(of(context), "close", number, text, by), "closed")
    return DONE
