"""The verb `layout`: how a sheet is written, and the answers to what is open, kept beside it."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from beadwright.cli.ending import DONE, REFUSED
from beadwright.errors import Misuse

__all__ = ["layout"]

_File = Annotated[Path, typer.Argument(metavar="FILE", help="A sheet, or a workbook.")]
_Tab = Annotated[str, typer.Option("--tab", metavar="NAME", help="Which sheet of a workbook.")]
_Kind = Annotated[str | None, typer.Option(metavar="KIND", help="Kind of sheet.")]
_Encoding = Annotated[str | None, typer.Option(metavar="NAME", help="Encoding, such as cp1252.")]
_Delimiter = Annotated[
    str | None, typer.Option(metavar="SIGN", help='What parts cells: "," ";" or tab.')
]
_Decimal = Annotated[str | None, typer.Option(metavar="SIGN", help='Decimal sign: "." or ",".')]
_Thousands = Annotated[
    str | None, typer.Option(metavar="SIGN", help='Thousands sign; "" for none.')
]
_Dates = Annotated[
    str | None, typer.Option(metavar="STYLE", help="Date style, such as DD.MM.YYYY hh:mm.")
]
_Zone = Annotated[
    str | None, typer.Option(metavar="ZONE", help="Time zone, such as Europe/Berlin.")
]
_Row = Annotated[
    str | None, typer.Option(metavar="HEADING", help='Column of row ids; "" for none.')
]
_Columns = Annotated[
    list[str] | None,
    typer.Option(metavar="FIELD=HEADING", help="Which heading is which field; repeat."),
]
_Json = Annotated[bool, typer.Option("--json", help="Answer as JSON.")]


def layout(  # noqa: PLR0913 - each is a fact of a layout
    file: _File,
    tab: _Tab = "",
    sheet: _Kind = None,
    encoding: _Encoding = None,
    delimiter: _Delimiter = None,
    decimal: _Decimal = None,
    thousands: _Thousands = None,
    dates: _Dates = None,
    zone: _Zone = None,
    row: _Row = None,
    column: _Columns = None,
    json: _Json = False,
) -> int:
    """Say how a sheet is written; with an answer, keep it in the layout file beside the sheet.

    What the layout leaves out and only one reading fits is taken by every import; what several
    readings fit is open, and an import waits for it. The exit status is 1 while anything is.

    Example: beadwright layout files/bags.csv --decimal , --dates "DD.MM.YYYY hh:mm"
    """
    from beadwright.cli import show_layout
    from beadwright.interop import layouts

    sign = "\t" if delimiter == "tab" else delimiter
    answers = _given(sheet=sheet, encoding=encoding, delimiter=sign, decimal=decimal)
    answers |= _given(thousands=thousands, dates=dates, zone=zone, row=row)
    columns = {"columns": dict(map(_pair, column))} if column else {}
    source = layouts.source_of(file, tab)
    if answers or columns:
        layouts.keep(source, {**answers, **columns})
        source = layouts.source_of(file, tab)
    asked = layouts.look(source)
    show_layout.show(source, asked, json=json)
    return REFUSED if asked.faults else DONE


def _given(**facts: str | None) -> dict[str, str]:
    return {key: value for key, value in facts.items() if value is not None}


def _pair(text: str) -> tuple[str, str]:
    field, sign, header = text.partition("=")
    if not sign:
        message = f"--column {text}: write FIELD=HEADING"
        raise Misuse(message)
    return field.strip(), header.strip()
