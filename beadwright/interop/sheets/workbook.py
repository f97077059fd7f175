"""A workbook's sheets as rows of cells; a file that is damaged, locked or too large is a fault.

Read :func:`open_book`, then :meth:`Book.rows`. Values are read, never formulas; every row counts,
hidden ones too. What is taken of a cell stands in ``typed``.
"""

from __future__ import annotations

import io
import re
import warnings
import zipfile
from collections.abc import Iterator
from datetime import datetime, time, timedelta
from decimal import Decimal
from functools import lru_cache
from itertools import islice
from pathlib import Path
from typing import Any, NamedTuple

from beadwright.errors import Fault
from beadwright.interop.sheets.cells import BadCell
from beadwright.interop.sheets.typed import Moment, Number, Odd

__all__ = ["SUFFIXES", "Book", "BookLine", "letters", "open_book", "open_bytes"]

SUFFIXES = frozenset({".xlsx", ".xlsm"})

_MEGABYTE = 1 << 20
_FILE = 64 * _MEGABYTE
_UNPACKED = 256 * _MEGABYTE  # a plant's year of one sheet is some tens
_ROWS = 1_048_576  # ECMA-376 has no limit; this is the most that spreadsheets keep
_CELLS = 5_000_000
_TOO_LONG = f"more than {_ROWS:,} rows or {_CELLS:,} cells"
_CHUNK = 1000
_EXACT = 1e12  # beyond this a cell has no decimals that could be told
_FORMULA = re.compile(rb"<(?:\w+:)?f[ />]")
_DECLARED = b"<!DOCTYPE"
_OLE = b"\xd0\xcf\x11\xe0"
_LOCKED = "EncryptedPackage".encode("utf-16-le")  # the stream's name, MS-OFFCRYPTO 1.3


class BookLine(NamedTuple):
    """A row of a sheet, and its number there."""

    number: int
    texts: list[str]


class Book:
    """A workbook, open."""

    def __init__(self, name: str, raw: bytes, *, formulas: bool) -> None:
        """Open the workbook; raises whatever a damaged one makes the parser raise."""
        self.name = name
        self.formulas = formulas
        """Whether any sheet holds a formula."""
        self._values = _load(raw, values=True)
        self._formulas = _load(raw, values=False) if formulas else None
        sheets = self._values.worksheets
        self.shown: tuple[str, ...] = tuple(
            sheet.title for sheet in sheets if sheet.sheet_state == "visible" and not _blank(sheet)
        )
        """Visible sheets that hold something."""
        self.hidden: tuple[str, ...] = tuple(
            sheet.title for sheet in sheets if sheet.sheet_state != "visible"
        )

    def rows(self, sheet: str, name: str, faults: list[Fault]) -> Iterator[BookLine]:
        """Give the rows that hold something; stops at a fault of the file, which it notes."""
        count = 0
        try:
            for number, cells in enumerate(self._cells(sheet), start=1):
                count += len(cells)
                if number > _ROWS or count > _CELLS:
                    faults.append(_too_large(name, _TOO_LONG))
                    return
                if any(cells):
                    yield BookLine(number, cells)
        except Exception as error:  # noqa: BLE001 - a damaged file makes the parser raise anything
            faults.append(_damaged(name, error))

    def _cells(self, sheet: str) -> Iterator[list[str]]:
        values = _raw_rows(self._values[sheet])
        if self._formulas is None:
            for row in values:
                yield [_text(cell, None) for cell in row]
            return
        for row, asked in zip(values, _raw_rows(self._formulas[sheet]), strict=True):
            yield [_text(cell, formula) for cell, formula in zip(row, asked, strict=True)]


def open_book(path: Path, name: str) -> Book | Fault:
    """Open a workbook, or say why it cannot be read."""
    raw = _bytes(path, name)
    return raw if isinstance(raw, Fault) else open_bytes(raw, name)


def open_bytes(raw: bytes, name: str) -> Book | Fault:
    """Open a workbook that is in memory, or say why it cannot be read."""
    try:
        formulas = _look_over(raw)
        return Book(name, raw, formulas=formulas)
    except _TooLargeError as error:
        return _too_large(name, str(error))
    except Exception as error:  # noqa: BLE001 - a damaged file makes the parser raise anything
        return _damaged(name, error)


def _bytes(path: Path, name: str) -> bytes | Fault:
    try:
        if path.stat().st_size > _FILE:
            return _too_large(name, f"more than {_FILE // _MEGABYTE} MB")
        raw = path.read_bytes()
    except OSError as error:
        what = f"the file cannot be read ({error.strerror})"
        return Fault("file_unreadable", what, "", name, "Check the path.")
    if not raw:
        remedy = "Export the sheet again, or take the file out of the folder."
        return Fault("file_empty", "the file is empty", "", name, remedy)
    return _old_or_locked(name, raw) if raw.startswith(_OLE) else raw


def letters(index: int) -> str:
    """Letters of a column, the first being 0."""
    text = ""
    number = index + 1
    while number:
        number, rest = divmod(number - 1, 26)
        text = chr(ord("A") + rest) + text
    return text


class _TooLargeError(Exception):
    """A workbook that unpacks to more than anybody typed."""


def _look_over(raw: bytes) -> bool:
    """Whether the workbook holds formulas; its parts are unpacked once, and no further than stated.

    The zip reader gives no more of a part than the archive states for it, so the sum stated is a
    bound.
    """
    formulas = False
    with zipfile.ZipFile(io.BytesIO(raw)) as archive:
        parts = archive.infolist()
        stated = sum(part.file_size for part in parts)
        if stated > _UNPACKED:
            message = f"more than {_UNPACKED // _MEGABYTE} MB when unpacked"
            raise _TooLargeError(message)
        for part in parts:
            if part.filename.endswith((".xml", ".rels")):
                sheet = part.filename.startswith("xl/worksheets/")
                formulas |= _look_at(archive, part) and sheet
    return formulas


