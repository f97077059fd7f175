"""Tables of one file put in order: torn ends, headings that repeat, and what small tables tell.

Read first: :func:`joined`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from beadwright.interop.load_frame.cutting import Table
from beadwright.interop.load_frame.figures import Way, as_float, is_figure, places_of
from beadwright.interop.load_frame.layout import Asking
from beadwright.interop.load_frame.stated import Statement, Value, labels, statements
from beadwright.interop.load_frame.unit_texts import parted
from beadwright.interop.load_frame.words import is_label, is_peak, role_of, size_of

__all__ = [
    "TableRow",
    "Told",
    "carried",
    "extremes_of",
    "joined",
    "same_form",
    "size_rows",
    "told_by_rows",
    "whole_rows",
]

_ONE, _SEPARATE = "one specimen", "separate specimens"
_STEPS = 5.0
_LEAST = 3


@dataclass(frozen=True, slots=True)
class Told:
    """The curves of a file, and the small tables that tell of them."""

    curves: tuple[Table, ...]
    small: tuple[Table, ...]


@dataclass(frozen=True, slots=True)
class TableRow:
    """A row of a table of sizes or results: the specimen's name, and what is told of it."""

    name: str
    told: tuple[Statement, ...]


def whole_rows(table: Table, way: Way, notes: list[str]) -> Table:
    """Leave out a last row that was cut off: the file ends in it."""
    rows = table.rows
    if table.below or len(rows) < _LEAST:
        return table
    last, before = rows[-1], rows[:-1]
    fewer = len([c for c in last.cells if c]) < len([c for c in before[-1].cells if c])
    place = len(last.cells) - 1
    decimals = {places_of(row.cells[place], way) for row in before if place < len(row.cells)}
    cut_off = fewer or len(decimals) > 1 or places_of(last.cells[place], way) not in decimals
    if not cut_off:
        return table
    notes.append(f"The file ends in line {last.number}, which was left out: it may be cut off.")
    return replace(table, rows=before)


def carried(curves: Sequence[Table], notes: list[str]) -> list[Table]:
    """Give a table without headings those of the table above, where a name alone parts them."""
    made: list[Table] = []
    for table in curves:
        before = made[-1] if made else None
        if before is not None and _lacks_headings(before, table):
            line = table.rows[0].number
            notes.append(f"The table at line {line} has no headings: those above are taken.")
            made.append(replace(table, headings=before.headings, units=before.units))
        else:
            made.append(table)
    return made


def _lacks_headings(before: Table, table: Table) -> bool:
    cells = [cell for line in table.above for cell in line.cells if cell]
    named = len(table.above) == 1 and len(cells) == 1 and str(cells[0])[:1].isalpha()
    alike = (before.tab, before.width) == (table.tab, table.width)
    return named and alike and any(before.headings) and not any(table.headings)


def joined(curves: Sequence[Table], way: Way, asking: Asking, notes: list[str]) -> list[Table]:
    """Join tables that only a repeated heading parts: the time goes on."""
    made: list[Table] = []
    for table in curves:
        before = made[-1] if made else None
        if before is not None and (
            _continues(before, table, way, asking)
            if same_form(before, table)
            else _spoilt_heading(before, table, asking)
        ):
            notes.append(f"The heading is repeated above line {table.rows[0].number}.")
            made[-1] = replace(before, rows=before.rows + table.rows, below=table.below)
        else:
            made.append(table)
    return made


def _spoilt_heading(before: Table, table: Table, asking: Asking) -> bool:
    """Whether a person says that a curve goes on below headings that are written otherwise."""
    alike = (before.tab, before.width) == (table.tab, table.width)
    if not alike or table.above or not any(table.headings):
        return False
    line = table.rows[0].number
    what = (
        f"The headings above line {line} are not those of the table above; nothing else parts it."
    )
    return asking.ask("blocks", what, (_ONE, _SEPARATE)) == _ONE


def same_form(before: Table, table: Table) -> bool:
    """Whether two tables of a sheet have the same headings, and no name of a specimen between."""
    same = (before.tab, before.headings, before.units) == (table.tab, table.headings, table.units)
    return same and any(table.headings) and not labels(statements(table.above))


def _continues(before: Table, table: Table, way: Way, asking: Asking) -> bool:
    """Whether the second table goes on where the first ends."""
    time = _series(before, way, "time"), _series(table, way, "time")
    runs, is_time = (time, True) if time[0] is not None else (
        (_series(before, way, "travel"), _series(table, way, "travel")), False
    )  # fmt: skip
    first, second = runs
    if first is None or second is None or first.size < _LEAST:
        return False
    step = float(np.median(np.abs(np.diff(first))))
    gap = float(second[0] - first[-1])
    near = abs(gap) <= _STEPS * step if not is_time else 0 <= gap <= _STEPS * step
    if not near and not (is_time and gap >= 0):
        return False
    if near and not table.above:
        return True
    what = f"The table at line {table.rows[0].number} may go on with the one above."
    return asking.ask("blocks", what, (_ONE, _SEPARATE)) == _ONE


def _series(table: Table, way: Way, role: str) -> NDArray[np.float64] | None:
    for place, heading in enumerate(table.headings):
        if role_of(parted(heading)[0]) == role:
            values = [as_float(cell, way) for cell in table.column(place)]
            known = [value for value in values if value is not None]
            return np.array(known, float) if len(known) >= 1 else None
    return None


def size_rows(table: Table) -> list[TableRow]:
    """Return what a small table tells of each specimen; empty where it tells no size, no peak."""
    parts = [parted(heading) for heading in table.headings]
    named = [place for place, (name, _) in enumerate(parts) if size_of(name) or is_peak(name)]
    if not named:
        return []
    rows = []
    for line in table.rows:
        cells = (*line.cells, *[""] * table.width)
        told = tuple(
            Statement(
                line.number, parts[p][0], cells[p],
                (Value(cells[p], parts[p][1] or table.units[p]),),
            )
            for p in named if is_figure(cells[p])
        )  # fmt: skip
        rows.append(TableRow(_row_name(table, cells), told))
    return rows


def _row_name(table: Table, cells: Sequence[str]) -> str:
    for place, heading in enumerate(table.headings):
        if is_label(heading) or role_of(heading) in {"specimen", "count"}:
            return cells[place]
    return next((cell for cell in cells if cell and not is_figure(cell)), "")


def told_by_rows(table: Table) -> list[Statement]:
    """Return what a small table tells row by row, where its first cells are keys."""
    return statements([*table.above, *table.rows, *table.below])


def extremes_of(table: Table, curve: Table, way: Way) -> tuple[float, ...]:
    """Return the largest and smallest force that a machine keeps in a table of its own."""
    if not any(table.headings) or not set(table.headings) <= set(curve.headings):
        return ()
    found: list[float] = []
    for place, heading in enumerate(table.headings):
        at = curve.headings.index(heading)
        force = role_of(parted(heading)[0]) == "force" and table.units[place] == curve.units[at]
        values = [as_float(cell, way) for cell in table.column(place)] if force else []
        found += [value for value in values if value is not None]
    return tuple(found)
