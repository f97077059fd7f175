"""Which of the paths given are settings, and which are sheets.

A workbook holds one sheet or several: of `BOOK.xlsx`, the sheet `NAME` has its layout in
`BOOK.NAME.layout.toml`; the only one may have it in `BOOK.layout.toml`. Hidden sheets are left.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import NamedTuple

from beadwright.errors import Fault
from beadwright.interop.sheets.workbook import SUFFIXES, Book, open_book

__all__ = ["FileSummary", "Found", "Source", "find"]

_LAYOUT = ".layout.toml"


class Source(NamedTuple):
    """A file, or one sheet of a workbook, and the name it goes by in messages and answers."""

    path: Path
    name: str
    layout: Path
    """Where its layout stands, or would."""
    book: Book | None = None
    tab: str = ""
    """Name of the sheet in the workbook."""


@dataclass(frozen=True, slots=True)
class FileSummary:
    """What was read of a file."""

    name: str
    kind: str
    """Sheet kind, or ``plant``; empty where the layout does not say."""
    rows: int


@dataclass(slots=True)
class Found:
    """Files to read, each once, in a stable order."""

    setups: list[Source] = field(default_factory=list)
    sheets: list[Source] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)


def find(paths: Sequence[Path]) -> Found:
    """Sort out files and folders; of a folder, its settings, CSV files and workbooks are read."""
    found = Found()
    files: dict[Path, Path] = {}
    for path in paths:
        if path.is_dir():
            inside = [each for each in sorted(path.iterdir()) if _is_ours(each)]
            files.update((each.resolve(), each) for each in inside)
            if not inside:
                what = "the folder holds neither sheets (.csv, .xlsx) nor settings (.toml)"
                found.faults.append(Fault("folder_empty", what, str(path), "", "Check the path."))
        elif path.exists():
            files[path.resolve()] = path
        else:
            what = "there is no such file or folder"
            found.faults.append(Fault("file_missing", what, str(path), "", "Check the path."))
    for source in _named(files.values()):
        if source.path.suffix.lower() in SUFFIXES:
            found.sheets += _sheets_of(source, found.faults)
        elif source.path.suffix != ".toml":
            found.sheets.append(source)
        elif not source.path.name.endswith(_LAYOUT):
            found.setups.append(source)
    return found


def _named(paths: Iterable[Path]) -> Iterable[Source]:
    """Name files by their last part, or with their folder where two share it."""
    held = list(paths)
    count = Counter(path.name for path in held)
    for path in held:
        alone = count[path.name] == 1
        name = path.name if alone else f"{path.resolve().parent.name}/{path.name}"
        yield Source(path, name, path.with_name(f"{path.stem}{_LAYOUT}"))


def _is_ours(path: Path) -> bool:
    """Whether a file of a folder is read; not the mark that an open workbook leaves."""
    return path.suffix.lower() in {".toml", ".csv", *SUFFIXES} and not path.name.startswith("~$")


def _sheets_of(source: Source, faults: list[Fault]) -> Iterable[Source]:
    """Sheets of a workbook: the visible ones, each by its own layout or the only one's."""
    book = open_book(source.path, source.name)
    if isinstance(book, Fault):
        faults.append(book)
        return
    for tab in book.hidden:
        layout = _layout_of(source, tab)
        if layout.exists():
            what = f'the sheet "{tab}" is hidden, and has a layout'
            remedy = f"Show it, or take {layout.name} away: a hidden sheet is not read."
            faults.append(Fault("sheet_hidden", what, tab, source.name, remedy))
    if not book.shown:
        remedy = "Fill a sheet of it, or take the file out of the folder."
        faults.append(Fault("file_empty", "no visible sheet holds a row", "", source.name, remedy))
    for tab in book.shown:
        layout = _layout_of(source, tab)
        if len(book.shown) == 1 and not layout.exists():
            yield source._replace(book=book, tab=tab)
        else:
            yield Source(source.path, f"{source.name}/{tab}", layout, book, tab)


def _layout_of(source: Source, tab: str) -> Path:
    return source.path.with_name(f"{source.path.stem}.{tab}{_LAYOUT}")
