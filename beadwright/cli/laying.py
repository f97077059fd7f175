"""The verb `layout`: how a sheet is written, and the answers to what is open, kept beside it."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from beadwright.cli.ending import DONE, REFUSED
from beadwright.errors import Misuse

__all__ = ["layout"]


def layout(  # noqa: PLR0913 - each is a fact of a layout
    file: Annotated[Path, typer.Argument(metavar="FILE", help="A sheet, or a workbook.")],
    tab: Annotated[
        str, typer.Option("--tab", metavar="NAME", help="Which sheet of a workbook.")
    ] = "",
    sheet: Annotated[str | None, typer.Option(metavar="KIND", help="Kind of sheet.")] = None,
    encoding: Annotated[
        str | None, typer.Option(metavar="NAME", help="Encoding, such as cp1252.")
    ] = None,
    delimiter: Annotated[
        str | None, typer.Option(metavar="SIGN", help='What parts cells: "," ";" or tab.')
    ] = None,
    decimal: Annotated[
        str | None, typer.Option(metavar="SIGN", help='Decimal sign: "." or ",".')
    ] = None,
    thousands: Annotated[
        str | None, typer.Option(metavar="SIGN", help='Thousands sign; "" for none.')
    ] = None,
    dates: Annotated[
        str | None, typer.Option(metavar="STYLE", help="Date style, such as DD.MM.YYYY hh:mm.")
    ] = None,
    zone: Annotated[
        str | None, typer.Option(metavar="ZONE", help="Time zone, such as Europe/Berlin.")
    ] = None,
    row: Annotated[
        str | None, typer.Option(metavar="HEADING", help='Column of row ids; "" for none.')
    ] = None,
    column: Annotated[
        list[str] | None,
        typer.Option(metavar="FIELD=HEADING", help="Which heading is which field; repeat."),
    ] = None,
    json: Annotated[bool, typer.Option("--json", help="Answer as JSON.")] = False,
) -> int:
    """Say how a sheet is written; with an answer, keep it in the layout file beside the sheet.

    What the layout leaves out and only one reading fits is taken by every import; what several
    readings fit is open, and an import waits for it. The exit status is 1 while anything is.

    Example: beadwright layout files/bags.csv --decimal , --dates "DD.MM.YYYY hh:mm"
    """
    from beadwright.cli import show_layout
    from beadwright.interop import layouts

    answers: dict[str, str | dict[str, str]] = {
        key: value
        for key, value in (
            ("sheet", sheet),
            ("encoding", encoding),
            ("delimiter", "\t" if delimiter == "tab" else delimiter),
            ("decimal", decimal),
            ("thousands", thousands),
            ("dates", dates),
            ("zone", zone),
            ("row", row),
        )
        if value is not None
    }
    if column:
        answers["columns"] = dict(map(_pair, column))
    source = layouts.source_of(file, tab)
    if answers:
        layouts.keep(source, answers)
        source = layouts.source_of(file, tab)
    asked = layouts.look(source)
    show_layout.show(source, asked, json=json)
    return REFUSED if asked.faults else DONE


def _pair(text: str) -> tuple[str, str]:
    field, sign, header = text.partition("=")
    if not sign:
        message = f"--column {text}: write FIELD=HEADING"
        raise Misuse(message)
    return field.strip(), header.strip()
