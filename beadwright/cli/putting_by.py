"""Verbs about samples: put one by, and list what is put by and when it is ready."""

from __future__ import annotations

from typing import Annotated

import typer

from beadwright.cli.ending import DONE
from beadwright.cli.session import of

__all__ = ["sample", "samples"]

_By = Annotated[
    str, typer.Option(metavar="WHO", envvar="BEADWRIGHT_BY", help="Initials or id of who did it.")
]
_Json = Annotated[bool, typer.Option("--json", help="Answer as JSON.")]
_From = Annotated[
    str,
    typer.Option(
        "--conditioning-from",
        metavar="TIME",
        help="When it was put into the conditioning room: 2026-09-03 10:00, in the plant's zone.",
    ),
]


def samples(context: typer.Context, json: _Json = False) -> int:
    """List the samples that are put by: since when in conditioning, ready when and for what.

    Hours are counted from the time that was recorded; how many are needed is what the plan asks,
    and where it says nothing, the method.

    Example: beadwright --store plant.sqlite3 samples
    """
    from beadwright.cli import show_samples

    show_samples.samples(of(context).plant(), json=json)
    return DONE


def sample(  # noqa: PLR0913 - one of them is the context
    context: typer.Context,
    lot: Annotated[str, typer.Argument(metavar="LOT", help="The lot that it is taken from.")],
    code: Annotated[str, typer.Argument(metavar="SAMPLE", help="A code of its own.")],
    by: _By,
    pieces: Annotated[int, typer.Option(metavar="N", min=1, help="How many pieces.")] = 1,
    retained: Annotated[
        bool, typer.Option("--retained", help="It is kept, and not cut up for tests.")
    ] = False,
    since: _From = "",
    kept_at: Annotated[
        str, typer.Option("--kept-at", metavar="TEXT", help="Where it is kept.")
    ] = "",
    at: Annotated[
        str, typer.Option(metavar="TIME", help="When it was taken; now, if not said.")
    ] = "",
) -> int:
    """Take a sample of a lot: its pieces become a lot of their own.

    Example: beadwright sample L1-005 SA-0012 --pieces 2 --conditioning-from "2026-09-03 10:00" \
--by EI
    """
    from beadwright.cli import show_samples

    texts = {
        "lot": lot.upper(), "sample": code.upper(), "pieces": str(pieces),
        "fate": "retained" if retained else "test", "conditioning_from": since,
        "kept_at": kept_at, "at": at,
    }  # fmt: skip
    show_samples.sample(of(context), texts, by)
    return DONE
