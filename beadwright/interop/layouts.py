"""The layout of one sheet, looked at and answered: what is stated, taken, open; and the file.

Read :func:`look`, then :func:`keep`, which writes answers into the layout file beside the sheet.
All else in that file stays as it was written, comments too.
"""

from __future__ import annotations

import json
import os
import re
import tempfile
import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from beadwright.errors import Fault, Misuse
from beadwright.interop.sheets.asked import Asked, layout_for
from beadwright.interop.sheets.files import Source, find
from beadwright.interop.sheets.kinds import FIELDS
from beadwright.interop.sheets.layout import check_stated, read_toml
from beadwright.interop.sheets.setup import read_setup

__all__ = ["Answers", "keep", "look", "source_of"]

Answers = Mapping[str, str | Mapping[str, str]]
"""What a layout is to state, by key; ``columns`` maps fields to headings."""

_TABLE = re.compile(r"\s*\[")


def source_of(path: Path, tab: str = "") -> Source:
    """Return the sheet of a file; of a workbook, the one named, or the only one.

    Raises
    ------
    Misuse
        If there is no such file, or it holds no such sheet, or several and none is named.
    """
    found = find([path])
    if found.faults:
        raise Misuse(str(found.faults[0]))
    sheets = [one for one in found.sheets if not tab or one.tab == tab]
    if path.is_dir() or not found.sheets:
        message = f"{path} is no sheet: name a .csv file or a workbook"
        raise Misuse(message)
    if len(sheets) != 1:
        there = ", ".join(one.tab for one in found.sheets if one.tab) or "none, it is no workbook"
        message = f"say which sheet of {path} with --tab NAME; there are: {there}"
        raise Misuse(message)
    return sheets[0]


def look(source: Source, zone: str = "") -> Asked:
    """Return what the layout of a sheet states, what is taken, and what is open.

    The plant's zone is that of the settings in the same folder, else ``zone``.
    """
    setups = [read_setup(one.path) for one in find([source.path.parent]).setups]
    zones = {
        str(one.body["zone"]) for each in setups for one in each.drafts if one.topic == "plant"
    }
    return layout_for(source, FIELDS, zones.pop() if len(zones) == 1 else zone)


def keep(source: Source, answers: Answers) -> None:
    """Write answers into the layout file of a sheet; where there is none, it is made.

    Raises
    ------
    Misuse
        If an answer is none that a layout can state, or the file cannot be edited.
    """
    raw = read_toml(source.layout) if source.layout.exists() else {}
    if isinstance(raw, Fault):
        raise Misuse(str(raw))
    stated = _merged(raw, answers)
    faults = list(check_stated(source.layout.name, stated, FIELDS))
    if faults:
        raise Misuse("\n".join(map(str, faults)))
    before = source.layout.read_bytes().decode("utf-8-sig") if source.layout.exists() else ""
    text = _edited(before, answers)
    try:
        edited = tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        edited = {}
    if edited != stated:
        message = f"{source.layout} cannot be edited by program: state {', '.join(answers)} in it"
        raise Misuse(message)
    _write(source.layout, text)


def _merged(raw: Mapping[str, Any], answers: Answers) -> dict[str, Any]:
    merged = dict(raw)
    for key, value in answers.items():
        merged[key] = value if isinstance(value, str) else {**merged.get(key, {}), **value}
    return merged


def _edited(text: str, answers: Answers) -> str:
    """Text of a layout file with the answers in it: a line replaced, or one more before a table."""
    end = "\r\n" if "\r\n" in text else "\n"
    lines = text.replace("\r\n", "\n").removesuffix("\n").split("\n") if text else []
    for key, value in answers.items():
        if isinstance(value, str):
            _state(lines, 0, key, value)
        else:
            for field, header in value.items():
                _state(lines, _table(lines, key), field, header)
    return end.join([*lines, ""])


def _table(lines: list[str], name: str) -> int:
    """Index of the first line of a table, which is added where there is none."""
    header = re.compile(rf"\s*\[\s*{re.escape(name)}\s*\]")
    for index, line in enumerate(lines):
        if header.match(line):
            return index + 1
    lines += ["", f"[{name}]"]
    return len(lines)


def _state(lines: list[str], start: int, key: str, value: str) -> None:
    end = next((n for n in range(start, len(lines)) if _TABLE.match(lines[n])), len(lines))
    line = f"{key} = {json.dumps(value, ensure_ascii=False)}"
    stated = re.compile(rf"\s*{re.escape(key)}\s*=")
    for index in range(start, end):
        if stated.match(lines[index]):
            lines[index] = line
            return
    while end > start and not lines[end - 1].strip():
        end -= 1
    lines.insert(end, line)


def _write(path: Path, text: str) -> None:
    """Put the file in place whole, or not at all."""
    try:
        handle, name = tempfile.mkstemp(dir=path.parent, prefix=path.name, suffix=".new")
        with os.fdopen(handle, "w", encoding="utf-8", newline="") as file:
            file.write(text)
        Path(name).chmod(path.stat().st_mode if path.exists() else 0o644)
        Path(name).replace(path)
    except OSError as error:
        message = f"{path} cannot be written ({error.strerror})"
        raise Misuse(message) from None