def _look_at(archive: zipfile.ZipFile, part: zipfile.ZipInfo) -> bool:
    """Whether a part holds a formula; a document type, which could unfold itself, is refused."""
    found = False
    rows = 0
    tail = b""
    with archive.open(part) as stream:
        while chunk := stream.read(_MEGABYTE):
            text = tail + chunk
            if _DECLARED in text:
                message = f"{part.filename} declares a document type"
                raise ValueError(message)
            rows += chunk.count(b"<row")
            if rows > _ROWS:
                raise _TooLargeError(_TOO_LONG)
            found = found or _FORMULA.search(text) is not None
            tail = text[-64:]
    return found


def _load(raw: bytes, *, values: bool) -> Any:
    from openpyxl import (  # type: ignore[import-untyped]  # noqa: PLC0415 - few imports need it
        load_workbook,
    )

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of styles and extensions, which are not read
        return load_workbook(io.BytesIO(raw), read_only=True, data_only=values, keep_links=False)


def _raw_rows(sheet: Any) -> Iterator[tuple[Any, ...]]:
    """Rows of raw cells; what the file states of its own size is not believed."""
    sheet.reset_dimensions()
    rows = iter(sheet.iter_rows())
    while True:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            chunk = list(islice(rows, _CHUNK))
        if not chunk:
            return
        yield from chunk


def _blank(sheet: Any) -> bool:
    rows = islice(_raw_rows(sheet), _ROWS)
    return not any(cell.value is not None for row in rows for cell in row)


def _text(cell: Any, formula: Any) -> str:
    """What is taken of a cell."""
    value = cell.value
    if value is None:
        return _uncalculated() if formula is not None and formula.data_type == "f" else ""
    if isinstance(value, str):
        return value if cell.data_type != "e" else _failed(value)
    if isinstance(value, int | float) and not isinstance(value, bool):
        return _number(value, cell.number_format)
    if isinstance(value, datetime):
        return Moment((value + timedelta(seconds=0.5)).replace(microsecond=0))
    return _no_value(value)


def _failed(value: str) -> Odd:
    what = f"the cell shows {value}: its formula failed"
    return Odd(value, _bad("cell_error", what, "Mend the formula, or type the value."))


def _no_value(value: object) -> Odd:
    if isinstance(value, bool):
        text = str(value).upper()
        return Odd(text, _bad("cell_type", f"the cell is a mark ({text})", "Type the value."))
    what = f"the cell is a {'time of day' if isinstance(value, time) else 'span'} ({value})"
    remedy = "Write date and time in one cell; a duration as a number in the unit of its heading."
    return Odd(str(value), _bad("cell_type", what, remedy))


def _number(value: float, shown: str) -> str:
    number = Decimal(value) if isinstance(value, int) else Decimal(f"{value:.15g}")
    places = _places(shown)
    if places is None:
        what = f"the cell is shown as a share or in thousands, and holds {number:f}"
        remedy = "Which is meant is open: give the cell a plain number format and check its value."
        return Odd(f"{number:f}", _bad("cell_type", what, remedy))
    exponent = number.as_tuple().exponent
    if isinstance(exponent, int) and -exponent < places:
        number = number.quantize(Decimal(1).scaleb(-places)) if abs(number) < _EXACT else number
    return Number(number)


@lru_cache(maxsize=1024)
def _places(shown: str) -> int | None:
    """Decimals that a number format always shows; None where it shows another number."""
    first = shown.split(";", 1)[0]
    plain = re.sub(r'"[^"]*"|\[[^\]]*\]|\\.|_.|\*.', "", first)
    if "%" in plain or re.search(r"[0#?],+(?![0#?,])", plain):
        return None
    match = re.search(r"\.(0+)", plain)
    return len(match[1]) if match and "E" not in plain.upper() else 0


def _uncalculated() -> Odd:
    what = "the cell's formula was never worked out"
    remedy = "Open the workbook, let it calculate, and save it."
    return Odd("=", _bad("cell_error", what, remedy))


def _bad(code: str, what: str, remedy: str) -> BadCell:
    return BadCell(code=code, what=what, remedy=remedy)


def _old_or_locked(name: str, raw: bytes) -> Fault:
    if _LOCKED in raw:
        what = "the workbook is locked by a password"
        remedy = "Save it without a password, or export its sheets as CSV."
        return Fault("book_locked", what, "", name, remedy)
    what = "the file is an old binary spreadsheet (.xls)"
    remedy = "Open it where it was made and save it as .xlsx or CSV."
    return Fault("book_damaged", what, "", name, remedy)


def _damaged(name: str, error: Exception) -> Fault:
    if not isinstance(error, zipfile.BadZipFile | KeyError | ValueError):
        what = f"the workbook is damaged ({type(error).__name__})"
    else:
        said = " ".join(str(error).split())[:120]
        what = f"the workbook is damaged ({said})" if said else "the workbook is damaged"
    remedy = "Open it where it was made and save it again, or export its sheets as CSV."
    return Fault("book_damaged", what, "", name, remedy)


def _too_large(name: str, what: str) -> Fault:
    remedy = "Take out what is no row of the sheet, or part the sheet by month."
    return Fault("book_too_large", f"the workbook holds {what}", "", name, remedy)
