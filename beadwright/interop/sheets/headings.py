"""A sheet cut into rows where its layout does not say how, and what its headings fit."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from beadwright.errors import Fault
from beadwright.interop.sheets.cells import Field
from beadwright.interop.sheets.exclusion import texts_in_encodings
from beadwright.interop.sheets.files import Source
from beadwright.interop.sheets.layout import heading
from beadwright.interop.sheets.lines import book_lines
from beadwright.interop.sheets.plaintext import no_text, sheet_text
from beadwright.interop.sheets.workbook import BookLine

__all__ = ["Cut", "Fields", "Near", "cut_of", "kinds_of", "nearest", "row_columns"]

Fields = Mapping[str, Mapping[str, Field]]
"""Fields by name, by sheet kind."""

_DELIMITERS = (",", ";", "\t")


@dataclass(frozen=True, slots=True)
class Cut:
    """A sheet's rows, the heading row first, and how they were cut."""

    lines: Sequence[BookLine]
    delimiter: str = ","
    encodings: Sequence[tuple[str, str]] = (("utf-8", ""),)
    """Encodings that fit, each with a word that they read differently (or that only one can)."""


def cut_of(source: Source, raw: Mapping[str, Any], kinds: Fields) -> Cut | Fault:
    """Cut a sheet into rows by what its layout states, and by exclusion where it does not."""
    faults: list[Fault] = []
    if source.book is not None:
        lines = list(book_lines(source, faults))
        return faults[0] if faults and not lines else Cut(lines)
    if "encoding" in raw:
        text = sheet_text(source, raw["encoding"], faults)
        readings = [] if text is None else [(str(raw["encoding"]), text)]
    else:
        readings = _readings(source, faults)
    if not readings:
        return faults[0] if faults else Fault("file_encoding", _NO_TEXT, "", source.name, _EXPORT)
    delimiters = [raw["delimiter"]] if "delimiter" in raw else list(_DELIMITERS)
    needed = _needed(raw)
    best = max(
        ((_found(_head(text, sign), needed, raw, kinds), -place, sign, name)
         for name, text in readings
         for place, sign in enumerate(delimiters)),
        key=lambda one: one[:2],
    )  # fmt: skip
    fitting = [
        (name, text)
        for name, text in readings
        if _found(_head(text, best[2]), needed, raw, kinds) == best[0]
    ]
    return Cut(_lines(fitting[0][1], best[2]), best[2], _told_apart(fitting))


_NO_TEXT = "the file is text in no encoding that we read"
_EXPORT = "Export the sheet again as UTF-8."


def _readings(source: Source, faults: list[Fault]) -> list[tuple[str, str]]:
    try:
        raw = source.path.read_bytes()
    except OSError as error:
        what = f"the file cannot be read ({error.strerror})"
        faults.append(Fault("file_unreadable", what, "", source.name, "Check the path."))
        return []
    found = texts_in_encodings(raw)
    fault = no_text(source, raw, found[0][0] if found else "utf-8")
    if fault is not None:
        faults.append(fault)
        return []
    return list(found)


def kinds_of(head: Sequence[str], kinds: Fields) -> tuple[str, ...]:
    """Kinds of sheets whose needed fields all have a heading, and all headings but one a field."""
    names = {heading(text) for text in head} - {""}
    return tuple(
        kind
        for kind, fields in kinds.items()
        if len(names - set(fields)) <= 1
        and all(name in names for name, spec in fields.items() if spec.required)
    )


@dataclass(frozen=True, slots=True)
class Near:
    """The kind of sheet that headings come nearest to, and what keeps them from being it."""

    kind: str
    missing: tuple[str, ...]
    """Fields that it needs and no heading names."""
    unknown: tuple[str, ...]
    """Headings that name no field of it."""


def nearest(head: Sequence[str], kinds: Fields) -> Near | None:
    """Find the kind with the most fields among some headings; None where no heading is a field."""
    names = [name for name in map(heading, head) if name]
    found = []
    for kind, fields in kinds.items():
        here = sum(name in fields for name in names)
        missing = tuple(n for n, spec in fields.items() if spec.required and n not in names)
        found.append(
            (here, -len(missing), Near(kind, missing, tuple(n for n in names if n not in fields)))
        )
    best = max(found, key=lambda one: one[:2], default=None)
    return best[2] if best is not None and best[0] else None


def row_columns(lines: Sequence[BookLine], used: set[str]) -> list[tuple[str, str]]:
    """Headings of columns that may hold row ids: of no field, filled, and never twice the same."""
    found = []
    for index, text in enumerate(lines[0].texts):
        name = heading(text)
        if name and name not in used:
            ids = [one.texts[index].strip() for one in lines[1:] if len(one.texts) > index]
            if ids and all(ids) and len(ids) == len(set(ids)):
                found.append((name, ids[0]))
    return found


def _needed(raw: Mapping[str, Any]) -> set[str]:
    """Headings that a layout names."""
    columns = raw.get("columns", {})
    named = {heading(text) for text in columns.values()}
    return named | ({heading(raw["row"])} if raw.get("row") else set())


def _found(head: Sequence[str], needed: set[str], raw: Mapping[str, Any], kinds: Fields) -> int:
    """How many of the headings asked for stand in a heading row."""
    names = {heading(text) for text in head}
    if needed:
        return len(needed & names)
    fields = [kinds[raw["sheet"]]] if raw.get("sheet") in kinds else list(kinds.values())
    return max((len(names & set(each)) for each in fields), default=0)


def _head(text: str, delimiter: str) -> Sequence[str]:
    return next((line.texts for line in _cut(text, delimiter)), [])


def _lines(text: str, delimiter: str) -> list[BookLine]:
    return [line for line in _cut(text, delimiter) if any(map(str.strip, line.texts))]


def _cut(text: str, delimiter: str) -> Iterator[BookLine]:
    """Rows as far as the text can be cut; the reader says where it cannot."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    try:
        for number, texts in enumerate(reader, start=1):
            yield BookLine(number, texts)
    except csv.Error:
        return


def _told_apart(readings: Sequence[tuple[str, str]]) -> list[tuple[str, str]]:
    """Each encoding with the first word that they read differently, or that is not plain ASCII."""
    texts = [text for _, text in readings]
    if len(texts) == 1:
        odd = (word for word in texts[0].split() if not word.isascii())
        return [(readings[0][0], next(odd, "").strip(',;"'))]
    split = [text.split() for text in texts]
    for words in zip(*split, strict=False):
        if len(set(words)) > 1:
            return [(name, word) for (name, _), word in zip(readings, words, strict=True)]
    return [(name, "") for name, _ in readings]
