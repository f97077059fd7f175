"""A sheet's file into typed rows, with every fault of every cell."""

from __future__ import annotations

import hashlib
import re
from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from beadwright.errors import Fault, UnitError, position
from beadwright.interop.sheets.cells import BadCell, Cell, Field, Row, Sort, measured
from beadwright.interop.sheets.clock import Clock
from beadwright.interop.sheets.files import Source
from beadwright.interop.sheets.layout import Layout, heading
from beadwright.interop.sheets.lines import lines_of, shown_delimiter
from beadwright.interop.sheets.typed import Moment, Number, Odd, Typed
from beadwright.interop.sheets.workbook import BookLine, letters
from beadwright.ledger.checks import SKEW_MS
from beadwright.ledger.texts import unreadable, visible
from beadwright.plant.door import now_ms
from beadwright.units import accepted, converter, parse_number, split_header

__all__ = ["Column", "People", "Reader", "Table", "cell_reader", "read_table"]

_MEMO = 20_000  # distinct texts remembered a column: keyed values repeat, times do not
_SEVERAL_LINES = "reason"
"""The one field whose text may have several lines; all others are names."""

_CODE = re.compile("[A-Z0-9-]{1,20}")

Reader = Callable[[str], Cell]
People = Callable[[str], str | None]


@dataclass(slots=True)
class Column:
    """A field's place in the sheet, and how its cells are read."""

    spec: Field
    index: int
    header: str
    unit: str
    read: Reader
    memo: dict[str, Cell] = field(default_factory=dict)


@dataclass(slots=True)
class Table:
    """A sheet, read."""

    file: str
    layout: Layout
    columns: dict[str, Column] = field(default_factory=dict)
    rows: list[Row] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)
    head: int = 1
    """Number of the heading row."""
    letters: Mapping[str, str] = field(default_factory=dict)
    """Of a workbook: the letters of each field's column."""


def read_table(
    source: Source, layout: Layout, fields: Mapping[str, Field], people: People
) -> Table:
    """Read a sheet; rows with a fault are kept, marked bad, so that others can refer to them."""
    table = Table(source.name, layout)
    lines = lines_of(source, layout, table.faults)
    head = next(lines, None)
    if head is None:
        return table
    table.head = head.number
    row_column = _match_headers(table, head.texts, fields, people)
    if not table.faults:
        if source.book is not None:
            found = {name: letters(column.index) for name, column in table.columns.items()}
            table.letters = (
                found if row_column is None else {layout.row: letters(row_column)} | found
            )
        _read_rows(table, lines, len(head.texts), row_column)
    return table


def cell_reader(spec: Field, unit: str, layout: Layout, people: People) -> Reader:
    """Return the function that reads one cell of a field, its unit resolved once."""
    kind = spec.sort.quantity
    if kind is not None:
        quantity = kind
        return lambda text: measured(_number(spec, text, layout), unit, quantity)
    if spec.sort is Sort.COUNT:
        return lambda text: _count(spec, text, layout)
    if spec.sort is Sort.TIME:
        return lambda text: _time(text, layout.clock)
    if spec.sort is Sort.PERSON:
        return lambda text: _person(text, people)
    if spec.sort is Sort.CHOICE:
        return lambda text: _choice(spec, text)
    return _code if spec.sort is Sort.CODE else lambda text: _as_is(spec, text, layout)


def _match_headers(
    table: Table, headers: list[str], fields: Mapping[str, Field], people: People
) -> int | None:
    """Find each field's column, and the column of row ids; fault what does not fit."""
    layout = table.layout
    names = [heading(header) for header in headers]
    if len(headers) == 1:
        for other in {",", ";", "\t"} - {layout.delimiter}:
            if other in headers[0]:
                what = f"the header row is not parted by {shown_delimiter(layout.delimiter)}"
                there = shown_delimiter(other)
                remedy = f"It holds {there}: state the file's delimiter in {layout.file}."
                _header_fault(table, "delimiter_wrong", headers[0], what, remedy)
                return None
    for name, count in Counter(names).items():
        if name and count > 1:
            what = f'the heading "{name}" stands over {count} columns'
            _header_fault(table, "header_repeated", name, what, "Rename one of them.")
    for name, header in layout.columns.items():
        if header in names:
            index = names.index(header)
            _add_column(table, fields[name], index, headers[index], people)
        else:
            what = f'no column is headed "{header}"'
            remedy = f"Correct the header row, or columns.{name} in {layout.file}."
            _header_fault(table, "header_missing", header, what, remedy)
    _check_unknown(table, headers, names)
    if not layout.row:
        return None
    if layout.row not in names:
        what = f'no column is headed "{layout.row}"'
        remedy = f'Correct "row" in {layout.file}; write row = "" if rows carry no id.'
        _header_fault(table, "header_missing", layout.row, what, remedy)
        return None
    return names.index(layout.row)


