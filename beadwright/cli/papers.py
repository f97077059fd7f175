"""Verbs about papers: issue a certificate, check one, make the visit file."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from beadwright.cli.ending import DONE, REFUSED
from beadwright.cli.session import of
from beadwright.cli.together import not_with

__all__ = ["certificate", "check_certificate", "visit"]

_Json = Annotated[bool, typer.Option("--json", help="Answer as JSON.")]
_To = Annotated[Path, typer.Option(metavar="FILE", help="The PDF to write; it must not exist.")]
_Size = Annotated[
    str, typer.Option("--paper", metavar="SIZE", help="Size of the paper: a4 or us-letter.")
]


def certificate(  # noqa: PLR0913 - one of them is the context
    context: typer.Context,
    lot: Annotated[str, typer.Argument(metavar="LOT", help="A block lot's code, or its label.")],
    to: _To,
    by: Annotated[
        str,
        typer.Option(metavar="WHO", envvar="BEADWRIGHT_BY", help="Initials or id of who issues."),
    ] = "",
    again: Annotated[
        str,
        typer.Option(metavar="NUMBER", help="Write that certificate of the lot anew; issue none."),
    ] = "",
    paper: _Size = "a4",
    json: _Json = False,
) -> int:
    """Issue the certificate of a released block lot, as a PDF and as an entry of the record.

    Refused where no release of the lot stands. The same file can be written again at any time with
    --again, byte for byte.

    Example: beadwright --store plant.sqlite3 certificate L1-001 --by EI --to L1-001.pdf
    """
    from beadwright.cli import handing, show_papers

    not_with(context, "--again", "by", "paper", given=bool(again))
    session = of(context)
    done = (
        handing.again(session, lot, again, to)
        if again
        else handing.certified(session, lot, to, (by, paper))
    )
    show_papers.issued(done, to, json=json)
    return DONE


def check_certificate(
    context: typer.Context,
    file: Annotated[Path, typer.Argument(metavar="FILE", help="The PDF of a certificate.")],
    json: _Json = False,
) -> int:
    """Check a certificate's file against the record: true, altered, not ours, or overtaken since.

    The record is verified first, up to the head that the certificate states. The exit status is 0
    where the file is the one issued and nothing has changed since, 1 where not.

    Example: beadwright --store plant.sqlite3 check-certificate L1-001.pdf
    """
    from beadwright.cli import handing, show_papers

    found = handing.checked(of(context), file)
    show_papers.checked(found, file, json=json)
    return DONE if found.good else REFUSED


def visit(  # noqa: PLR0913 - one of them is the context
    context: typer.Context,
    since: Annotated[
        str, typer.Option(metavar="DATE", help="Day of the last visit, as 2026-09-01.")
    ],
    lot: Annotated[
        list[str],
        typer.Option(
            metavar="LOT", help="A lot to trace both ways, by code or label; again for others."
        ),
    ],
    to: _To,
    paper: _Size = "a4",
    json: _Json = False,
) -> int:
    """Write the visit file: what an inspector asks for, of the time since the last visit, as a PDF.

    The record is verified first. The file has an index: tests required against done, instruments,
    nonconformities, decisions, changes of settings and of people, and each lot traced both ways.

    Example: beadwright --store plant.sqlite3 visit --since 2026-09-01 --lot L1-001 --to visit.pdf
    """
    from beadwright.cli import handing, show_papers
    from beadwright.reports.visit.asked import VisitAsked

    done = handing.visited(of(context), VisitAsked(since, tuple(lot), paper), to)
    show_papers.visited(done, to, json=json)
    return DONE
