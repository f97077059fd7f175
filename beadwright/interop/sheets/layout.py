"""The layout file beside each sheet: how its text is written, stated once and never guessed.

What a layout leaves out is found by exclusion or asked (see ``asked``); what it states is checked
by :func:`check_stated`, and the whole becomes a :class:`Layout`.
"""

from __future__ import annotations

import codecs
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

from beadwright.errors import Fault, position
from beadwright.interop.sheets.cells import BadCell, Field
from beadwright.interop.sheets.clock import Clock
from beadwright.units import split_header

__all__ = [
    "KEYS",
    "Layout",
    "check_stated",
    "heading",
    "layout_of",
    "read_toml",
]

_DELIMITERS = (",", ";", "\t")
_DECIMALS = (".", ",")
_THOUSANDS = ("", ".", ",", " ", "'")
_REQUIRED = ("sheet", "encoding", "delimiter", "decimal", "dates", "zone", "row", "columns")
_OPTIONAL = ("thousands", "ignore")
KEYS = (*_REQUIRED, *_OPTIONAL)
"""All that a layout may state."""


@dataclass(frozen=True, slots=True)
class Layout:
    """How one sheet is written."""

    file: str
    sheet: str
    encoding: str
    delimiter: str
    decimal: Literal[".", ","]
    thousands: str
    clock: Clock
    row: str
    """Heading of the sheet's own row number; empty: content and ordinal."""
    columns: Mapping[str, str]
    """Field to heading, without the unit in brackets."""
    ignore: frozenset[str]
    """Headings that mean nothing here."""


def heading(header: str) -> str:
    """Return a header without its unit and with single blanks, as layouts name it."""
    return " ".join(split_header(header)[0].split())


def read_toml(path: Path) -> dict[str, Any] | Fault:
    """Read a TOML file, or say why it is none."""
    try:
        return tomllib.loads(path.read_bytes().decode("utf-8-sig"))
    except OSError as error:
        what = f"the file cannot be read ({error.strerror})"
        return Fault("file_unreadable", what, path.name, path.name, "Check the path.")
    except UnicodeDecodeError:
        remedy = "Save it as UTF-8 text."
        return Fault("file_not_text", "the file is not UTF-8 text", "", path.name, remedy)
    except tomllib.TOMLDecodeError as error:
        what = f"the file is not TOML: {error}"
        return Fault("toml_invalid", what, "", path.name, "Correct that line.")


def check_stated(
    file: str, raw: Mapping[str, Any], kinds: Mapping[str, Mapping[str, Field]]
) -> list[Fault]:
    """Check what a layout states; ``kinds`` gives the fields of each sheet kind."""
    faults = _Faults(file)
    _check_keys(raw, faults)
    _check_signs(raw, faults)
    _clock({"dates": "YYYY-MM-DD", "zone": "UTC"} | dict(raw), faults)
    _check_columns(raw, kinds, faults)
    return faults


def layout_of(
    file: str, raw: Mapping[str, Any], kinds: Mapping[str, Mapping[str, Field]]
) -> tuple[Layout | None, list[Fault]]:
    """Make a layout of all that is stated or found; what is lacking is a fault."""
    faults = _Faults(file)
    for key in _REQUIRED:
        if key not in raw:
            faults.note(key, "", f'the layout does not state "{key}"', f"State {key} = … in it.")
    faults += check_stated(file, raw, kinds)
    clock = _clock(raw, faults) if not faults else None
    return (None, faults) if clock is None else (_layout(file, raw, clock), [])


class _Faults(list[Fault]):
    """Faults of one layout file."""

    def __init__(self, file: str) -> None:
        super().__init__()
        self.file = file

    def note(self, key: str, value: object, what: str, remedy: str) -> None:
        where = position(self.file, None, key)
        self.append(Fault("layout_invalid", what, str(value), where, remedy))


