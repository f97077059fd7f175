"""A sheet's layout: what is stated, what only one reading fits, and what a person is asked once.

Read :func:`layout_for`. What a layout leaves out is found by exclusion over the whole sheet
(``exclusion``); where several readings fit, the import refuses with one fault for each open
question. `beadwright layout` writes the answer into the layout file, where it is kept.
"""

from __future__ import annotations

import re
import shlex
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from beadwright.errors import Fault, position
from beadwright.interop.sheets.cells import Field, Sort
from beadwright.interop.sheets.exclusion import (
    DATES,
    NUMBERS,
    Sifted,
    read_date,
    read_number,
    sift,
)
from beadwright.interop.sheets.files import Source
from beadwright.interop.sheets.headings import (
    Cut,
    Fields,
    Near,
    cut_of,
    kinds_of,
    nearest,
    row_columns,
)
from beadwright.interop.sheets.layout import (
    KEYS,
    Layout,
    check_stated,
    heading,
    layout_of,
    read_toml,
)
from beadwright.interop.sheets.typed import Typed
from beadwright.interop.sheets.workbook import BookLine, letters

__all__ = ["Asked", "Taken", "layout_for"]

_LOOKS_LIKE_A_NUMBER = re.compile(r"([+\u2212-]?[0-9][0-9.,' ]*)(?:[^0-9]*)")
_UNUSED: Mapping[str, str] = {"encoding": "utf-8", "delimiter": ","}


@dataclass(frozen=True, slots=True)
class Taken:
    """What a layout leaves out and only one reading fits."""

    file: str
    key: str
    """As a layout states it."""
    value: str
    because: str
    """What excluded every other reading."""


@dataclass(slots=True)
class Asked:
    """A layout, or why there is none yet."""

    layout: Layout | None = None
    stated: Mapping[str, Any] = field(default_factory=dict)
    taken: list[Taken] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)


class _Cell(NamedTuple):
    where: str
    text: str


def layout_for(source: Source, kinds: Fields, zone: str) -> Asked:
    """Return the layout of a sheet; ``zone`` is the plant's, taken where none is stated."""
    raw = read_toml(source.layout) if source.layout.exists() else {}
    if isinstance(raw, Fault):
        return Asked(faults=[raw])
    faults = check_stated(source.layout.name, raw, kinds)
    if faults:
        return Asked(stated=raw, faults=faults)
    completing = _Completing(source, raw, kinds)
    completing.run(zone)
    asked = Asked(None, raw, completing.taken, completing.faults)
    if not asked.faults:
        asked.layout, asked.faults = layout_of(source.layout.name, completing.raw, kinds)
    return asked


