"""The curves of single specimens, each with its columns, its sizes and what agrees with them.

Read first: :func:`blocks_of`.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from beadwright.interop.load_frame.checked import Stated, agreeing, decided
from beadwright.interop.load_frame.cutting import CURVE_ROWS, Table
from beadwright.interop.load_frame.figures import Way
from beadwright.interop.load_frame.found import KINDS, Block, Column
from beadwright.interop.load_frame.layout import Asking
from beadwright.interop.load_frame.parting import by_specimen, restarts, side_by_side
from beadwright.interop.load_frame.stated import (
    Statement,
    labels,
    peaks,
    sizes,
    speeds,
    statements,
    units_told,
)
from beadwright.interop.load_frame.tables import (
    TableRow,
    Told,
    extremes_of,
    size_rows,
    told_by_rows,
)
from beadwright.interop.load_frame.taking import marks_of, taken, with_units
from beadwright.interop.load_frame.words import size_of

__all__ = ["blocks_of"]

_TAKE = "leave these rows out"


@dataclass(slots=True)
class _Part:
    """One specimen's rows and columns, before units are settled."""

    table: Table
    name: str
    columns: list[Column]
    rows: NDArray[np.intp]
    among: tuple[int, int]
    """Its place among how many of the same table."""
    told: list[Statement] = field(default_factory=list)
    extremes: tuple[float, ...] = ()


def blocks_of(told: Told, way: Way, asking: Asking, notes: list[str]) -> list[Block]:
    """Make the blocks of a file; what is in doubt is asked."""
    parts = [part for table in told.curves for part in _parts(table, way, asking)]
    parts = _restarted(parts, asking)
    _tell(parts, told, way)
    _name(parts)
    rows = [row for table in told.small for row in size_rows(table)]
    blocks = [
        _block(part, _row_of(parts, place, rows), way, asking, notes)
        for place, part in enumerate(parts)
    ]
    _mixed_units(blocks, asking)
    return blocks


def _parts(table: Table, way: Way, asking: Asking) -> Iterator[_Part]:
    """Part a table by specimens side by side, and by a column of specimens."""
    shares = side_by_side(table, asking)
    made: list[tuple[str, list[Column], NDArray[np.intp]]] = []
    for group, places in shares:
        headings = [table.headings[place] for place in places]
        units = [table.units[place] for place in places]
        cells = [table.column(place) for place in places]
        marks = marks_of(headings, units, cells, way)
        marks = [replace(mark, place=place) for mark, place in zip(marks, places, strict=True)]
        columns = taken(marks, asking)
        for name, rows in by_specimen(table, places, asking):
            made.append((group or name, columns, rows))
    for place, (name, columns, rows) in enumerate(made):
        yield _Part(table, name, columns, rows, (place, len(made)))


def _restarted(parts: Sequence[_Part], asking: Asking) -> list[_Part]:
    """Part a curve where its time starts again, if a person says that these are specimens."""
    made: list[_Part] = []
    for part in parts:
        time = next((one for one in part.columns if one.taken_for == "time"), None)
        at = [] if time is None else restarts(time.values[part.rows])
        if not at:
            made.append(part)
            continue
        line = part.table.rows[int(part.rows[at[0]])].number
        what = f"The time starts again at line {line}: is it another specimen?"
        answer = asking.ask("restarts", what, ("another specimen", "one specimen"))
        if answer != "another specimen":
            made.append(part)
            continue
        pieces = [piece for piece in np.split(part.rows, at) if piece.size >= CURVE_ROWS]
        made += [
            replace(part, rows=piece, name=f"{part.name} {n}".strip(), among=(n - 1, len(pieces)))
            for n, piece in enumerate(pieces, start=1)
        ]
    return made


def _tell(parts: Sequence[_Part], told: Told, way: Way) -> None:
    """Give each part the metadata that are about it: its own, and those of the whole file.

    What stands above the first curve of a sheet is about all of them, unless a curve below states
    sizes of its own; what stands between the last name of a specimen and its curve is its own.
    """
    tabs = {part.table.tab for part in parts}
    shared = [
        s for t in told.small if t.tab not in tabs and not size_rows(t) for s in told_by_rows(t)
    ]
    for tab in tabs:
        mine = [part for part in parts if part.table.tab == tab]
        first = mine[0].table
        small = [t for t in told.small if t.tab == tab]
        above = [s for t in small for s in told_by_rows(t) if not size_rows(t)]
        over = sorted([*above, *(s for t in small if size_rows(t) for s in statements(t.above)),
                       *statements(first.above)], key=lambda one: one.line)  # fmt: skip
        begin = first.rows[0].number
        over = [one for one in over if one.line < begin]
        general = _general(over, [p.table for p in mine if p.table is not first])
        for part in mine:
            own = over if part.table is first else statements(part.table.above)
            end = statements(part.table.below)
            part.told = [*shared, *(general if part.table is not first else []), *own, *end]
            part.extremes = _extremes(part, small, way)


def _extremes(part: _Part, small: Sequence[Table], way: Way) -> tuple[float, ...]:
    """Take the table of extremes that stands just above, or between the two parts of a curve."""
    before = [t for t in small if t.rows and t.rows[-1].number < part.table.rows[-1].number]
    return extremes_of(before[-1], part.table, way) if before and part.among[1] == 1 else ()


