"""What was found in a load frame's export, and what is still open.

Read first: :class:`Found`. Nothing here reads a file.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from numpy.typing import NDArray

__all__ = ["KINDS", "ROLES", "Block", "Column", "Found", "Question", "Role", "Signature", "Size"]

Role = Literal["force", "travel", "time", "stress", "strain", "specimen", "other"]
"""What a column may be taken for."""

ROLES: tuple[Role, ...] = ("force", "travel", "time", "stress", "strain")
"""Those that are measured, and have a unit."""

KINDS = {
    "force": "force",
    "travel": "length",
    "time": "duration",
    "stress": "pressure",
    "strain": "fraction",
}
"""Kind of unit of each."""


@dataclass(frozen=True, slots=True)
class Question:
    """One thing that the file leaves open; an answer is one of the choices."""

    field: str
    what: str
    choices: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Column:
    """A column: what it was taken for, in which unit, and why."""

    place: int
    """Its place in the sheet, the first being 0."""
    heading: str
    taken_for: Role
    unit: str
    """Empty where it has none, or nobody has said it yet."""
    why: str
    values: NDArray[np.float64] = field(repr=False, compare=False)
    """As in the file, in ``unit``; not a number where the cell holds none."""


@dataclass(frozen=True, slots=True)
class Size:
    """A dimension, the loaded area or the mass of a specimen, as the file states it."""

    name: str
    si: float
    text: str
    """As written, with its unit."""


@dataclass(frozen=True, slots=True)
class Block:
    """The curve of one specimen."""

    name: str
    where: str
    columns: tuple[Column, ...]
    sizes: tuple[Size, ...] = ()
    agreed: tuple[str, ...] = ()
    """What in the file agrees with how the columns were taken."""

    def column(self, role: Role) -> Column | None:
        """Return the column that was taken for something, if any."""
        return next((one for one in self.columns if one.taken_for == role), None)

    def size(self, name: str) -> float | None:
        """Return a stated size in SI, if any."""
        return next((one.si for one in self.sizes if one.name == name), None)


@dataclass(frozen=True, slots=True)
class Signature:
    """How a file is written: by this a layout is recognised again."""

    delimiter: str
    decimal: str
    """Empty where it is open, or the cells are numbers and have none."""
    headings: tuple[str, ...]
    units: tuple[str, ...]

    def fits(self, other: Signature) -> bool:
        """Whether two files are written alike; an open decimal sign fits either."""
        signs = {self.decimal, other.decimal} - {""}
        mine = (self.delimiter, self.headings, self.units)
        return mine == (other.delimiter, other.headings, other.units) and len(signs) <= 1


@dataclass(frozen=True, slots=True)
class Found:
    """All that was found in one file."""

    name: str
    signature: Signature
    how: str
    """Encoding, delimiter and signs of numbers, in words."""
    blocks: tuple[Block, ...]
    questions: tuple[Question, ...]
    notes: tuple[str, ...]
    answers: tuple[tuple[str, str], ...] = ()
    """What a person or a layout answered, and the file asked."""
    answered: tuple[Question, ...] = ()
    """The questions of those answers: they can be answered anew."""
