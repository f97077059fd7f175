"""Rows of a study put in order: parts by people by trials, with every gap and every double named.

Read :func:`arranged`. A study is balanced or it is refused: what is missing is said cell by cell.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Generic, TypeVar

import numpy as np
from numpy.typing import NDArray

from beadwright.errors import Fault, Refusal

__all__ = ["Cells", "Nested", "StudyRow", "arranged", "in_order", "nested"]

_Value = TypeVar("_Value", Decimal, bool)
_LEAST = 2
_MOST_TOLD = 12
"""Gaps that are named one by one; of more, how many there are is enough."""


@dataclass(frozen=True, slots=True)
class StudyRow(Generic[_Value]):
    """One reading or judgement as a sheet holds it."""

    part: str
    person: str
    trial: str
    """Empty where the sheet does not say: then readings of a cell count in their order."""
    value: _Value
    where: str
    """Position in the sheet, as a message says it."""


@dataclass(frozen=True, slots=True)
class Cells(Generic[_Value]):
    """A balanced study."""

    parts: tuple[str, ...]
    people: tuple[str, ...]
    trials: int
    values: Mapping[tuple[int, int, int], _Value]

    @property
    def array(self) -> NDArray[np.float64]:
        """The figures as floats: parts by people by trials."""
        found = np.empty((len(self.parts), len(self.people), self.trials))
        for place, value in self.values.items():
            found[place] = float(value)
        return found


def arranged(rows: Sequence[StudyRow[_Value]], *, of: str = "part") -> Cells[_Value]:
    """Put rows in order: every person every part equally often.

    Raises
    ------
    Refusal
        With every cell that is missing or stands twice, or if there are fewer than two of
        anything.
    """
    parts = in_order(row.part for row in rows)
    people = in_order(row.person for row in rows)
    cells: dict[tuple[str, str], dict[str, StudyRow[_Value]]] = {}
    faults: list[Fault] = []
    for row in rows:
        cell = cells.setdefault((row.part, row.person), {})
        trial = row.trial or str(len(cell) + 1)
        if trial in cell:
            what = f"{of} {row.part}, {row.person}, trial {trial} stands in {cell[trial].where} too"
            remedy = "Number each trial of a cell once, or leave the column out."
            faults.append(Fault("study_repeated", what, trial, row.where, remedy))
        cell.setdefault(trial, row)
    trials = max(map(len, cells.values()), default=0)
    faults += _gaps((parts, people, trials), cells, of)
    faults += _few({f"{of}s": len(parts), "trials of each": trials})
    if faults:
        raise Refusal(faults)
    values = {
        (i, j, k): cells[part, person][trial].value
        for i, part in enumerate(parts)
        for j, person in enumerate(people)
        for k, trial in enumerate(in_order(cells[part, person]))
    }
    return Cells(parts, people, trials, values)


@dataclass(frozen=True, slots=True)
class Nested:
    """A balanced study in which each part is one person's own: testing destroys it."""

    people: tuple[str, ...]
    parts: tuple[tuple[str, ...], ...]
    """By person."""
    values: NDArray[np.float64]
    """People by parts of each by specimens."""


def nested(rows: Sequence[StudyRow[Decimal]]) -> Nested:
    """Put rows in order: every person as many parts of their own, of each as many specimens.

    Raises
    ------
    Refusal
        With every part that has too few, or that two people tested, or if there are fewer than
        two of anything.
    """
    found: dict[str, dict[str, list[Decimal]]] = {}
    whose: dict[str, str] = {}
    faults = []
    for row in rows:
        if whose.setdefault(row.part, row.person) != row.person:
            what = f"part {row.part} is {whose[row.part]}'s and {row.person}'s"
            remedy = "Of what testing destroys each part is one person's own; else it is crossed."
            faults.append(Fault("study_repeated", what, row.part, row.where, remedy))
        found.setdefault(row.person, {}).setdefault(row.part, []).append(row.value)
    many = max((len(parts) for parts in found.values()), default=0)
    trials = max((len(one) for parts in found.values() for one in parts.values()), default=0)
    remedy = "Test what is missing, or leave that part or person out altogether."
    for person, parts in found.items():
        if len(parts) != many:
            what = f"{person} has {len(parts)} of {many} parts"
            faults.append(Fault("study_incomplete", what, "", "", remedy))
        for part, own in parts.items():
            if len(own) != trials:
                what = f"{person} has {len(own)} of {trials} specimens of part {part}"
                faults.append(Fault("study_incomplete", what, "", "", remedy))
    faults += _few({"people": len(found), "parts of each": many, "specimens of each": trials})
    if faults:
        raise Refusal(faults)
    people = in_order(found)
    names = tuple(in_order(found[person]) for person in people)
    values = np.array(
        [[[float(one) for one in found[person][part]] for part in own]
         for person, own in zip(people, names, strict=True)]
    )  # fmt: skip
    return Nested(people, names, values)


def in_order(names: Iterable[str]) -> tuple[str, ...]:
    """Give each name once, numbers in them by their size: 2 before 10.

    >>> in_order(["P10", "P2", "P10", "P1"])
    ('P1', 'P2', 'P10')
    """
    return tuple(sorted(set(names), key=_key))


def _key(name: str) -> list[tuple[int, int, str]]:
    return [
        (0, int(part), "") if part.isdecimal() else (1, 0, part)
        for part in re.split(r"(\d+)", name)
        if part
    ]


def _gaps(
    size: tuple[Sequence[str], Sequence[str], int],
    cells: Mapping[tuple[str, str], Mapping[str, StudyRow[_Value]]],
    of: str,
) -> list[Fault]:
    parts, people, trials = size
    faults = []
    for part in parts:
        for person in people:
            number = len(cells.get((part, person), ()))
            if number != trials:
                what = f"{person} has {number} of {trials} trials of {of} {part}"
                remedy = "Measure what is missing, or leave that part or person out altogether."
                faults.append(Fault("study_incomplete", what, "", "", remedy))
    if len(faults) > _MOST_TOLD:
        what = f"{len(faults)} cells of {len(parts)} {of}s by {len(people)} people lack trials"
        remedy = "Check the columns of part, person and trial: a study has every combination."
        return [Fault("study_incomplete", what, "", "", remedy)]
    return faults


def _few(counted: Mapping[str, int]) -> list[Fault]:
    return [
        Fault("study_small", f"there are {number} {name}: {_LEAST} at least are needed")
        for name, number in counted.items()
        if number < _LEAST
    ]
