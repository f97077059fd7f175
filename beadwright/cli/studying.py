"""The verb that works out how far measuring can be believed, from a sheet, and records it."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from beadwright.cli.choices import AsJson
from beadwright.cli.ending import DONE
from beadwright.cli.session import of
from beadwright.cli.together import not_with, only_with

__all__ = ["gauge_study"]

_Sheet = Annotated[
    Path | None, typer.Argument(metavar="SHEET", help="The study's sheet: .csv or .xlsx.")
]
_Jig = Annotated[
    bool, typer.Option("--jig", help="Of a go/no-go jig: piece, person, result, reference.")
]
_Destroyed = Annotated[
    bool, typer.Option("--destroyed", help="Of a test that destroys: each part is one person's.")
]
_Laboratories = Annotated[
    bool, typer.Option("--laboratories", help="Between laboratories: laboratory, value, level.")
]
_Tolerance = Annotated[
    str, typer.Option(metavar="LOW..HIGH UNIT", help="What the parts may be, as '395..405 mm'.")
]
_Product = Annotated[str, typer.Option(help="Take the tolerance from the limits of this product.")]
_Of = Annotated[
    str, typer.Option("--of", metavar="CHARACTERISTIC", help="What was measured, such as height.")
]
_Record = Annotated[
    str, typer.Option(metavar="INSTRUMENT", help="Record it for this instrument of the plant.")
]
_Done = Annotated[str, typer.Option(metavar="DATE", help="Day of a study that is recorded.")]
_By = Annotated[
    str,
    typer.Option(
        metavar="WHO", envvar="BEADWRIGHT_BY", help="Initials or id of who stands for it."
    ),
]
_Decimal = Annotated[
    str, typer.Option(metavar="SIGN", help="Decimal sign, where the sheet leaves it open.")
]
_To = Annotated[
    Path | None, typer.Option(metavar="FILE", help="Write it as a PDF too; it must not exist.")
]
_Paper = Annotated[
    str, typer.Option("--paper", metavar="SIZE", help="Size of the paper: a4 or us-letter.")
]
_Blank = Annotated[
    str,
    typer.Option(metavar="SIZE", help="Write a blank sheet instead: parts x people x trials."),
]
_Seed = Annotated[int, typer.Option(help="Of the blank sheet's random order.")]
_Unit = Annotated[str, typer.Option(help="Of the blank sheet's readings.")]


_OF_A_SHEET = (
    "sheet", "laboratories", "destroyed", "tolerance", "product", "of_what", "decimal", "record",
    "done", "by", "to", "json",
)  # fmt: skip


def _require_together(context: typer.Context, *, blank: bool, record: bool, paper: bool) -> None:
    only_with(context, "--blank", "seed", "unit", given=blank)
    not_with(context, "--blank", *_OF_A_SHEET, given=blank)
    only_with(context, "--record", "done", "by", given=record)
    only_with(context, "--to", "paper", given=paper)


def gauge_study(  # noqa: PLR0913 - one of them is the context
    context: typer.Context,
    sheet: _Sheet = None,
    jig: _Jig = False,
    laboratories: _Laboratories = False,
    destroyed: _Destroyed = False,
    tolerance: _Tolerance = "",
    product: _Product = "",
    of_what: _Of = "",
    decimal: _Decimal = "",
    record: _Record = "",
    done: _Done = "",
    by: _By = "",
    to: _To = None,
    paper: _Paper = "a4",
    blank: _Blank = "",
    seed: _Seed = 1,
    unit: _Unit = "mm",
    json: AsJson = False,
) -> int:
    """Work out from a sheet how far a gauge, a jig or a laboratory can be believed.

    Of a gauge: part, person, trial and "value [mm]", a row a reading; or part and "A 1 [mm]",
    "A 2 [mm]" across. What people and gauge add, the share of the tolerance, the classes of parts
    told apart, and the uncertainty to put on the instrument. No reading is left out. Nothing is
    posted unless it is recorded for an instrument, with its sheet.

    Example: beadwright gauge-study heights.csv --tolerance '405.4..407.4 mm' --to heights.pdf
    """
    from beadwright.cli import show_gauge_study, studies_work
    from beadwright.plant.gauge_studies.recording import About

    _require_together(context, blank=bool(blank), record=bool(record), paper=to is not None)
    if blank:
        show_gauge_study.write_blank(blank, seed, unit, jig=jig)
        return DONE
    session, path = of(context), show_gauge_study.sheet_of(sheet)
    asked = show_gauge_study.asked_of(
        session, (jig, laboratories, destroyed), (tolerance, decimal), (product, of_what, record)
    )
    about = About(record, of_what, done, decimal)
    put = studies_work.record(session, path, asked, about, by) if record else None
    show_gauge_study.answer(path, asked, (to, paper), put, json=json)
    return DONE