def _check_unknown(table: Table, headers: list[str], names: list[str]) -> None:
    layout = table.layout
    known = {*layout.columns.values(), *layout.ignore, layout.row, ""}
    for header, name in zip(headers, names, strict=True):
        if name not in known:
            what = f'nothing is known of the column "{name}"'
            remedy = f"Name it under [columns] in {layout.file}, or under ignore = [...]."
            _header_fault(table, "header_unknown", header, what, remedy)


def _add_column(table: Table, spec: Field, index: int, header: str, people: People) -> None:
    unit = split_header(header)[1]
    kind = spec.sort.quantity
    if kind is not None:
        unit = unit or spec.unit
        if not unit:
            what = f'the column "{header.strip()}" states no unit'
            example = accepted(kind)[0]
            remedy = f'Write the unit in the header, as "{header.strip()} [{example}]".'
            _header_fault(table, "unit_missing", header, what, remedy)
            return
        try:
            converter(unit, kind)
        except UnitError as error:
            _header_fault(table, error.code, header, error.what, error.remedy)
            return
    read = cell_reader(spec, unit or "", table.layout, people)
    table.columns[spec.name] = Column(spec, index, header.strip(), unit or "", read)


def _header_fault(table: Table, code: str, value: str, what: str, remedy: str) -> None:
    where = position(table.file, table.head)
    table.faults.append(Fault(code, what, value.strip(), where, remedy))


def _read_rows(table: Table, lines: Iterator[BookLine], width: int, row_column: int | None) -> None:
    columns = list(table.columns.values())
    headers = {column.spec.name: column.header for column in columns}
    times = frozenset(column.spec.name for column in columns if column.spec.sort is Sort.TIME)
    clock = table.layout.clock.text
    seen: Counter[str] = Counter()
    numbers: dict[str, int] = {}
    noted = len(table.faults)
    for number, texts in lines:
        if not any(texts) or not any(map(str.strip, texts)):
            continue
        row = Row(table.layout.sheet, "", table.file, number, {}, headers, times=times, clock=clock)
        row.letters = table.letters
        if len(texts) != width and not (len(texts) > width and not any(texts[width:])):
            row.bad = True
            what = f"the row has {len(texts)} cells; the header row has {width}"
            remedy = "Put a text that holds the delimiter in quotation marks, or fill the row."
            table.faults.append(Fault("cells_wrong", what, "", row.where(), remedy))
        else:
            _read_cells(table, row, columns, texts)
            row.id = _row_id(table, row, texts, row_column)
            if row_column is None and not row.bad:
                seen[row.id] += 1
                row.id = f"{row.id}-{seen[row.id]}"
            elif row.id in numbers:
                row.bad = True
                what = f'row id "{row.id}" stands in row {numbers[row.id]} too'
                _cell_fault(table, row, table.layout.row, (row.id, "row_repeated", what))
            numbers.setdefault(row.id, number)
        table.rows.append(row)
    if not table.rows and len(table.faults) == noted:
        what = "the sheet has a header row and no rows"
        remedy = "Export the sheet again, or take the file out of the folder."
        table.faults.append(Fault("file_empty", what, "", table.file, remedy))


def _read_cells(table: Table, row: Row, columns: list[Column], texts: list[str]) -> None:
    cells = row.cells
    for column in columns:
        text = texts[column.index]
        typed = isinstance(text, Typed)
        cell = None if typed else column.memo.get(text)
        if cell is None:
            stripped = text if typed else text.strip()
            name = column.spec.name
            if not stripped:
                if column.spec.required:
                    row.bad = True
                    what = f'"{column.header}" is empty'
                    _cell_fault(table, row, name, ("", "field_missing", what))
                continue
            try:
                cell = column.read(_meant(stripped, column.spec))
            except (BadCell, UnitError) as bad:
                row.bad = True
                where = row.where(name)
                value = visible(stripped)
                table.faults.append(Fault(bad.code, visible(bad.what), value, where, bad.remedy))
                continue
            if not typed and len(column.memo) < _MEMO:
                column.memo[text] = cell
        cells[column.spec.name] = cell


