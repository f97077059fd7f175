"""What the metadata of an export states: sizes, the specimen's name, its largest force, units.

Read first: :func:`statements`, which parts lines into keys and values.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from beadwright.interop.load_frame.figures import Way, as_float, is_figure, places_of, ways_of
from beadwright.interop.load_frame.found import Size
from beadwright.interop.load_frame.layout import Asking
from beadwright.interop.load_frame.opened import Line
from beadwright.interop.load_frame.unit_texts import kinds_of, parted, per_unit, sign_of
from beadwright.interop.load_frame.words import is_label, is_peak, is_speed, is_units, size_of
from beadwright.units import accepted

__all__ = [
    "LEAVE_OUT",
    "Statement",
    "Value",
    "labels",
    "number_of",
    "peaks",
    "sizes",
    "speeds",
    "statements",
    "units_told",
]

LEAVE_OUT = "leave out"
_VALUE = re.compile(
    r"(?P<number>[+\-\u2212]?[\d.,'\u2019\u00a0\u202f ]*\d[.,]?(?:[eE][+-]?\d+)?)\s*(?P<unit>\D.*)?"
)
_SPLIT = re.compile(r"\s*[:=]\s*")


@dataclass(frozen=True, slots=True)
class Value:
    """A number of the metadata as written, and its unit; empty where none is."""

    text: str
    unit: str

    def __str__(self) -> str:
        """Return both."""
        return f"{self.text} {self.unit}".strip()


@dataclass(frozen=True, slots=True)
class Statement:
    """A key and what stands behind it."""

    line: int
    key: str
    text: str
    values: tuple[Value, ...]


def statements(lines: Iterable[Line]) -> list[Statement]:
    """Part the lines of the metadata into keys and values."""
    return [one for line in lines for one in _statement(line)]


def _statement(line: Line) -> Iterator[Statement]:
    cells = [cell for cell in (line.wide or line.cells) if cell]
    if not cells:
        return
    first = str(cells[0])
    parts = _SPLIT.split(first, maxsplit=1)
    if len(parts) > 1 and parts[1]:
        key, rest = parts[0], [parts[1], *cells[1:]]
    else:
        key, rest = parts[0], list(cells[1:])
    if not key or not rest:
        return
    name, unit = parted(key)
    if not unit and (bracket := re.search(r"[\[(]([^\])]+)[\])]\s*$", key)):
        name, unit = key[: bracket.start()].strip(), sign_of(bracket[1])
    yield Statement(line.number, name, str(rest[0]), tuple(_values(rest, unit)))


def _values(cells: Sequence[str], unit: str) -> Iterator[Value]:
    place = 0
    while place < len(cells):
        cell = cells[place]
        behind = cells[place + 1] if place + 1 < len(cells) else ""
        place += 1
        if is_figure(cell):
            own = sign_of(behind) if behind and not is_figure(behind) else ""
            yield Value(str(cell), own if own and len(own) < 8 else unit)  # noqa: PLR2004 - a sign
        elif match := _VALUE.fullmatch(cell):
            number = match["number"].strip()
            if is_figure(number):
                yield Value(number, sign_of(match["unit"] or "") or unit)


def labels(told: Sequence[Statement]) -> list[Statement]:
    """Return the lines that name a specimen."""
    return [one for one in told if is_label(one.key) and one.text]


def units_told(told: Sequence[Statement]) -> dict[str, str]:
    """Return the units that the metadata tells for all columns, by kind; a doubtful one is none."""
    found: dict[str, set[str]] = {}
    for one in told:
        if is_units(one.key):
            for text in re.split(r"[,;\s]+", one.text):
                for kind in kinds_of(sign_of(text.rpartition(":")[2])):
                    found.setdefault(kind, set()).add(sign_of(text.rpartition(":")[2]))
    return {kind: units.pop() for kind, units in found.items() if len(units) == 1}


def number_of(value: Value, way: Way | None) -> float | None:
    """Return a number of the metadata: by its own form, else as the file's figures are written."""
    ways = ways_of([[value.text]])
    if len(ways) == 1:
        return as_float(value.text, ways[0])
    if way is not None:
        return as_float(value.text, way)
    return None


def peaks(told: Sequence[Statement], way: Way | None) -> list[tuple[Statement, float, str, float]]:
    """Return each largest force stated: where, the number, its unit, half its last digit."""
    found = []
    for one in told:
        for value in one.values if is_peak(one.key) else ():
            number = number_of(value, way)
            if number is not None:
                places = places_of(value.text, way or Way(".", ""))
                found.append((one, abs(number), value.unit, 0.5 * 10.0**-places))
    return found


def speeds(told: Sequence[Statement], way: Way | None) -> list[float]:
    """Return each rate of the crosshead stated, in m/s, where its unit is a length over a time."""
    found = []
    for one in told:
        for value in one.values if is_speed(one.key) else ():
            over, _, under = value.unit.partition("/")
            length, time = per_unit(over, "travel"), per_unit(under, "time")
            number = number_of(value, way)
            if number is not None and length and time:
                found.append(number * length / time)
    return found


def sizes(
    told: Sequence[Statement], way: Way | None, asking: Asking, which: tuple[int, int]
) -> tuple[Size, ...]:
    """Return the sizes stated for one specimen; of a list of values, the one at its place.

    ``which`` is the specimen's place among how many that share these lines.
    """
    texts: dict[str, list[Value]] = {}
    for one in told:
        name = size_of(one.key)
        if name and one.values:
            place, count = which
            several = len(one.values) == count and count > 1
            kept = [one.values[place]] if several else list(one.values)
            texts.setdefault(name, []).extend(kept)
    made = (_size(name, values, way, asking) for name, values in texts.items())
    return tuple(one for one in made if one is not None)


def _size(name: str, values: list[Value], way: Way | None, asking: Asking) -> Size | None:
    different = list(dict.fromkeys(values))
    if len(different) > 1:
        said = tuple(str(one) for one in different)
        what = f"The file states several values for the {name}: {', '.join(said)}."
        answer = asking.ask(f"size.{name}", what, (*said, LEAVE_OUT))
        if answer is None or answer == LEAVE_OUT:
            return None
        different = [different[said.index(answer)]]
    value = different[0]
    number = number_of(value, way)
    if number is None:
        what = f'The {name} "{value}" can be read in two ways.'
        choices = tuple(f"{as_float(value.text, one):g}" for one in ways_of([[value.text]]))
        answer = asking.ask(f"size.{name}", what, (*choices, LEAVE_OUT))
        if answer is None or answer == LEAVE_OUT:
            return None
        number = float(answer)
    unit = value.unit
    if per_unit(unit, name) is None:
        stated = f'has the unit "{unit}", which is none of it' if unit else "has no unit"
        what = f"The {name} {value.text} {stated}."
        kind = {"mass": "mass", "area": "area"}.get(name, "length")
        choices = (*accepted(kind), LEAVE_OUT)  # type: ignore[arg-type]
        answer = asking.ask(f"unit.{name}", what, choices)
        if answer is None or answer == LEAVE_OUT:
            return None
        unit = answer
    factor = per_unit(unit, name)
    if factor is None or not number > 0:
        return None
    return Size(name, number * factor, f"{value.text} {unit}")
