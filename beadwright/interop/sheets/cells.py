"""What one cell of a sheet may hold, and one row of it.

A cell is text, a whole number (a count, or UTC milliseconds), or a :class:`Measure`. Every cell
has one canonical text (:func:`written`), free of the sheet's decimal sign, date style and
delimiter; a row's canonical texts go into the record as facts, so that a later correction can
restate the row when its file is long gone (:func:`recalled`).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal
from enum import Enum
from functools import lru_cache
from typing import cast

from beadwright.errors import BeadwrightError, position
from beadwright.units import Kind, converter, parse_number, to_mg

__all__ = [
    "KEPT",
    "BadCell",
    "Cell",
    "Field",
    "Measure",
    "Row",
    "Sort",
    "measured",
    "recalled",
    "written",
]

KEPT = "as keyed"


class Sort(Enum):
    """What a field's cells are; the value of a quantity is its kind of unit."""

    TEXT = "text"
    CODE = "code"
    TIME = "time"
    PERSON = "person"
    CHOICE = "choice"
    COUNT = "pieces"
    MASS = "mass"
    LENGTH = "length"
    VOLUME = "volume"
    HOURS = "duration"
    DENSITY = "density"
    PRESSURE = "pressure"
    FRACTION = "fraction"
    RESISTANCE = "thermal_resistance"
    CONDUCTIVITY = "thermal_conductivity"
    PERMEANCE = "vapour_permeance"
    TEMPERATURE = "temperature"
    DIFFERENCE = "temperature_difference"
    FORCE = "force"

    @property
    def quantity(self) -> Kind | None:
        """Kind of unit that the column's header must state, if any."""
        return _QUANTITIES.get(self)


_QUANTITIES: Mapping[Sort, Kind] = {
    Sort.MASS: "mass",
    Sort.LENGTH: "length",
    Sort.VOLUME: "volume",
    Sort.HOURS: "duration",
    Sort.DENSITY: "density",
    Sort.PRESSURE: "pressure",
    Sort.FRACTION: "fraction",
    Sort.RESISTANCE: "thermal_resistance",
    Sort.CONDUCTIVITY: "thermal_conductivity",
    Sort.PERMEANCE: "vapour_permeance",
    Sort.TEMPERATURE: "temperature",
    Sort.DIFFERENCE: "temperature_difference",
    Sort.FORCE: "force",
}


@dataclass(frozen=True, slots=True)
class Field:
    """A field of a sheet kind."""

    name: str
    sort: Sort = Sort.TEXT
    required: bool = True
    choices: tuple[str, ...] = ()
    positive: bool = False
    """Zero makes no sense either."""
    unit: str = ""
    """Unit taken where the header states none; empty: the header must state one."""
    signed: bool = False
    """Below zero makes sense: a change. Everywhere else it is refused."""


@dataclass(frozen=True, slots=True)
class Measure:
    """A value with its unit as keyed, and in SI; a mass in whole milligrams too."""

    text: str
    unit: str
    si: Decimal
    mg: int
    keyed: str
    """Value and unit in one text."""


Cell = str | int | Measure


class BadCell(BeadwrightError):
    """A cell that does not hold what its field needs; becomes a fault with its place."""

    def __init__(self, code: str, what: str, remedy: str) -> None:
        """Keep a code, a sentence and what to do."""
        super().__init__(code, what, remedy)
        self.code = code
        self.what = what
        self.remedy = remedy


@dataclass(slots=True)
class Row:
    """One row of a sheet, its cells read; where it stands, for messages."""

    kind: str
    id: str
    file: str
    number: int
    """As a spreadsheet counts: the header is row 1."""
    cells: dict[str, Cell]
    headers: Mapping[str, str] = field(default_factory=dict)
    bad: bool = False
    kept: frozenset[str] = frozenset()
    """Fields whose value a person said stands as keyed."""
    times: frozenset[str] = frozenset()
    """Fields that hold a time."""
    clock: Callable[[int], str] = str
    """Writes a time as the sheet does."""
    letters: Mapping[str, str] = field(default_factory=dict)
    """Of a workbook: the letters of each field's column."""

    @property
    def key(self) -> str:
        """Client key of the row's step."""
        return f"{self.kind}/{self.id}"

    @property
    def readings_key(self) -> str:
        """Client key of the row's readings."""
        return f"{self.kind}/{self.id}/readings"

    @property
    def by(self) -> str:
        """Id of the person who did it."""
        return cast("str", self.cells.get("by", ""))

    def text(self, name: str) -> str:
        """Text of a field, empty where the cell is."""
        return cast("str", self.cells.get(name, ""))

    def number_of(self, name: str) -> int:
        """Count or time of a field; 0 where the cell is empty."""
        return cast("int", self.cells.get(name, 0))

    def measure(self, name: str) -> Measure | None:
        """Measure of a field, if its cell holds one."""
        return cast("Measure | None", self.cells.get(name))

    def mg(self, name: str) -> int:
        """Mass of a field in milligrams; 0 where the cell is empty."""
        found = self.measure(name)
        return found.mg if found else 0

    def keyed(self, name: str) -> str:
        """Value and unit of a field as keyed; empty where the cell is."""
        found = self.cells.get(name)
        return "" if found is None else written(found)

    def shown(self, name: str) -> str:
        """Value of a field as a person wrote it: a time as a time, a quantity with its unit."""
        return self.clock(self.number_of(name)) if name in self.times else self.keyed(name)

    def facts(self) -> dict[str, str]:
        """Canonical texts of the row: what the record keeps beside the step."""
        facts = {name: written(cell) for name, cell in self.cells.items() if name != "by"}
        if self.kept:
            facts["kept"] = KEPT
        return facts

    def where(self, name: str = "") -> str:
        """Where a field stands, for a message."""
        header = self.headers.get(name, name)
        if name in self.letters:
            return position(f"{self.file}, cell {self.letters[name]}{self.number}", None, header)
        return position(self.file, self.number, header)

    def address(self, name: str) -> str:
        """Where a field stands, as an answer names it: file, row, field."""
        return f"{self.file}:{self.number}:{name}"

    def with_cells(self, cells: dict[str, Cell]) -> Row:
        """Return the row with other cells."""
        return replace(self, cells=cells)


def written(cell: Cell) -> str:
    """Canonical text of a cell: decimal point, no thousands sign, UTC milliseconds."""
    if isinstance(cell, Measure):
        return cell.keyed
    return cell if isinstance(cell, str) else str(cell)


def recalled(spec: Field, text: str) -> Cell:
    """Read a cell back from its canonical text."""
    if spec.sort in {Sort.TIME, Sort.COUNT}:
        return int(text)
    kind = spec.sort.quantity
    if kind is None:
        return text
    number, _, unit = text.partition(" ")
    return measured(parse_number(number, decimal="."), unit, kind)


def measured(number: Decimal, unit: str, kind: Kind) -> Measure:
    """Make a measure of a number in a unit."""
    mg = to_mg(number, unit) if kind == "mass" else 0
    text = f"{number:f}"
    return Measure(text, unit, _converter(unit, kind)(number), mg, f"{text} {unit}")


_converter = lru_cache(maxsize=256)(converter)
