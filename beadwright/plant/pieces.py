"""A lot's readings gathered by piece, and what its ties weigh: what every later figure rests on.

Read :func:`gathered` first. Replicates of one piece make one value; voided readings are not here.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from beadwright.ledger.lots import Making
from beadwright.plant.products import Product
from beadwright.quality.characteristics import CHARACTERISTICS, DEFECTS, STATES, Level, Scale
from beadwright.quality.conditions import LACKS
from beadwright.quality.readings import ReadingView

if TYPE_CHECKING:
    from beadwright.plant.first_pieces import FirstPiece

__all__ = [
    "Basis",
    "Defects",
    "Ids",
    "Ties",
    "Value",
    "by_piece",
    "counted",
    "defects_of",
    "gathered",
    "specimens",
    "state_of",
    "ties_of",
]

_Key = tuple[str, str, str]
"""Characteristic, state, piece."""

Ids = tuple[tuple[int, int], ...]
"""Readings by entry and number within it."""

_MASS_STATE = {characteristic: state for state, characteristic in STATES.items()}
_MEASURED = frozenset({Scale.RATIO, Scale.CHANGE})
_PART = "specimen_"
_A_DAY_H = 24.0


@dataclass(frozen=True, slots=True)
class Value:
    """One piece's value of one characteristic, in SI, and the readings it rests on."""

    characteristic: str
    si: float
    u_si: float | None
    """Standard uncertainty, of what was stated; None where nothing was."""
    state: str
    """``press``, ``24h`` or ``dry`` of a block; ``specimen``; empty where nobody said."""
    piece: str
    ids: Ids
    partly: bool = False
    """Whether its uncertainty lacks a part, as that of the scale, which nobody stated."""
    keyed: tuple[str, str] = ("", "")
    """Number and unit as they were read; empty of what was worked out."""


@dataclass(frozen=True, slots=True)
class Ties:
    """Ties really drawn for a lot: mean mass of one, and its spread between the cartons."""

    unit_kg: float
    u_kg: float
    cartons: tuple[tuple[str, int, int], ...]
    """Carton, pieces drawn, mass of one in mg."""


@dataclass(frozen=True, slots=True)
class Basis:
    """What one lot is assessed from."""

    lot: str
    product: Product | None
    ties: Ties | None
    readings: Sequence[ReadingView]
    made_at_ms: int | None
    """When its last mould run began; None where nothing was made."""
    runs: tuple[tuple[int, int], ...] = ()
    """When its mould runs began and ended."""
    day_old_h: float = 0.0
    """Hours from which a block of it is a day old."""
    first: tuple[FirstPiece, ...] = ()
    """First pieces that it had to wait for."""
    ageing: tuple[tuple[str, str, str], ...] = ()
    """Grade, least and most hours of ageing that were in force in its mould runs."""


@dataclass(frozen=True, slots=True)
class Defects:
    """Pieces looked at, and those found defective, by kind."""

    checked: int
    defective: tuple[tuple[str, int], ...]

    @property
    def total(self) -> int:
        """Defective pieces of all kinds."""
        return sum(number for _, number in self.defective)


def ties_of(makings: Iterable[Making]) -> Ties | None:
    """Ties of the cartons that a lot's mould runs drew; None where they drew none."""
    drawn: dict[tuple[str, int], int] = {}
    for making in makings:
        for one in making.inputs:
            if one.kind == "tie" and one.pieces:
                unit_mg = one.unit_mg or round(one.mg / one.pieces)
                key = (one.lot, unit_mg)
                drawn[key] = drawn.get(key, 0) + one.pieces
    total = sum(drawn.values())
    if not total:
        return None
    mean = sum(unit * n for (_, unit), n in drawn.items()) / total
    spread = sum(n * (unit - mean) ** 2 for (_, unit), n in drawn.items()) / total
    cartons = tuple(sorted((lot, n, unit) for (lot, unit), n in drawn.items()))
    return Ties(mean / 1e6, math.sqrt(spread) / 1e6, cartons)