def _row_id(table: Table, row: Row, texts: list[str], row_column: int | None) -> str:
    if row_column is None:
        content = "\x1f".join(f"{name}={text}" for name, text in sorted(row.facts().items()))
        return hashlib.sha256(f"{content}\x1f{row.by}".encode()).hexdigest()[:20]
    cell = texts[row_column]
    text = cell.strip()
    strange = isinstance(cell, Moment | Odd) or bool(unreadable(text))
    if not text or "/" in text or strange:
        text = visible(text)
        row.bad = True
        what = f'row id "{text}" holds a stroke' if text else "the row has no id"
        what = f'row id "{text}" is no text that can be read, and no number' if strange else what
        _cell_fault(table, row, table.layout.row, (text, "row_id_invalid", what))
    return text


def _cell_fault(table: Table, row: Row, name: str, about: tuple[str, str, str]) -> None:
    value, code, what = about
    remedies = {
        "field_missing": "Fill the cell, or leave the row out.",
        "row_repeated": "Give each row of a sheet kind an id of its own.",
        "row_id_invalid": "Give the row an id without a stroke.",
    }
    table.faults.append(Fault(code, what, value, row.where(name), remedies[code]))


def _meant(text: str, spec: Field) -> str:
    """Refuse a cell that shows something else than it holds, or a date where none is meant."""
    if isinstance(text, Odd):
        raise text.bad
    if isinstance(text, Moment) and spec.sort is not Sort.TIME:
        raise BadCell(
            code="cell_type",
            what=f"the cell holds a date ({text}), and no date is meant here",
            remedy="A spreadsheet makes dates of texts: format the column as text, type it again.",
        )
    return text


def _number(spec: Field, text: str, layout: Layout) -> Decimal:
    if isinstance(text, Number):
        number = text.value
    else:
        number = parse_number(text, decimal=layout.decimal, thousands=layout.thousands or None)
    if number < 0 and not spec.signed:
        raise BadCell(code="negative", what=f"{text} is below zero.", remedy="Correct the value.")
    if spec.positive and not number:
        raise BadCell(code="not_positive", what=f"{text} is nothing.", remedy="Correct the value.")
    return number


def _time(text: str, clock: Clock) -> int:
    """Read a time, which must have come and be no older than such records are."""
    if isinstance(text, Number):
        raise BadCell(
            code="cell_type",
            what=f"the cell holds a number ({text}), not a date",
            remedy="Format the cell as a date, or write the date as text.",
        )
    at = clock.cell(text.wall) if isinstance(text, Moment) else clock.ms(text)
    if at > now_ms() + SKEW_MS:
        raise BadCell(
            code="time_ahead",
            what=f'"{text}" lies in the future',
            remedy="Correct the date, or the time zone in the layout.",
        )
    if at < 0:
        raise BadCell(
            code="time_early", what=f'"{text}" lies before 1970', remedy="Check the date's year."
        )
    return at


def _count(spec: Field, text: str, layout: Layout) -> int:
    number = _number(spec, text, layout)
    if number != number.to_integral_value():
        raise BadCell(
            code="count_not_whole", what=f"{text} is no whole number.", remedy="Count whole pieces."
        )
    return int(number)


def _person(text: str, people: People) -> str:
    found = people(text)
    if found is None:
        what = f'no person is known by "{text}"'
        raise BadCell(
            code="unknown_person",
            what=what,
            remedy=(
                "Add the initials under [people] in plant.toml, and import it with the sheet:"
                " of whoever was erased, it alone knows them."
            ),
        )
    return found


def _choice(spec: Field, text: str) -> str:
    if text not in spec.choices:
        what = f'"{text}" is none of {", ".join(spec.choices)}'
        raise BadCell(code="choice_unknown", what=what, remedy="Write one of these words.")
    return text


def _code(text: str) -> str:
    if _CODE.fullmatch(text) is None:
        what = f'"{text}" cannot be a code'
        raise BadCell(
            code="code_invalid", what=what, remedy="A code has 1 to 20 of A-Z, 0-9 and -."
        )
    return text


def _as_is(spec: Field, text: str, layout: Layout) -> str:
    """Take a text; a number cell as the sheet would write it, so that a correction reads it so."""
    if odd := unreadable(text, lines=spec.name == _SEVERAL_LINES):
        what = f"the cell holds {', '.join(map(ascii, odd[:3]))}, which nobody can read"
        raise BadCell(code="bad_text", what=what, remedy="Type the cell again without.")
    return text.with_sign(layout.decimal) if isinstance(text, Number) else text