class _Completing:
    """One layout, key by key; each is decided with what was decided before."""

    def __init__(self, source: Source, stated: Mapping[str, Any], kinds: Fields) -> None:
        self.source = source
        self.raw: dict[str, Any] = dict(stated)
        self.kinds = kinds
        self.taken: list[Taken] = []
        self.faults: list[Fault] = []

    def run(self, zone: str) -> None:
        """Fill in what is left out, as far as it can be."""
        if "zone" not in self.raw and zone:
            self._take("zone", zone, "the plant's own")
        if self.source.book is not None:
            self.raw = dict(_UNUSED) | self.raw
        if all(key in self.raw for key in KEYS if key not in {"ignore", "zone"}):
            return
        cut = cut_of(self.source, self.raw, self.kinds)
        if isinstance(cut, Fault):
            self.faults.append(cut)
            return
        self._cut(cut)
        if not cut.lines or not self._kind(cut):
            return
        self._row(cut)
        if not self.faults or all(one.code == "layout_open" for one in self.faults):
            self._numbers(cut.lines)
            self._dates(cut.lines)

    def _take(self, key: str, value: str, because: str) -> None:
        self.raw[key] = value
        self.taken.append(Taken(self.source.name, key, value, because))

    def _ask(self, key: str, what: str, answers: Sequence[str]) -> None:
        """Note an open question; each answer is written as options of `beadwright layout`."""
        words = [shlex.quote(str(self.source.path))]
        if (
            self.source.book is not None
            and self.source.layout.stem != f"{self.source.path.stem}.layout"
        ):
            words += ["--tab", shlex.quote(self.source.tab)]
        command = f"`beadwright layout {' '.join(words)}`"
        remedy = f"Say it once, and it is kept: {command} with {' or '.join(answers)}"
        where = position(self.source.name, None, key)
        self.faults.append(Fault("layout_open", what, "", where, remedy))

    def _cut(self, cut: Cut) -> None:
        """Encoding and delimiter."""
        if "encoding" not in self.raw and self.source.book is None:
            if len(cut.encodings) > 1:
                shown = ", ".join(f'"{text}" in {name}' for name, text in cut.encodings)
                answers = [f"--encoding {name}" for name, _ in cut.encodings]
                self._ask("encoding", f"the encoding is open: a word is {shown}", answers)
            name, text = cut.encodings[0]
            if text and len(cut.encodings) == 1:
                self._take("encoding", name, f'only so "{text}" is text')
            self.raw["encoding"] = name
        if "delimiter" not in self.raw:
            self._take("delimiter", cut.delimiter, "only so the headings are found")

    def _kind(self, cut: Cut) -> bool:
        """Kind of sheet and columns, by headings that are the names of fields."""
        head = cut.lines[0].texts
        if "sheet" not in self.raw:
            fitting = kinds_of(head, self.kinds) if "columns" not in self.raw else ()
            if len(fitting) > 1:
                what = f"the kind of sheet is open: its headings fit {', '.join(fitting)}"
                self._ask("sheet", what, [f"--sheet {name}" for name in fitting])
                return False
            if not fitting:
                self._no_kind(nearest(head, self.kinds))
                return False
            self._take("sheet", fitting[0], "only its fields are so named")
        if "columns" not in self.raw:
            fields = self.kinds[self.raw["sheet"]]
            names = [heading(text) for text in head]
            self.raw["columns"] = {name: name for name in names if name in fields}
        return True

    def _no_kind(self, near: Near | None) -> None:
        name = self.source.layout.name
        if self.source.layout.exists():
            what, remedy = f'the layout does not state "sheet", and {_nearly(near)}', _STATE
            self.faults.append(
                Fault("layout_invalid", what, "", position(name, None, "sheet"), remedy)
            )
            return
        what = f"the sheet has no layout beside it, and {_nearly(near)}"
        remedy = (
            f"Mend the headings, or write {name}: the kind of sheet, and a heading for each field"
            " under [columns]; or say them with `beadwright layout`."
        )
        self.faults.append(Fault("layout_missing", what, name, name, remedy))

    def _row(self, cut: Cut) -> None:
        """Column of row ids: a heading that is no field's may be it, or mean nothing."""
        if "row" in self.raw:
            return
        used = {heading(str(text)) for text in self.raw["columns"].values()}
        used |= {heading(str(text)) for text in self.raw.get("ignore", ())}
        found = row_columns(cut.lines, used)
        if not found:
            self._take("row", "", "no column holds an id of its own in each row")
            return
        shown = ", ".join(f'"{name}" ("{example}", …)' for name, example in found)
        what = f"whether the rows carry an id of their own is open: it may be {shown}, or none"
        answers = [f"--row {shlex.quote(name)}" for name, _ in found]
        self._ask("row", what, [*answers, '--row ""'])

    def _numbers(self, lines: Sequence[BookLine]) -> None:
        if "decimal" in self.raw and "thousands" in self.raw:
            return
        cells = list(self._cells(lines, lambda spec: spec.sort.quantity or spec.sort is Sort.COUNT))
        decimal, thousands = self.raw.get("decimal"), self.raw.get("thousands")
        ways = [way for way in NUMBERS if decimal in {None, way[0]} and thousands in {None, way[1]}]
        found = sift([cell.text for cell in cells], ways, read_number)
        if found.unfit is not None and decimal is not None:
            self.raw["thousands"] = ""  # each cell that is not so written is a fault of its own
        elif found.unfit is not None:
            self._unfit("decimal", "decimal sign", cells[found.unfit])
        elif len(found.ways) > 1 and found.differ is not None:
            cell = cells[found.differ]
            shown = " or ".join(f"{read_number(way, cell.text)}" for way in found.ways)
            what = f'the decimal sign is open: "{cell.text}" ({cell.where}) is {shown}'
            answers = [
                f'--decimal "{way[0]}" ({read_number(way, cell.text)})' for way in found.ways
            ]
            self._ask("decimal", what, answers)
        else:
            self._found(found, cells, ("decimal", "thousands"))

    def _found(self, found: Sifted[Any], cells: Sequence[_Cell], keys: Sequence[str]) -> None:
        """Take the only reading left; where nothing was excluded, nothing needs to be said."""
        (way,) = found.ways
        for key, value in zip(keys, way if isinstance(way, tuple) else (way,), strict=True):
            if key in self.raw:
                continue
            self.raw[key] = value
            if found.decided is not None and (value or key != "thousands"):
                cell = cells[found.decided]
                because = f'"{cell.text}" ({cell.where}) leaves no other'
                self.taken.append(Taken(self.source.name, key, value, because))

    def _dates(self, lines: Sequence[BookLine]) -> None:
        if "dates" in self.raw:
            return
        cells = list(self._cells(lines, lambda spec: spec.sort is Sort.TIME))
        found = sift([cell.text for cell in cells], DATES, read_date)
        if found.unfit is not None:
            self._unfit("dates", "date style", cells[found.unfit])
        elif len(found.ways) > 1 and found.differ is not None:
            cell = cells[found.differ]
            shown = [f'--dates "{way}" ({_day(way, cell.text)})' for way in found.ways]
            days = " or ".join(_day(way, cell.text) for way in found.ways)
            what = f'the date style is open: "{cell.text}" ({cell.where}) is {days}'
            self._ask("dates", what, shown)
        else:
            self._found(found, cells, ("dates",))

    def _unfit(self, key: str, what: str, cell: _Cell) -> None:
        what = f'no {what} fits every row: "{cell.text}" fits none that fits the rows above'
        remedy = f"Write all rows in one way, or state {key} in {self.source.layout.name}."
        where = f"{self.source.name}, {cell.where}"
        self.faults.append(Fault("layout_unfit", what, cell.text, where, remedy))

    def _cells(self, lines: Sequence[BookLine], wanted: Any) -> Iterator[_Cell]:
        """Each distinct text once, of all columns whose fields are wanted, row by row."""
        fields = self.kinds[self.raw["sheet"]]
        head = [heading(text) for text in lines[0].texts]
        places: list[tuple[int, str, bool]] = []
        for name, text in self.raw["columns"].items():
            value = self.raw["sheet"] == "corrections" and name == "value" and wanted(_ANY_NUMBER)
            if name in fields and heading(text) in head and (value or wanted(fields[name])):
                index = head.index(heading(text))
                places.append((index, lines[0].texts[index].strip(), bool(value)))
        seen: set[str] = set()
        for line in lines[1:]:
            for index, name, value in places:
                cell = line.texts[index] if index < len(line.texts) else ""
                text = _number_in(cell) if value else cell.strip()
                if text and text not in seen and not isinstance(cell, Typed):
                    seen.add(text)
                    yield _Cell(self._where(line.number, index, name), text)

    def _where(self, number: int, index: int, name: str) -> str:
        if self.source.book is not None:
            return f'cell {letters(index)}{number}, "{name}"'
        return position("", number, name)


_STATE = "State sheet = … in it, and under [columns] a heading for each field."


def _nearly(near: Near | None) -> str:
    """Say what keeps headings from being those of the kind that they come nearest to."""
    if near is None:
        return "none of its headings is the name of a field"
    why = []
    if near.missing:
        columns = "column" if len(near.missing) == 1 else "columns"
        why.append(f"needs the {columns} {', '.join(near.missing)} too")
    if near.unknown:
        unknown = ", ".join(f'"{name}"' for name in near.unknown)
        why.append(f"knows no field {unknown}")
    return f"its headings come nearest to {near.kind}, which {' and '.join(why)}"


_ANY_NUMBER = Field("value", Sort.COUNT)


def _number_in(text: str) -> str:
    """Number at the start of a corrected value, which may bear its unit; empty where none is."""
    match = _LOOKS_LIKE_A_NUMBER.fullmatch(text.strip())
    return match[1].strip() if match else ""


def _day(style: str, text: str) -> str:
    meant = read_date(style, text)
    wall = meant[0] if isinstance(meant, tuple) else None
    return f"{wall.day} {wall:%B %Y}" if wall is not None else "no date"
