"""What each column of a table is taken for, in which unit, and why.

Read first: :func:`taken`. The words of the heading and the kind of its unit must agree; where they
do not, or two columns could be the force, a person is asked.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from beadwright.interop.load_frame.figures import Way, as_float
from beadwright.interop.load_frame.found import KINDS, Column, Role
from beadwright.interop.load_frame.layout import Asking
from beadwright.interop.load_frame.stated import LEAVE_OUT
from beadwright.interop.load_frame.unit_texts import kinds_of, parted, per_unit
from beadwright.interop.load_frame.words import Word, role_of
from beadwright.units import accepted

__all__ = ["Mark", "marks_of", "taken", "with_units"]

_ALIKE = 1e-3


@dataclass(frozen=True, slots=True)
class Mark:
    """One column as it stands: its words, its unit from heading and row of units, its figures."""

    place: int
    heading: str
    name: str
    word: Word
    unit: str
    second: str
    """The unit of the row of units, where the heading states another."""
    values: NDArray[np.float64] = field(repr=False, compare=False)

    @property
    def role(self) -> Role | None:
        """What words and unit together make of it; None where they say nothing."""
        kinds = kinds_of(self.unit)
        if self.word == "deformation":
            if "length" in kinds:
                return "travel"
            return "strain" if "fraction" in kinds else None
        if self.word in KINDS:
            return self.word  # type: ignore[return-value]
        return None

    @property
    def named(self) -> str:
        """How it is shown."""
        return self.heading or f"column {self.place + 1}"


def marks_of(
    headings: Sequence[str], units: Sequence[str], columns: Sequence[Sequence[str]], way: Way
) -> list[Mark]:
    """Read headings, units and figures of a table's columns."""
    marks = []
    for place, (heading, below) in enumerate(zip(headings, units, strict=True)):
        name, unit = parted(heading)
        second = below if unit and below and below != unit else ""
        cells = columns[place]
        values = np.array(
            [np.nan if (v := as_float(cell, way)) is None else v for cell in cells], float
        )
        marks.append(Mark(place, heading, name, role_of(name), unit or below, second, values))
    return marks


def taken(marks: Sequence[Mark], asking: Asking) -> list[Column]:
    """Say what each column is taken for; whatever is in doubt is asked."""
    filled = [mark for mark in marks if np.isfinite(mark.values).any()]
    force = _chosen("force", filled, asking)
    travel = _chosen("travel", filled, asking)
    stress = _chosen("stress", filled, asking, by_unit=False)
    strain = _chosen("strain", filled, asking, by_unit=False)
    time = _chosen("time", filled, asking, by_unit=False)
    if force is None and stress is None:
        force = _asked_for("force", marks, (travel, strain, time), asking)
    if travel is None and strain is None:
        travel = _asked_for("travel", marks, (force, stress, time), asking)
    chosen = {"force": force, "travel": travel, "stress": stress, "strain": strain, "time": time}
    roles = {mark.place: (role, why) for role, one in chosen.items() if one for mark, why in [one]}
    columns = []
    for mark in marks:
        role, why = roles.get(mark.place, (_other(mark), _why_not(mark)))
        unit = mark.unit if role != "specimen" else ""
        columns.append(Column(mark.place, mark.named, role, unit, why, mark.values))  # type: ignore[arg-type]
    return [_one_unit(column, mark, asking) for column, mark in zip(columns, marks, strict=True)]


_Chosen = tuple[Mark, str] | None


def _chosen(role: Role, marks: Sequence[Mark], asking: Asking, *, by_unit: bool = True) -> _Chosen:
    """Choose the column of a role: by its words, else as the only one in a unit of its kind."""
    named = [mark for mark in marks if mark.role == role]
    if not named and by_unit:
        kind = KINDS[role]
        plain = [mark for mark in marks if not mark.word and kind in kinds_of(mark.unit)]
        if len(plain) == 1:
            return plain[0], f"the only column in a unit of {kind}, {plain[0].unit}"
        named = plain
    if not named:
        return None
    if len(named) == 1:
        return named[0], f'the words of its heading: "{named[0].name}"'
    if (same := _the_same(role, named)) is not None:
        others = ", ".join(f'"{mark.named}"' for mark in named if mark is not same)
        return same, f"the words of its heading; {others} holds the same figures"
    what = f"Several columns could be the {role}: {_listed(named)}."
    names = _names(named)
    choices = (*names, LEAVE_OUT) if role not in {"force", "travel"} else names
    answer = asking.ask(role, what, choices)
    if answer is None or answer == LEAVE_OUT:
        return None
    return named[names.index(answer)], "a person said so"


def _the_same(role: Role, marks: Sequence[Mark]) -> Mark | None:
    """Return the first of columns that hold one series of figures in their units, else None."""
    factors = [per_unit(mark.unit, role) or 0.0 for mark in marks]
    if not all(factors):
        return None
    series = [mark.values * factor for mark, factor in zip(marks, factors, strict=True)]
    width = float(np.nanmax(np.abs(series[0]))) if np.isfinite(series[0]).any() else 0.0
    same = all(
        np.allclose(one, series[0], rtol=_ALIKE, atol=_ALIKE * width, equal_nan=True)
        for one in series[1:]
    )
    return marks[0] if same and width else None


