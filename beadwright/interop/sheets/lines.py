"""The rows of a sheet as texts, each with its number, whether text file or workbook."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator

from beadwright.errors import Fault, position
from beadwright.interop.sheets.files import Source
from beadwright.interop.sheets.layout import Layout
from beadwright.interop.sheets.plaintext import sheet_text
from beadwright.interop.sheets.workbook import BookLine, letters

__all__ = ["book_lines", "lines_of", "shown_delimiter"]


def lines_of(source: Source, layout: Layout, faults: list[Fault]) -> Iterator[BookLine]:
    """Give the heading row and the rows; they end at a fault of the file, which is noted."""
    if source.book is not None:
        yield from book_lines(source, faults)
        return
    text = sheet_text(source, layout.encoding, faults)
    if text is None:
        return
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=layout.delimiter, strict=True)
    try:
        for number, texts in enumerate(reader, start=1):
            yield BookLine(number, texts)
    except csv.Error as error:
        what = f"the file is not a table parted by {shown_delimiter(layout.delimiter)}: {error}"
        where = position(source.name, reader.line_num)
        remedy = "Look for a quotation mark that is not closed, or export the sheet again."
        faults.append(Fault("file_not_table", what, "", where, remedy))


def shown_delimiter(delimiter: str) -> str:
    """Name of a delimiter."""
    return {"\t": "tabs", ";": "semicolons", ",": "commas"}[delimiter]


def book_lines(source: Source, faults: list[Fault]) -> Iterator[BookLine]:
    """Give the rows of a workbook's sheet, as wide as its headings: the first row that holds any.

    Of cells that are merged, the first holds the value and the others nothing: what stands under
    no heading would go unread, and is a fault.
    """
    if source.book is None:
        return
    headings: list[str] = []
    for line in source.book.rows(source.tab, source.name, faults):
        if not headings:
            headings = _cut(line.texts)
            yield BookLine(line.number, headings)
            continue
        texts = _cut(line.texts)
        for index, text in enumerate(texts):
            if text.strip() and (index >= len(headings) or not headings[index].strip()):
                where = f"{source.name}, cell {letters(index)}{line.number}"
                what = "the cell stands under no heading"
                remedy = "Write one heading over each column; part merged headings."
                faults.append(Fault("cell_without_heading", what, text, where, remedy))
        texts += [""] * (len(headings) - len(texts))
        yield BookLine(line.number, texts[: len(headings)])


def _cut(texts: list[str]) -> list[str]:
    """Take off the empty cells at the end."""
    end = len(texts)
    while end and not texts[end - 1].strip():
        end -= 1
    return texts[:end]
