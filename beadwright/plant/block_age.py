"""How old a block can have been when it was weighed: what its mould runs leave of the age stated.

Read :func:`age_h`. A block that is said to be a day old or dry, and by the record was not, carries
more water than its state allows: counted as said, it would look heavier than it is.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import product
from typing import TYPE_CHECKING

from beadwright.ledger.fold import Dated
from beadwright.plant.pieces import state_of
from beadwright.quality.characteristics import CHARACTERISTICS, STATES, Level
from beadwright.quality.readings import ReadingView

if TYPE_CHECKING:
    from beadwright.ledger.lots import Making

__all__ = [
    "AFTER_A_DAY",
    "COMMON_H",
    "WEIGHING",
    "Aged",
    "Run",
    "age_h",
    "aged",
    "ageing_of",
    "least_h",
    "runs_of",
    "spanned",
]

Run = tuple[int, int]
"""When a mould run began and ended, in UTC milliseconds."""

WEIGHING = "weighing"
"""Name of the age gate before which no weighing is of a block a day old."""

AFTER_A_DAY = frozenset({"24h", "dry"})
"""States that a block reaches only with time."""

COMMON_H = 20.0
"""Hours from which a block is a day old, where the plant sets none. Common practice, no source:
weighed on the next shift of the same kind, give or take hours."""

_HOUR_MS = 3_600_000
_WET = "press"


@dataclass(frozen=True, slots=True)
class Aged:
    """A reading whose block was younger than its state says; below zero, not yet moulded."""

    reading: ReadingView
    age_h: float


def age_h(at_ms: int, stated_h: float | None, runs: Sequence[Run]) -> float | None:
    """Hours since a block was moulded, as near to the age stated as the runs of its lot allow.

    Without an age stated, since the end of the lot's first run; None where no run is known.
    """
    if not runs:
        return None
    first, last = min(start for start, _ in runs), max(end for _, end in runs)
    if stated_h is None:
        moulded = min(end for _, end in runs)
    else:
        moulded = min(max(at_ms - round(stated_h * _HOUR_MS), first), last)
    return (at_ms - moulded) / _HOUR_MS


def least_h(settings: Dated, at_ms: int) -> float:
    """Hours from which a block is a day old: the plant's own, else what is common."""
    body = settings.at("age_gate", WEIGHING, at_ms)
    return COMMON_H if body is None else float(str(body.get("min_h", COMMON_H)))


def ageing_of(
    settings: Dated, grades: Iterable[str], times: Iterable[int]
) -> tuple[tuple[str, str, str], ...]:
    """Give the hours of ageing in force for grades at the times of mould runs, as the judge asks.

    Of each: the grade, least and most hours. A grade that has no hours is left out.
    """
    found = set()
    for grade, at_ms in product(grades, set(times)):
        hours = settings.at("ageing", grade, at_ms) or settings.at("ageing", "*", at_ms)
        if hours is not None:
            found.add((grade, str(hours.get("min_h", "")), str(hours.get("max_h", ""))))
    return tuple(sorted(found))


def spanned(step: Making) -> Run:
    """Give when a step began and ended, as whoever keyed it said; else its own time."""
    said = step.facts.get("started", "")
    return (int(said) if said.isdecimal() else step.at_ms, max(step.at_ms, _ended(step)))


def runs_of(makings: Iterable[Making]) -> tuple[Run, ...]:
    """Give the mould runs among the steps that brought pieces into a lot."""
    return tuple((one.at_ms, max(one.at_ms, _ended(one))) for one in makings if one.kind == "mould")


def aged(
    readings: Iterable[ReadingView], runs: Sequence[Run], hours: float
) -> tuple[list[ReadingView], list[Aged]]:
    """Give a lot's readings, with what was taken too soon as what it was; and which those are.

    A block weighed too soon is a wet one. One weighed before it was moulded is no evidence.
    """
    kept: list[ReadingView] = []
    young: list[Aged] = []
    for one in readings:
        age = _doubted(one, runs, hours)
        if age is None:
            kept.append(one)
        else:
            young.append(Aged(one, age))
            if age >= 0:
                kept.append(_as_wet(one))
    return kept, young


def _doubted(one: ReadingView, runs: Sequence[Run], hours: float) -> float | None:
    """Age of a block in hours where it is less than its state says."""
    known = CHARACTERISTICS.get(one.characteristic)
    if known is None or known.level is not Level.BLOCK or state_of(one) not in AFTER_A_DAY:
        return None
    stated = one.facts.get("age_h")
    age = age_h(one.at_ms, None if stated is None else float(stated), runs)
    return age if age is not None and age < hours else None


def _as_wet(one: ReadingView) -> ReadingView:
    masses = set(STATES.values())
    name = STATES[_WET] if one.characteristic in masses else one.characteristic
    return replace(one, characteristic=name, facts={**one.facts, "state": _WET})


def _ended(making: Making) -> int:
    ended = making.facts.get("ended", "")
    return int(ended) if ended.isdigit() else making.at_ms
