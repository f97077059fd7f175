"""Workbooks made of CSV sheets: each cell typed as a person's spreadsheet would type it."""

import csv
import datetime as dt
import io
import re
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

from openpyxl import Workbook  # type: ignore[import-untyped]

__all__ = ["save", "typed", "workbook"]

_NUMBER = re.compile(r"-?(?:0|[1-9][0-9,]*)(?:\.([0-9]+))?")


def typed(text: str, style: str) -> tuple[Any, str]:
    """A cell's value and number format: numbers and dates are typed, the rest is text."""
    try:
        return dt.datetime.strptime(text, style), "DD.MM.YYYY HH:MM"  # noqa: DTZ007 - a cell has none
    except ValueError:
        pass
    match = _NUMBER.fullmatch(text)
    if match is None:
        return text or None, "General"
    places = len(match[1] or "")
    number = float(text.replace(",", ""))
    return (number, f"#,##0.{'0' * places}") if places else (int(number), "0")


def save(
    book: Workbook, title: str, text: str, style: str = "%Y-%m-%d %H:%M", delimiter: str = ","
) -> Any:
    """Add a sheet that holds a CSV's text."""
    sheet = book.create_sheet(title)
    for texts in csv.reader(io.StringIO(text), delimiter=delimiter):
        cells = [typed(cell, style) for cell in texts]
        sheet.append([value for value, _ in cells])
        for cell, (_, shown) in zip(sheet[sheet.max_row], cells, strict=True):
            cell.number_format = shown
    return sheet


def workbook(path: Path, sheets: Iterable[tuple[str, str]], *touch: Callable[[Any], None]) -> Path:
    """Save a workbook of sheets given by title and CSV text; each is then touched."""
    book = Workbook()
    book.remove(book.active)
    for title, text in sheets:
        sheet = save(book, title, text)
        for each in touch:
            each(sheet)
    book.save(path)
    return path
