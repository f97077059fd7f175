"""The answer of a wall sheet in words, the same in the shell and on a page.

Read :func:`wall_words`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal

from beadwright.plant.wall.sheet import WallSheet
from beadwright.plant.wall.storey import MIX_WORDS, MOST_COURSES
from beadwright.plant.words import number
from beadwright.plant.worked_words import Told, told_all
from beadwright.units import System, from_si

__all__ = ["length_in", "short_chance", "short_length", "wall_told", "wall_words"]

_LEAST = 0.001
"""Share below which a chance is said to be below it: no tail is known better."""


def wall_words(found: WallSheet, units: System) -> tuple[str, ...]:
    """Say where the courses end, for each mix of lots; or what is lacking."""
    return tuple(_sentences(found, units))


def wall_told(found: WallSheet, units: System) -> tuple[Told, ...]:
    """Give the sheet's lines in words, no chance told better than it is known."""
    value = {one.key: one.value for one in found.lines}
    return tuple(
        replace(one, value=short_chance(share))
        if one.key.startswith("chance_") and (share := value[one.key]) is not None
        else one
        for one in told_all(found.lines, units)
    )


def short_length(value_m: float, units: System, digits: int) -> str:
    """Give a length in mm, or in inches with a digit more."""
    if units == "us":
        return f"{length_in(value_m, 'in'):.{digits + 1}f} in"
    return f"{length_in(value_m, 'mm'):.{digits}f} mm"


def length_in(value_m: float, unit: str) -> float:
    """Give a length in a unit."""
    return float(from_si(Decimal(repr(value_m)), unit, "length"))


def _sentences(found: WallSheet, units: System) -> Iterator[str]:
    if found.measured.heights is None:
        yield f"Not known: there are no {found.measured.why_not}."
        return
    ends = {one.key: one for one in found.storey if one.key.startswith(("ends_", "chance_"))}
    lacking = dict.fromkeys(part for one in ends.values() for part in one.lacking)
    if lacking:
        yield f"Not known without: {'; '.join(lacking).lower()}."
        return
    told = {one.key: one for one in told_all(found.lines, units)}
    value = {one.key: one.value or 0.0 for one in found.lines}
    off = value["courses"] * value["nominal"] - value["storey"]
    if abs(off) > value["tolerance"]:
        count = number(round(value["courses"]), "course")
        yield (
            f"{count} of {told['nominal'].value} as drawn are not {told['storey'].value}, but"
            f" {short_length(abs(off), units, 1)} {'more' if off > 0 else 'less'}: one is cut."
        )
    for mix, words in MIX_WORDS.items():
        if f"ends_{mix}" in ends:
            end, chance = told[f"ends_{mix}"], ends[f"chance_{mix}"].value or 0.0
            yield (
                f"With {words} the top ends {end.value} off ({end.band}), above 0 too high;"
                f" a chance {_of(chance)} to end beyond the tolerance."
            )
    if value["courses"] > MOST_COURSES:
        count = number(round(value["courses"]), "course")
        yield f"This is of {count}; course by course is shown up to {MOST_COURSES}."


def _of(share: float) -> str:
    text = short_chance(share)
    return text if text.startswith(("below", "above")) else f"of {text}"


def short_chance(share: float) -> str:
    """Give a chance in two figures; below a thousandth, or as near to one, that it is so."""
    if share < _LEAST:
        return f"below {100 * _LEAST:g} %"
    if share > 1 - _LEAST:
        return f"above {100 * (1 - _LEAST):g} %"
    return f"{100 * share:.2g} %" if share < 0.99 else f"{100 * share:.1f} %"  # noqa: PLR2004 - 99 %