def _layout(file: str, raw: Mapping[str, Any], clock: Clock) -> Layout:
    return Layout(
        file=file,
        sheet=raw["sheet"],
        encoding=raw["encoding"],
        delimiter=raw["delimiter"],
        decimal=raw["decimal"],
        thousands=raw.get("thousands", ""),
        clock=clock,
        row=heading(raw["row"]),
        columns={name: heading(header) for name, header in raw["columns"].items()},
        ignore=frozenset(heading(header) for header in raw.get("ignore", [])),
    )


def _check_keys(raw: Mapping[str, Any], faults: _Faults) -> None:
    for key, value in raw.items():
        if key not in KEYS:
            faults.note(key, value, f'a layout knows no "{key}"', f"It knows {', '.join(KEYS)}.")
        elif key not in {"columns", "ignore"} and not isinstance(value, str):
            faults.note(key, value, f'"{key}" must be text', "Write it in quotation marks.")
    ignore = raw.get("ignore", [])
    if not (isinstance(ignore, list) and all(isinstance(item, str) for item in ignore)):
        faults.note("ignore", ignore, '"ignore" must be a list of headings', 'Write ["heading"].')


def _check_signs(raw: Mapping[str, Any], faults: _Faults) -> None:
    thousands = raw.get("thousands", "")
    for key, value, allowed in (
        ("delimiter", raw.get("delimiter", ","), _DELIMITERS),
        ("decimal", raw.get("decimal", "."), _DECIMALS),
        ("thousands", thousands, _THOUSANDS),
    ):
        if value not in allowed:
            choices = " or ".join(f'"{sign}"'.replace("\t", "\\t") for sign in allowed)
            faults.note(key, value, f'{key} "{value}" is none we read', f"Write {choices}.")
    if thousands and thousands == raw.get("decimal"):
        what = "decimal and thousands sign are the same"
        faults.note("thousands", thousands, what, 'Correct one, or write thousands = "".')
    encoding = raw.get("encoding")
    if isinstance(encoding, str):
        try:
            codecs.lookup(encoding)
        except LookupError:
            what = f'no encoding is called "{encoding}"'
            faults.note("encoding", encoding, what, "Write utf-8, latin-1, cp1252 or utf-16.")


def _clock(raw: Mapping[str, Any], faults: _Faults) -> Clock | None:
    style, zone = raw.get("dates"), raw.get("zone")
    if not (isinstance(style, str) and isinstance(zone, str)):
        return None
    try:
        return Clock(style, zone)
    except BadCell as bad:
        key = "zone" if bad.code == "zone_unknown" else "dates"
        faults.note(key, raw[key], bad.what, bad.remedy)
        return None


def _check_columns(
    raw: Mapping[str, Any], kinds: Mapping[str, Mapping[str, Field]], faults: _Faults
) -> None:
    sheet, columns = raw.get("sheet"), raw.get("columns")
    if not isinstance(sheet, str):
        return
    if sheet not in kinds:
        faults.note("sheet", sheet, f'no sheet kind is called "{sheet}"', _one_of(kinds))
        return
    if not isinstance(columns, dict):
        return
    fields = kinds[sheet]
    for name, header in columns.items():
        if name not in fields:
            faults.note(
                f"columns.{name}", header, f'{sheet} has no field "{name}"', _one_of(fields)
            )
        elif not isinstance(header, str) or not header.strip():
            what = "a column's heading must be text"
            faults.note(f"columns.{name}", header, what, "Write it in quotation marks.")
    named = [heading(header) for header in columns.values() if isinstance(header, str)]
    for header in sorted({header for header in named if named.count(header) > 1}):
        what = f'the heading "{header}" stands for two fields'
        faults.note("columns", header, what, "Give each field a column of its own.")
    for name, spec in fields.items():
        if spec.required and name not in columns:
            what = f'{sheet} needs the field "{name}"'
            faults.note(f"columns.{name}", "", what, f'State {name} = "heading" under [columns].')


def _one_of(names: Mapping[str, object]) -> str:
    return f"It knows {', '.join(names)}."
