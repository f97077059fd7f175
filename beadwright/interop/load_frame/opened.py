"""A load frame's file into lines of cells, or an error that says what the file is instead.

Read first: :func:`opened`. The file's first bytes must fit its name: a spreadsheet named as text,
or text named as a spreadsheet, is refused. Nothing is stored.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from stat import S_ISDIR, S_ISREG

from beadwright.errors import Fault, Refusal, position
from beadwright.interop.load_frame.figures import is_figure
from beadwright.interop.sheets.workbook import SUFFIXES, Book, open_bytes

__all__ = ["Line", "Opened", "Tab", "is_row", "opened"]

_MEGABYTE = 1 << 20
_MOST = 16 * _MEGABYTE
_MOST_CELLS = 1_500_000
_MOST_IN_LINE = 100_000
_SAMPLE = 3000
_DELIMITERS = ("\t", ";", "|", ",", " ")
_ZIP = b"PK\x03\x04"
_OTHERS = {
    b"\xd0\xcf\x11\xe0": "an old binary spreadsheet (.xls)",
    b"%PDF": "a PDF",
    b"\x1f\x8b": "a compressed file",
    b"\x89PNG": "a picture",
    b"\xff\xd8\xff": "a picture",
    b"{\\rtf": "a text document (.rtf)",
}
_EXPORT = "Export the test again as text (.csv, .txt) or as .xlsx."
_LEAST_FIGURES = 2
_LINES_QUOTED = 4
"""Lines that one heading in quotation marks may stand over."""


@dataclass(frozen=True, slots=True)
class Line:
    """A line and its cells, blanks at their ends taken off."""

    number: int
    cells: tuple[str, ...]
    wide: tuple[str, ...] = ()
    """Parted at two blanks or more, where blanks part the cells."""


@dataclass(frozen=True, slots=True)
class Tab:
    """One sheet of a workbook, or the text."""

    name: str
    lines: tuple[Line, ...]
    delimiter: str


@dataclass(frozen=True, slots=True)
class Opened:
    """A file, opened."""

    name: str
    tabs: tuple[Tab, ...]
    encoding: str
    formulas: bool = False
    ends_in_line: bool = False
    """Text whose last line is not ended: it may have been cut off."""


def opened(source: Path | bytes, name: str) -> Opened:
    """Open an export; raises Refusal where it cannot be one."""
    raw = _bytes(source, name) if isinstance(source, Path) else source
    if not raw.strip(b"\0\r\n\t "):
        what = "the file holds nothing but blanks" if raw else "the file is empty"
        raise _refusal(name, "file_empty", what, "Export the test again.")
    suffix = Path(name).suffix.lower()
    if raw.startswith(_ZIP):
        return _workbook(raw, name, suffix)
    if suffix in SUFFIXES:
        what = f"the file is named {suffix} and is no workbook"
        remedy = "If it is text, give it the ending .csv; else save it again where it was made."
        raise _refusal(name, "book_damaged", what, remedy)
    for start, what in _OTHERS.items():
        if raw.startswith(start):
            raise _refusal(name, "file_not_text", f"the file is {what}", _EXPORT)
    text, encoding = _text(raw, name)
    return _parted(text, encoding, name)


def _bytes(path: Path, name: str) -> bytes:
    try:
        stat = path.stat()
        if S_ISDIR(stat.st_mode):
            raise _refusal(name, "file_unreadable", "this is a folder", "Name a file in it.")
        if not S_ISREG(stat.st_mode):
            raise _refusal(name, "file_unreadable", "this is no ordinary file", "Name a file.")
        if stat.st_size > _MOST:
            raise _too_large(name, f"{stat.st_size / _MEGABYTE:,.0f} MB")
        return path.read_bytes()
    except OSError as error:
        what = f"the file cannot be read ({error.strerror})"
        raise _refusal(name, "file_unreadable", what, "Check the path.") from None


def _too_large(name: str, size: str) -> Refusal:
    what = f"the file holds {size}, more than a load frame writes of one test"
    remedy = "Export fewer rows a second, or one specimen in each file."
    return _refusal(name, "file_too_large", what, remedy)


def _refusal(where: str, code: str, what: str, remedy: str) -> Refusal:
    return Refusal([Fault(code, what, "", where, remedy)])


def _workbook(raw: bytes, name: str, suffix: str) -> Opened:
    if suffix and suffix not in SUFFIXES:
        what = f"the file is named {suffix} and is a zipped file, as a workbook is"
        raise _refusal(
            name, "file_not_text", what, "If it is a workbook, give it the ending .xlsx."
        )
    book = open_bytes(raw, name)
    if isinstance(book, Fault):
        raise Refusal([book])
    tabs = tuple(_tab(book, sheet, name) for sheet in book.shown)
    if not tabs:
        raise _refusal(name, "file_empty", "the workbook holds nothing", "Export the test again.")
    return Opened(name, tabs, "workbook", formulas=book.formulas)


def _tab(book: Book, sheet: str, name: str) -> Tab:
    faults: list[Fault] = []
    rows = book.rows(sheet, f"{name}, sheet {sheet}", faults)
    lines = tuple(Line(row.number, tuple(_trimmed(cell) for cell in row.texts)) for row in rows)
    if faults:
        raise Refusal(faults)
    return Tab(sheet, lines, "")


def _trimmed(cell: str) -> str:
    """Take blanks off plain text; a typed cell stays what it is."""
    return cell.strip() if type(cell) is str else cell


def _text(raw: bytes, name: str) -> tuple[str, str]:
    """Decode: by its mark, else as UTF-8, else as the one-byte encoding of Western machines."""
    for mark, encoding in ((b"\xff\xfe", "utf-16"), (b"\xfe\xff", "utf-16")):
        if raw.startswith(mark):
            return _decoded(raw[: len(raw) // 2 * 2], encoding, name), encoding
    if b"\0" in raw:
        return _wide(raw, name)
    if raw.startswith(b"\xef\xbb\xbf"):
        return _decoded(raw, "utf-8-sig", name), "utf-8-sig"
    try:
        return raw.decode("utf-8"), "utf-8"
    except UnicodeDecodeError as error:
        if error.end >= len(raw) and error.reason == "unexpected end of data":
            return raw[: error.start].decode("utf-8"), "utf-8"
    return _decoded(raw, "cp1252", name), "cp1252"


def _decoded(raw: bytes, encoding: str, name: str) -> str:
    try:
        text = raw.decode(encoding)
    except UnicodeDecodeError as error:
        where = position(name, raw[: error.start].count(b"\n") + 1)
        what = f"byte {error.start + 1} is neither UTF-8 nor {encoding} text"
        raise _refusal(where, "file_encoding", what, _EXPORT) from None
    if _unprintable(text):
        raise _refusal(name, "file_not_text", "the file holds bytes that no text has", _EXPORT)
    return text


def _wide(raw: bytes, name: str) -> tuple[str, str]:
    """Decode UTF-16 without a mark: every second byte of its digits and signs is zero."""
    half = raw[: len(raw) // 2 * 2]
    for encoding, zeros in (("utf-16-le", half[1::2]), ("utf-16-be", half[0::2])):
        if zeros.count(0) > 0.9 * len(zeros):
            return _decoded(half, encoding, name), encoding
    raise _refusal(name, "file_not_text", "the file holds bytes that no text has", _EXPORT)


def _unprintable(text: str) -> bool:
    return re.search(r"[\x00-\x08\x0e-\x1f\x7f]", text) is not None


def _parted(text: str, encoding: str, name: str) -> Opened:
    rows = re.split(r"\r\n|\n|\r", text)
    ends_in_line = bool(rows[-1].strip())
    if len(rows) * 2 > _MOST_CELLS:
        raise _too_large(name, f"{len(rows):,} lines")
    if max(map(len, rows)) > _MOST_IN_LINE:
        raise _too_large(name, f"a line of more than {_MOST_IN_LINE:,} characters")
    sample = rows[:_SAMPLE]
    best = max(_DELIMITERS, key=lambda sign: (_fitting(sample, sign), -_DELIMITERS.index(sign)))
    lines, count = [], 0
    for line in _lines(rows, best, name):
        count += len(line.cells)
        if count > _MOST_CELLS:
            raise _too_large(name, f"more than {_MOST_CELLS:,} cells")
        if any(line.cells):
            lines.append(line)
    tab = Tab("", tuple(lines), best)
    return Opened(name, (tab,), encoding, ends_in_line=ends_in_line)


def _lines(rows: Sequence[str], delimiter: str, name: str) -> Iterator[Line]:
    if delimiter == " ":
        for number, row in enumerate(rows, start=1):
            wide = tuple(re.split(r"\s{2,}|\t", row.strip()))
            yield Line(number, tuple(row.split()), wide)
        return
    reader, last = csv.reader(rows, delimiter=delimiter), 0
    try:
        for cells in reader:
            if reader.line_num - last > _LINES_QUOTED:
                what = "a quotation mark is opened and not closed"
                raise _refusal(position(name, last + 1), "file_not_text", what, _EXPORT)
            last = reader.line_num
            yield Line(reader.line_num, tuple(cell.strip() for cell in cells))
    except csv.Error as error:
        where = position(name, reader.line_num)
        raise _refusal(where, "file_not_text", f"the line cannot be parted ({error})", _EXPORT) \
            from None  # fmt: skip


def is_row(cells: Sequence[str]) -> bool:
    """Whether a line is one of figures: two or more, and at least half of what it holds.

    >>> is_row(("0,1", "-3,5")), is_row(("Width", "50"))
    (True, False)
    """
    figures = sum(map(is_figure, cells))
    return figures >= _LEAST_FIGURES and 2 * figures >= sum(map(bool, cells))


def _fitting(rows: Sequence[str], delimiter: str) -> tuple[int, int]:
    """How many rows of figures follow one as wide, and how many are as wide as a heading."""
    widths: list[int] = []
    texts: set[int] = set()
    before = 0
    try:
        for line in _lines(rows, delimiter, ""):
            width = len(line.cells)
            if is_row(line.cells):
                widths += [width] if width == before else []
                before = width
            elif any(line.cells):
                texts |= {width, len(line.wide)}
                before = 0
    except Refusal:
        return 0, 0
    return len(widths), sum(width in texts for width in widths)
