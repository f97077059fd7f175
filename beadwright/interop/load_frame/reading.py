"""A load frame's export read: what was found in it, and what it leaves open.

Read first: :func:`read`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from beadwright.errors import Fault, Misuse, Refusal, position
from beadwright.interop.load_frame.blocks import blocks_of
from beadwright.interop.load_frame.cutting import CURVE_ROWS, Table, cut
from beadwright.interop.load_frame.figures import Way, is_figure, ways_of
from beadwright.interop.load_frame.found import Found, Signature
from beadwright.interop.load_frame.layout import Asking, Layout
from beadwright.interop.load_frame.opened import Line, Opened, opened
from beadwright.interop.load_frame.stated import statements
from beadwright.interop.load_frame.tables import Told, carried, joined, same_form, whole_rows
from beadwright.interop.load_frame.unit_texts import parted
from beadwright.interop.load_frame.words import is_bending, role_of, size_of

__all__ = ["read"]

_NAMES = {"\t": "tab", ";": "semicolon", "|": "upright stroke", ",": "comma", " ": "blanks",
          "": "cells"}  # fmt: skip
_ANOTHER = "take as detected"
_CURVE = {"force", "stress", "travel", "strain", "deformation"}


def read(
    source: Path | bytes,
    layout: Layout | None = None,
    *,
    name: str = "",
    answers: Mapping[str, str] | None = None,
    strict: bool = True,
) -> Found:
    """Read an export, and say what each column was taken for and what is not sure.

    Parameters
    ----------
    source : Path or bytes
        The file, or what it holds.
    layout : Layout or None
        Answers kept of an earlier file. They hold where this one is written alike; where it is
        not, all is asked again.
    name : str
        Under which it is named in messages; else the file's own name.
    answers : mapping or None
        Answers to questions of this file, by field.
    strict : bool
        Whether an answer to what nobody asked is misuse; not so where several files share them.

    Returns
    -------
    found : Found
        Its blocks are to be relied on only where no question is open.

    Raises
    ------
    Refusal
        If the file cannot be an export: empty, damaged, too large, of another kind, or without a
        table of figures.
    Misuse
        If an answer is none of the choices, or nobody asked.
    """
    called = name or (source.name if isinstance(source, Path) else "the file")
    file = opened(source, called)
    given = dict(answers or {})
    found = _read(file, Asking({**_kept(layout), **given}))
    if layout is not None and not layout.signature.fits(found.signature):
        asking = Asking(given)
        what = "The layout given is of a file that is written otherwise: its answers do not hold."
        asking.ask("layout", what, (_ANOTHER,))
        found = _read(file, asking)
    unasked = set(given) - {key for key, _ in found.answers}
    if strict and unasked:
        asked = ", ".join(one.field for one in found.questions) or "nothing"
        message = f"{', '.join(sorted(unasked))} was not asked; open is: {asked}."
        raise Misuse(message)
    return found


def _kept(layout: Layout | None) -> dict[str, str]:
    return {} if layout is None else dict(layout.answers)


@dataclass(slots=True)
class _Parts:
    """The tables of a file: curves, and small ones that tell of them."""

    curves: list[Table] = field(default_factory=list)
    small: list[Table] = field(default_factory=list)


def _read(file: Opened, asking: Asking) -> Found:
    parts = _parts_of(file)
    notes: list[str] = []
    way, sign = _way(file, parts, asking)
    if file.formulas:
        what = "The workbook holds formulas; what is read is what they last worked out."
        asking.ask("check.formulas", what, ("take the values",))
    if file.ends_in_line:
        parts.curves[-1] = whole_rows(parts.curves[-1], way, notes)
    pages = joined(carried(parts.curves, notes), way, asking, notes)
    curves = [table for table in pages if len(table.rows) >= CURVE_ROWS]
    _rows_parted_off(curves, parts.small, asking)
    short = [table for table in pages if len(table.rows) < CURVE_ROWS]
    told = Told(tuple(curves), (*parts.small, *short))
    blocks = blocks_of(told, way, asking, notes)
    if any(is_bending(cell) for table in (*curves, *parts.small) for line in table.above
           for cell in line.cells):  # fmt: skip
        notes.append("The file speaks of bending: a strip on supports needs their span.")
    tab = file.tabs[0]
    headings, units = _form(curves)
    signature = Signature(tab.delimiter, sign, headings, units)
    return Found(
        name=file.name,
        signature=signature,
        how=_how(file, tab.delimiter, way),
        blocks=tuple(blocks),
        questions=tuple(asking.open.values()),
        notes=tuple(dict.fromkeys(notes)),
        answers=tuple(asking.used.items()),
        answered=asking.answered,
    )


def _parts_of(file: Opened) -> _Parts:
    parts = _Parts()
    for tab in file.tabs:
        for table in cut(tab):
            curve = len(table.rows) >= CURVE_ROWS and not _about_sizes(table)
            page = bool(parts.curves) and not table.above and same_form(parts.curves[-1], table)
            (parts.curves if curve or page else parts.small).append(table)
    if not parts.curves:
        most = max((len(table.rows) for table in parts.small), default=0)
        what = f"no table of {CURVE_ROWS} rows of figures or more; the longest has {most}"
        remedy = "Export the curve's rows, force and travel at least, and not the results alone."
        raise Refusal([Fault("no_curve", what, "", file.name, remedy)])
    for table in parts.curves:
        _fit_headings(table, file.name)
    if all(map(_is_list, parts.curves)):
        what = "its tables list things by name, and no column speaks of force, stress or travel"
        remedy = "Choose the file that the load frame wrote of the test."
        raise Refusal([Fault("no_curve", what, "", file.name, remedy)])
    return parts


def _is_list(table: Table) -> bool:
    """Whether a table lists things by name: a column of words, and no heading of a curve."""
    words = [role_of(parted(heading)[0]) for heading in table.headings]
    if _CURVE & set(words):
        return False
    named = [place for place, word in enumerate(words) if word != "specimen"]
    for cells in map(table.column, named):
        filled = [cell for cell in cells if cell]
        if filled and sum(not is_figure(cell) for cell in filled) > len(filled) / 2:
            return True
    return False


def _rows_parted_off(curves: Sequence[Table], small: Sequence[Table], asking: Asking) -> None:
    """Ask about rows below a curve that a spoilt line parts from it, and about that line."""
    begins = {table.tab: table.rows[0].number for table in reversed(curves)}
    every = (*curves, *small)
    lines = [(t.tab, line) for t in every for line in (*t.above[:1], *t.below[:1])]
    lines += [(t.tab, line) for t in small if not t.above or not any(t.headings) for line in t.rows]
    for tab, line in lines:
        if line.number > begins.get(tab, line.number) and _is_torn(line):
            what = f"Line {line.number} looks like a row of the curve above it, and is none."
            asking.ask("gaps", what, ("leave these rows out",))
            return


def _is_torn(line: Line) -> bool:
    """Whether a line begins like a row and holds a figure; a word before figures is no row."""
    filled = [cell for cell in line.cells if cell]
    first = str(filled[0]) if filled else ""
    return len(filled) > 1 and any(map(str.isdigit, first)) and any(map(is_figure, filled))


def _about_sizes(table: Table) -> bool:
    """Whether a table tells sizes of specimens and no curve."""
    names = [parted(heading)[0] for heading in table.headings]
    curve = {"force", "stress", "travel", "strain", "deformation", "time"}
    return any(map(size_of, names)) and not curve & {role_of(name) for name in names}


def _fit_headings(table: Table, name: str) -> None:
    """Refuse rows that are wider than the headings above them: their cells cannot be placed."""
    if any(table.headings):
        last = max(place for place, heading in enumerate(table.headings) if heading)
        wide = next((row for row in table.rows if any(row.cells[last + 1 :])), None)
        if wide is not None:
            count = max(place + 1 for place, cell in enumerate(wide.cells) if cell)
            raise _unmatched(position(name, wide.number), last + 1, count)
    elif table.above:
        above = table.above[-1]
        words = {role_of(parted(cell)[0]) for cell in above.cells if not is_figure(cell)}
        if len(words & {"force", "stress", "travel", "strain", "deformation", "time"}) > 1:
            filled = sum(map(bool, above.cells))
            raise _unmatched(position(name, above.number), filled, table.width)


def _unmatched(where: str, headings: int, cells: int) -> Refusal:
    what = f"the headings are {headings}, and the row has {cells} cells"
    remedy = (
        "If one sign parts cells and stands inside numbers too, export with another sign; else "
        "head every column."
    )
    return Refusal([Fault("columns_unmatched", what, "", where, remedy)])


def _way(file: Opened, parts: _Parts, asking: Asking) -> tuple[Way, str]:
    """Settle decimal and thousands signs: by the figures, else by the metadata; else ask."""
    columns = [table.column(place) for table in parts.curves for place in range(table.width)]
    ways = ways_of(columns)
    if not ways:
        what = "no one decimal sign fits all figures of the table"
        odd = _mixed(columns)
        remedy = "Export with one decimal sign, or mend the cells that have another."
        raise Refusal([Fault("numbers_mixed", what, odd, file.name, remedy)])
    if len(ways) > 1:
        lines = [line for table in (*parts.curves, *parts.small) for line in table.above]
        texts = [value.text for one in statements(lines) for value in one.values]
        clear = {found[0].decimal for text in texts if len(found := ways_of([[text]])) == 1
                 and found[0].decimal in text}  # fmt: skip
        left = [way for way in ways if {way.decimal} == clear]
        if len(left) == 1:
            return left[0], left[0].decimal
        return _asked_way(columns, ways, asking)
    texts_hold = any(
        type(cell) is str and ways[0].decimal in cell for col in columns for cell in col
    )
    return ways[0], ways[0].decimal if texts_hold else ""


def _asked_way(
    columns: Sequence[Sequence[str]], ways: Sequence[Way], asking: Asking
) -> tuple[Way, str]:
    example = next(cell for col in columns for cell in col if any(s in cell for s in ".,'"))
    what = f'Figures such as "{example}" can be read in two ways. Which sign is the decimal sign?'
    choices = tuple(dict.fromkeys(way.decimal for way in ways))
    answer = asking.ask("decimal", what, choices)
    return next((way for way in ways if way.decimal == answer), ways[0]), answer or ""


def _mixed(columns: Sequence[Sequence[str]]) -> str:
    points = next((c for col in columns for c in col if "." in c and is_figure(c)), "")
    commas = next((c for col in columns for c in col if "," in c and is_figure(c)), "")
    return f"{points} and {commas}"


def _form(curves: Sequence[Table]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Headings and units of all curves, each pair once, in their order."""
    pairs = dict.fromkeys(
        pair for table in curves for pair in zip(table.headings, table.units, strict=True)
    )
    return tuple(one for one, _ in pairs), tuple(unit for _, unit in pairs)


def _how(file: Opened, delimiter: str, way: Way) -> str:
    if not delimiter:
        return f"workbook, {len(file.tabs)} sheet{'s' if len(file.tabs) > 1 else ''}"
    signs = f'decimal sign "{way.decimal}"'
    signs += f', thousands sign "{way.thousands}"' if way.thousands else ""
    return f"{file.encoding} text parted by {_NAMES[delimiter]}, {signs}"
