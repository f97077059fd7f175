"""Lines into tables of figures, their headings, and the metadata between them.

Read first: :func:`cut`. A table is a run of rows of figures; its row of units and its headings
stand above it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from beadwright.interop.load_frame.figures import is_figure
from beadwright.interop.load_frame.opened import Line, Tab, is_row
from beadwright.interop.load_frame.unit_texts import kinds_of, parted, sign_of
from beadwright.interop.load_frame.words import role_of

__all__ = ["CURVE_ROWS", "Table", "cut"]

CURVE_ROWS = 10
"""Fewer rows than this are no curve: a table of sizes or of largest values."""

_FULL = 0.6


@dataclass(frozen=True, slots=True)
class Table:
    """A run of rows of figures, and what stands above it."""

    tab: str
    headings: tuple[str, ...]
    units: tuple[str, ...]
    """As the row of units has them; empty texts where there is none."""
    group: tuple[str, ...]
    """What stands over the headings: names of specimens side by side."""
    rows: tuple[Line, ...]
    above: tuple[Line, ...]
    """Metadata between the table before and this one's headings."""
    below: tuple[Line, ...] = ()
    """Metadata below the last table."""

    @property
    def width(self) -> int:
        """Number of columns."""
        return len(self.headings)

    def column(self, place: int) -> list[str]:
        """Return the cells of a column."""
        return [row.cells[place] if place < len(row.cells) else "" for row in self.rows]


def cut(tab: Tab) -> list[Table]:
    """Cut a sheet into its tables, the metadata with them; a repeated heading parts tables."""
    tables: list[Table] = []
    rest: list[Line] = []
    run: list[Line] = []
    for line in tab.lines:
        if run and not _goes_on(run, line):
            tables.append(_table(tab.name, rest, run))
            rest, run = [], []
        if run or is_row(line.cells):
            run.append(line)
        else:
            rest.append(line)
    if run:
        tables.append(_table(tab.name, rest, run))
        rest = []
    if rest and tables:
        tables[-1] = replace(tables[-1], below=tuple(rest))
    elif rest:
        tables.append(Table(tab.name, (), (), (), (), tuple(rest)))
    return tables


def _goes_on(run: Sequence[Line], line: Line) -> bool:
    """Whether a line is a further row: figures, where the rows before have figures."""
    if not is_row(line.cells):
        return _torn(run, line)
    first, cells = run[0].cells, line.cells
    texts = [place for place, cell in enumerate(first) if cell and not is_figure(cell)]
    if any(place < len(cells) and is_figure(cells[place]) for place in texts):
        return False
    figures = [place for place, cell in enumerate(first) if is_figure(cell)]
    begins = figures[0] if figures else 0
    return bool(begins >= len(cells) or not cells[begins] or is_figure(cells[begins]) or texts)


def _torn(run: Sequence[Line], line: Line) -> bool:
    """Whether a line of one figure is a row with gaps: as many cells, the first a figure or none.

    In a table side by side the rows of a longer specimen stand alone at the end.
    """
    same = len(line.cells) == len(run[0].cells)
    filled = [cell for cell in line.cells if cell]
    odd = {"nan", "-", "--", "---", "n/a", "#n/a", "inf", "-inf", "over", "ovr", "null"}
    return same and all(is_figure(cell) or cell.casefold() in odd for cell in filled)


def _table(tab: str, rest: Sequence[Line], run: Sequence[Line]) -> Table:
    width = max(max((i + 1 for i, c in enumerate(r.cells) if c), default=0) for r in run)
    above = list(rest)
    name = _take_name(above, width)
    units = _take_units(above, width)
    headings = _take_headings(above, width)
    if headings and not any(units):
        units = _take_units(above, width)
    group = _take_group(above, width, headings)
    above += name
    blank = ("",) * width
    return Table(tab, headings or blank, units or blank, group, tuple(run), tuple(above))


def _cells(line: Line, width: int) -> tuple[str, ...]:
    """Cells of a line above the rows, filled up to their width; parted widely where that fits."""
    filled = sum(map(bool, line.wide))
    cells = line.wide if line.wide and filled == width else line.cells
    if line.wide and len(cells) < width:
        return cells  # blanks leave no empty cell: which column lacks its own is not known
    last = max((i + 1 for i, cell in enumerate(cells) if cell), default=0)
    return (*cells, *[""] * width)[: max(width, last)]


def _take_name(above: list[Line], width: int) -> list[Line]:
    """Take a line of one cell that stands between headings and rows: it names the specimen."""
    if len(above) > 1 and sum(map(bool, above[-1].cells)) == 1 < width:
        over = [role_of(parted(cell)[0]) for cell in _cells(above[-2], width) if cell]
        if len({"force", "stress", "travel", "strain"} & set(over)) > 1:
            return [above.pop()]
    return []


def _take_units(above: list[Line], width: int) -> tuple[str, ...]:
    """Take the row of units off the end of what stands above, if it stands there."""
    if not above:
        return ()
    cells = _cells(above[-1], width)
    signs = [sign_of(cell) for cell in cells if cell]
    known = sum(bool(kinds_of(sign)) for sign in signs)
    if len(cells) != width or not known or 2 * known < len(signs):
        return ()
    above.pop()
    return tuple(sign_of(cell) for cell in cells)


def _take_headings(above: list[Line], width: int) -> tuple[str, ...]:
    if not above:
        return ()
    cells = _cells(above[-1], width)
    filled = [cell for cell in cells if cell]
    if filled and str(filled[0]).lstrip("+-.,")[:1].isdigit():
        return ()  # a row of figures that was spoilt
    enough = len(filled) >= max(2, _FULL * width) or len(filled) == width
    if len(cells) != width or not enough or sum(map(is_figure, filled)) * 2 >= len(filled):
        return ()
    above.pop()
    words = [role_of(cell) for cell in filled]
    if above and not any(word in {"force", "stress"} for word in words):
        first = _cells(above[-1], width)
        fuller = [role_of(f"{upper} {lower}") for upper, lower in zip(first, cells, strict=False)]
        if len(first) == width and {"force", "stress"} & set(fuller):
            above.pop()
            return tuple(f"{up} {low}".strip() for up, low in zip(first, cells, strict=True))
    return cells


def _take_group(above: list[Line], width: int, headings: Sequence[str]) -> tuple[str, ...]:
    """Take the row over headings that repeat: it names the specimens."""
    names = [heading for heading in headings if heading]
    if not above or len(set(names)) == len(names):
        return ()
    cells = _cells(above[-1], width)
    if len(cells) != width or not any(cells):
        return ()
    above.pop()
    return tuple(_carried(cells))


def _carried(cells: Sequence[str]) -> Iterator[str]:
    """Carry a name on over the empty cells that follow it."""
    name = ""
    for cell in cells:
        name = cell or name
        yield name
