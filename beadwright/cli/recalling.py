"""Verbs of a recall: its scope, its stages as they are carried out, its papers."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Annotated

import typer

from beadwright.cli.choices import AsJson
from beadwright.cli.ending import DONE
from beadwright.cli.session import of
from beadwright.cli.together import not_with, only_with

__all__ = ["recall", "recall_stage", "recalls"]

_Lots = Annotated[
    list[str] | None,
    typer.Argument(metavar="[LOT...]", help="What it starts from, by code or label."),
]
_Below = Annotated[
    str, typer.Option(metavar="PERCENT", help="Leave out lots that can hold at most so much.")
]
_Tested = Annotated[
    str, typer.Option(metavar="NAME", help="Leave out lots whose readings of it meet its limits.")
]
_Papers = Annotated[
    Path | None, typer.Option(metavar="FOLDER", help="Write letters and workbooks into it.")
]


def recall(  # noqa: PLR0913 - its options are typer's to call
    context: typer.Context,
    lots: _Lots = None,
    sources: Annotated[
        bool, typer.Option("--sources", help="Start from the bags and cartons these were made of.")
    ] = False,
    press: Annotated[str, typer.Option(help="What a press made, with --since and --until.")] = "",
    instrument: Annotated[str, typer.Option(help="What an instrument read, likewise.")] = "",
    since: Annotated[str, typer.Option(help="First day, as 2026-09-01.")] = "",
    until: Annotated[str, typer.Option(help="Last day, included.")] = "",
    below: _Below = "",
    tested: _Tested = "",
    of_: Annotated[str, typer.Option("--of", metavar="NAME", help="Of a recall on record.")] = "",
    record: Annotated[
        str, typer.Option(metavar="REASON", help="Record that a recall of it is started.")
    ] = "",
    rehearse: Annotated[bool, typer.Option("--rehearse", help="It is a rehearsal.")] = False,
    by: Annotated[str, typer.Option(metavar="WHO", help="Initials, to record.")] = "",
    papers: _Papers = None,
    json: AsJson = False,
) -> int:
    """Say every lot that may hold what is wrong, where it is now, and whom to tell.

    Starts from lots, from what a press made in a time, from what an instrument read, or from the
    bags and cartons of a block that somebody complained about. Holds nothing by itself: `hold`
    does. --below and --tested narrow it, and say what that assumes. With --record a recall is
    started, and its stages are timed: see `recall-stage`.

    Example: beadwright --store plant.sqlite3 recall F2-D1-03 --papers recall-papers
    """
    from beadwright.cli import recall_work as work
    from beadwright.cli import show_recall as shown

    only_with(context, "--record", "rehearse", "by", given=bool(record))
    not_with(context, "--record", "papers", "json", given=bool(record))
    session = of(context)
    plant = session.plant()
    begin = work.begin(plant, (lots or [], press, instrument), (since, until), sources=sources)
    about = work.started(plant, begin, (below, tested), of_)
    if record:
        about = replace(about, reason=record, rehearsed=rehearse)
        shown.recorded(work.start(session, plant, about, by))
    else:
        shown.answer(plant, about, papers, json=json)
    return DONE


def recall_stage(
    context: typer.Context,
    name: Annotated[str, typer.Argument(metavar="NAME", help="The recall, as `recalls` lists it.")],
    stage: Annotated[
        str,
        typer.Argument(
            metavar="STAGE",
            help="'scope known', 'stock held', 'receivers ready' or 'account closed'.",
        ),
    ],
    by: Annotated[str, typer.Option(metavar="WHO", help="Initials.")],
) -> int:
    """Record that the next stage of a recall or a rehearsal was done, now.

    Of a recall that is no rehearsal, 'stock held' is refused while any of its scope in the plant is
    on no hold: `hold` what it starts from first.

    Example: beadwright --store plant.sqlite3 recall-stage R-01 'scope known' --by EI
    """
    from beadwright.cli import recall_work as work
    from beadwright.cli import show_recall as shown

    session = of(context)
    shown.recorded(work.stage(session, session.plant(), (name, stage), by))
    return DONE


def recalls(context: typer.Context, json: AsJson = False) -> int:
    """List recalls and rehearsals with the minutes that each stage took.

    Example: beadwright --store plant.sqlite3 recalls
    """
    from beadwright.cli import show_recall as shown

    shown.every(of(context).plant(), json=json)
    return DONE