def _asked_for(
    role: Role, marks: Sequence[Mark], used: Sequence[_Chosen], asking: Asking
) -> _Chosen:
    """Ask for a column that no words and no unit give."""
    if role in asking.open:
        return None
    gone = {one[0].place for one in used if one}
    left = [
        mark for mark in marks
        if mark.place not in gone and np.isfinite(mark.values).any()
        and mark.word in {"", "deformation", "other", role}
    ]  # fmt: skip
    names = _names(left)
    if not left:
        return None
    answer = asking.ask(role, f"No heading says which column is the {role}.", names)
    return None if answer is None else (left[names.index(answer)], "a person said so")


def _names(marks: Sequence[Mark]) -> tuple[str, ...]:
    """Names to choose by; of columns of one name, with their place."""
    names = [mark.named for mark in marks]
    return tuple(
        name if names.count(name) == 1 else f"{name} (column {mark.place + 1})"
        for name, mark in zip(names, marks, strict=True)
    )


def _listed(marks: Sequence[Mark]) -> str:
    return ", ".join(f'"{name}"' for name in _names(marks))


def _other(mark: Mark) -> Role:
    return "specimen" if mark.word == "specimen" else "other"


def _why_not(mark: Mark) -> str:
    if mark.word == "specimen":
        return "the words of its heading: it names the specimen"
    if not np.isfinite(mark.values).any():
        return "it holds no figures"
    if mark.role is not None:
        return f"another column is the {mark.role}"
    if mark.word == "other":
        return "its heading says that it is no measured force, travel or time"
    return "its heading says none of them"


def _one_unit(column: Column, mark: Mark, asking: Asking) -> Column:
    """Settle a unit that heading and row of units state differently, or that is none."""
    role = column.taken_for
    if role not in KINDS:
        return column
    good = [u for u in (mark.unit, mark.second) if u and per_unit(u, role) is not None]
    if mark.second and len(good) > 1 and per_unit(good[0], role) != per_unit(good[1], role):
        what = f'The heading "{mark.heading}" and the row of units, {mark.second}, disagree.'
        answer = asking.ask(f"unit.{role}", what, (*good, *_optional(role)))
        return _answered(column, answer)
    if mark.unit and not good:
        what = f'"{mark.unit}", the unit of "{mark.named}", is no unit of {_of(role)} we take.'
        answer = asking.ask(f"unit.{role}", what, (*_units(role), *_optional(role)))
        return _answered(column, answer)
    return replace(column, unit=good[0]) if good else column


def _answered(column: Column, answer: str | None) -> Column:
    """Give a column with the unit that a person said; without one while nobody has."""
    why = f"{column.why}; a person said its unit" if answer else column.why
    return _with(column, answer or "", why)


def with_units(
    columns: Sequence[Column], told: dict[str, str], decided: dict[str, tuple[str, str]],
    asking: Asking,
) -> Iterator[Column]:  # fmt: skip
    """Give each measured column its unit: its own, the metadata's, one that figures decide; or ask.

    ``decided`` holds what cross-checks decide, with the reason.
    """
    for column in columns:
        role = column.taken_for
        if role not in KINDS or f"unit.{role}" in asking.open:
            yield column
            continue
        stated = told.get(KINDS[role], "")
        if column.unit:
            if stated and per_unit(stated, role) != per_unit(column.unit, role):
                yield _disagreeing(column, stated, asking)
            else:
                yield column
        elif stated:
            yield replace(column, unit=stated, why=f"{column.why}; unit {stated} by the metadata")
        elif role in decided:
            unit, why = decided[role]
            yield replace(column, unit=unit, why=f"{column.why}; {why}")
        else:
            what = f'No unit is stated for "{column.heading}", taken for {_of(role)}.'
            answer = asking.ask(f"unit.{role}", what, (*_units(role), *_optional(role)))
            yield _answered(column, answer)


def _disagreeing(column: Column, stated: str, asking: Asking) -> Column:
    role = column.taken_for
    what = f'"{column.heading}" is in {column.unit}, and the metadata says {stated}.'
    answer = asking.ask(f"unit.{role}", what, (column.unit, stated))
    return _answered(column, answer)


def _with(column: Column, unit: str, why: str) -> Column:
    if unit == LEAVE_OUT:
        return replace(column, taken_for="other", unit="", why="a person left it out")
    return replace(column, unit=unit, why=why)


def _optional(role: str) -> tuple[str, ...]:
    return (LEAVE_OUT,) if role in {"time", "stress", "strain"} else ()


def _units(role: str) -> tuple[str, ...]:
    return accepted(KINDS[role])  # type: ignore[arg-type]


def _of(role: str) -> str:
    return {"travel": "travel (a length)"}.get(role, role)
