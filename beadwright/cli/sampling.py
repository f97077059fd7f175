"""The verb that says how many pieces of a lot to inspect, which ones, and what that protects."""

from __future__ import annotations

from typing import Annotated

import typer

from beadwright.cli.choices import AsJson, AsPicture
from beadwright.cli.ending import DONE
from beadwright.cli.together import only_with

__all__ = ["inspection_plan"]

_Lot = Annotated[int, typer.Argument(metavar="LOT", min=2, help="Pieces in the lot.")]
_Aql = Annotated[
    str, typer.Option(metavar="PERCENT", help="Published plan of this AQL: 0.065 to 10.")
]
_Level = Annotated[str, typer.Option(help="Inspection level: S-1 to S-4, I, II or III.")]
_Severity = Annotated[str, typer.Option(help="normal, tightened or reduced.")]
_Good = Annotated[
    str, typer.Option(metavar="'1 %'", help="Share of bad pieces that should pass 95 in 100 times.")
]
_Bad = Annotated[
    str, typer.Option(metavar="'6 %'", help="Share that should pass at most 10 in 100 times.")
]
_Double = Annotated[
    bool, typer.Option("--double", help="In two samples: fewer pieces of good lots.")
]
_Pieces = Annotated[
    str, typer.Option(metavar="FIRST..LAST", help="Draw which of these numbers to inspect.")
]
_Seed = Annotated[
    str, typer.Option(metavar="TEXT", help="What the draw is made from, such as the lot's code.")
]


def inspection_plan(  # noqa: PLR0913 - its options are typer's to call
    context: typer.Context,
    lot: _Lot,
    aql: _Aql = "",
    level: _Level = "II",
    severity: _Severity = "normal",
    good: _Good = "",
    bad: _Bad = "",
    double: _Double = False,
    pieces: _Pieces = "",
    seed: _Seed = "",
    picture: AsPicture = None,
    json: AsJson = False,
) -> int:
    """Say how many pieces of a lot to inspect, which ones, and what that protects against.

    By a published plan (--aql), or by the share of bad pieces that should pass and the share that
    should not (--good, --bad). Needs no store. Keep the seed with the result: it draws the same
    pieces again.

    Example: beadwright inspection-plan 270 --good '1 %' --bad '6 %' --pieces 1..270 --seed L1-001
    """
    from beadwright.cli import show_sampling as shown

    only_with(context, "--aql", "level", "severity", given=bool(aql))
    shares, table = (good, bad), (aql, level, severity)
    planned = shown.planned(lot, table, shares, double=double)
    drawn = shown.drawn(planned, pieces, seed)
    if picture is not None:
        shown.draw(planned, picture)
    shown.show(planned, drawn, json=json)
    return DONE