def _general(over: Sequence[Statement], later: Sequence[Table]) -> list[Statement]:
    if not later:
        return list(over)
    names = labels(over)
    cut = names[-1].line if names and any(labels(statements(t.above)) for t in later) else None
    kept = [one for one in over if cut is None or one.line < cut]
    own = any(size_of(one.key) for table in later for one in statements(table.above))
    return [one for one in kept if not (own and size_of(one.key)) and one not in names]


def _name(parts: Sequence[_Part]) -> None:
    """Name each part: by its column or group, by the metadata, by its sheet, else by its place."""
    tabs = [part.table.tab for part in parts]
    for place, part in enumerate(parts):
        if part.name:
            continue
        named = labels(part.told)
        several = part.among[1] > 1
        if named and not several:
            part.name = named[-1].text
        elif named and len(named[-1].values) == part.among[1]:
            part.name = named[-1].values[part.among[0]].text
        elif part.table.tab and tabs.count(part.table.tab) == 1:
            part.name = part.table.tab
        else:
            part.name = str(place + 1)


def _row_of(parts: Sequence[_Part], place: int, rows: Sequence[TableRow]) -> TableRow | None:
    """Return the row of a table of sizes that is about a part: by its name, else by its place."""
    name = parts[place].name.casefold()
    named = [row for row in rows if row.name.casefold() == name]
    if len(named) == 1:
        return named[0]
    if len(rows) == len(parts) and not named and not _names_known(parts, rows):
        return rows[place]
    return None


def _names_known(parts: Sequence[_Part], rows: Sequence[TableRow]) -> bool:
    """Whether some row bears a part's name: then the place says nothing."""
    return bool({part.name.casefold() for part in parts} & {row.name.casefold() for row in rows})


def _block(part: _Part, row: TableRow | None, way: Way, asking: Asking, notes: list[str]) -> Block:
    told = [*part.told, *(row.told if row else ())]
    stated_sizes = sizes(told, way, asking, part.among)
    found = peaks(told, way)
    lines = {one.line for one, *_ in found}
    several = len(lines) == 1 and len(found) == part.among[1] > 1
    if several:
        found = [found[part.among[0]]]
    elif part.among[1] > 1 and row is None:
        found = []
    stated = Stated(
        peaks=tuple((number, unit, half) for _, number, unit, half in found),
        extremes=part.extremes,
        speeds=tuple(speeds(told, way)),
        sizes={one.name: one.si for one in stated_sizes},
    )
    units = units_told(told)
    columns = [replace(one, values=one.values[part.rows]) for one in part.columns]
    columns = list(with_units(columns, units, decided(columns, stated), asking))
    columns = _whole(columns, part, asking, notes)
    lines_of = part.table.rows[int(part.rows[0])].number, part.table.rows[int(part.rows[-1])].number
    tab = f"sheet {part.table.tab}, " if part.table.tab else ""
    where = f"{tab}lines {lines_of[0]} to {lines_of[1]}"
    block = Block(part.name, where, tuple(columns), stated_sizes)
    return replace(block, agreed=agreeing(block, stated, asking))


def _whole(
    columns: Sequence[Column], part: _Part, asking: Asking, notes: list[str]
) -> list[Column]:
    """Take off rows in which a specimen has nothing, and ask about rows with gaps."""
    used = [one for one in columns if one.taken_for in KINDS]
    if not used:
        return list(columns)
    known = np.array([np.isfinite(one.values) for one in used])
    some, every = known.any(axis=0), known.all(axis=0)
    filled = np.array([_holds(part, one) for one in used]).any(axis=0)
    last = int(np.flatnonzero(filled)[-1]) if filled.any() else -1
    gaps = np.flatnonzero((filled & ~every) | (~some & (np.arange(some.size) < last)))
    if gaps.size:
        at = int(gaps[0])
        lost = next(one for one, good in zip(used, known[:, at], strict=True) if not good)
        line = part.table.rows[int(part.rows[at])].number
        what = f'Line {line} has no figure for "{lost.heading}"; so have {gaps.size} rows in all.'
        if asking.ask("gaps", what, (_TAKE,)) is not None:
            notes.append(f"{gaps.size} rows with gaps were left out.")
    return [replace(one, values=one.values[every]) for one in columns]


def _holds(part: _Part, column: Column) -> NDArray[np.bool_]:
    """Whether each cell of a column holds anything, a figure or not."""
    cells = part.table.column(column.place)
    return np.array([bool(cells[int(row)]) for row in part.rows])


def _mixed_units(blocks: Sequence[Block], asking: Asking) -> None:
    """Ask where one heading has several units in one file."""
    units: dict[tuple[str, str], set[str]] = {}
    for block in blocks:
        for one in block.columns:
            if one.taken_for in KINDS:
                units.setdefault((one.taken_for, ""), set()).add(one.unit)
    for (role, _), several in units.items():
        told = sorted(several - {""})
        if len(told) > 1:
            what = f"The curves of one file have their {role} in several units: {', '.join(told)}."
            asking.ask("check.units", what, ("as stated",))