def gathered(readings: Iterable[ReadingView]) -> list[Value]:
    """Values by piece: masses and dimensions of blocks, what was tested on specimens of them."""
    groups: list[tuple[_Key, list[ReadingView]]] = []
    newest: dict[_Key, list[ReadingView]] = {}
    for reading in readings:
        known = CHARACTERISTICS.get(reading.characteristic)
        if known is None or known.scale not in _MEASURED or reading.si is None:
            continue
        if known.name.startswith(_PART):
            continue  # what a specimen's density is calculated from
        key = (reading.characteristic, state_of(reading), reading.specimen)
        if reading.specimen and reading.replicate > 1 and key in newest:
            newest[key].append(reading)
        else:
            newest[key] = [reading]
            groups.append((key, newest[key]))
    return [_mean(key, rows) for key, rows in groups]


def by_piece(values: Iterable[Value]) -> list[list[Value]]:
    """Give values piece by piece: a piece that was read twice is one; without a name each is one.

    >>> read = [("D1", 1), ("D2", 2), ("D1", 3), ("", 4)]
    >>> values = [Value("length", 1.2, None, "24h", piece, ((seq, 1),)) for piece, seq in read]
    >>> [len(some) for some in by_piece(values)]
    [2, 1, 1]
    """
    found: dict[object, list[Value]] = {}
    for value in values:
        found.setdefault(value.piece or value.ids, []).append(value)
    return list(found.values())


def specimens(readings: Iterable[ReadingView]) -> list[tuple[str, dict[str, ReadingView]]]:
    """Weighed and measured specimens: each one's readings by field (``mass``, ``length`` …)."""
    groups: dict[tuple[int, str], dict[str, ReadingView]] = {}
    for reading in readings:
        name = reading.characteristic
        if name.startswith(_PART):
            fields = groups.setdefault((reading.seq, reading.specimen), {})
            fields[name.removeprefix(_PART)] = reading
    return [(piece, fields) for (_, piece), fields in groups.items()]


def counted(readings: Iterable[ReadingView]) -> Mapping[str, tuple[int, Ids]]:
    """Sum of each count over all inspections of a lot, with the readings it rests on."""
    found: dict[str, tuple[int, Ids]] = {}
    for reading in readings:
        known = CHARACTERISTICS.get(reading.characteristic)
        if known is not None and known.scale is Scale.COUNT and reading.si is not None:
            number, ids = found.get(reading.characteristic, (0, ()))
            new = (number + round(reading.si), (*ids, (reading.seq, reading.line)))
            found[reading.characteristic] = new
    return found


def defects_of(counts: Mapping[str, tuple[int, Ids]]) -> Defects:
    """Give the pieces looked at and found defective."""
    kinds = [(kind, counts.get(f"defective_{kind}", (0, ()))[0]) for kind in DEFECTS]
    return Defects(counts.get("checked", (0, ()))[0], tuple(kinds))


def state_of(reading: ReadingView) -> str:
    """State of the block: by the mass's characteristic, else as said, else by its age."""
    known = CHARACTERISTICS.get(reading.characteristic)
    if known is not None and known.level is Level.SPECIMEN:
        return "specimen"
    state = _MASS_STATE.get(reading.characteristic) or reading.facts.get("state", "")
    if state or "age_h" not in reading.facts:
        return state
    return "24h" if float(reading.facts["age_h"]) >= _A_DAY_H else "press"


def _mean(key: _Key, rows: Sequence[ReadingView]) -> Value:
    (one, *more) = rows
    if not more and one.si is not None:  # nearly always
        ids: Ids = ((one.seq, one.line),)
        keyed = (one.value, one.unit)
        return Value(key[0], one.si, one.u_si, key[1], key[2], ids, LACKS in one.facts, keyed)
    values = [row.si for row in rows if row.si is not None]
    if CHARACTERISTICS[key[0]].scale is Scale.CHANGE:
        # Replicates may be axes or sides: growth of one must not hide shrinkage of another.
        values = [max(values, key=abs)]
    stated = [row.u_si for row in rows if row.u_si is not None]
    u = max(stated) if stated else None  # replicates share a scale: its error does not average out
    ids = tuple((row.seq, row.line) for row in rows)
    partly = any(LACKS in row.facts for row in rows)
    keyed = (rows[0].value, rows[0].unit)
    return Value(key[0], math.fsum(values) / len(values), u, key[1], key[2], ids, partly, keyed)
