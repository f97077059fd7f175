"""Numbers that the physics works out for a plant, each with what it is made of and its trust.

Read :class:`Working`: a sheet of lines. A line is given (set, measured, a default) or worked out
by one function of the physics from other lines; it carries formula, inputs, source and trust, and
where an input is missing it is unknown and says what is missing. Nothing here decides anything.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal, ParamSpec, TypeVar

import numpy as np

from beadwright.errors import OutOfRange
from beadwright.science.trust import Parameter, Standing, Trust, standing_of, stands
from beadwright.units import Kind

__all__ = ["ORIGIN_WORDS", "Line", "NoFigure", "Origin", "Told", "Working", "like", "origin_of"]

Origin = Literal[
    "set", "measured", "limit", "worked", "none", "default", "derived", "memory", "worst",
    "missing",
]  # fmt: skip

ORIGIN_WORDS: Mapping[Origin, str] = {
    "set": "set by the plant",
    "measured": "measured in the plant",
    "limit": "a limit that governs",
    "worked": "worked out",
    "none": "worked out: there is none",
    "default": "a default, read in a source",
    "derived": "a default worked out from what a source states, not stated by it",
    "memory": "a default from memory, until the plant has measured its own",
    "worst": "nobody said it: taken at its worst",
    "missing": "not known",
}

_P = ParamSpec("_P")
_R = TypeVar("_R")
Told = tuple[str, Kind | str]
"""A line's title, and its kind of quantity or its SI unit."""

_GIVEN = Standing(Trust.EXACT, "", "")
_ORDER = (Trust.EXACT, Trust.ESTIMATE, Trust.WHAT_IF)


@dataclass(frozen=True, slots=True)
class NoFigure:
    """What a function gives where the answer is that there is none: not 0, and not unknown."""

    why: str


@dataclass(frozen=True, slots=True)
class Line:
    """One number of a sheet, in SI; ``value`` is None where it is not known."""

    key: str
    title: str
    kind: Kind | str
    """Kind of quantity; else the SI unit itself, as ``m^2/s``."""
    value: float | None
    low: float | None
    high: float | None
    origin: Origin
    source: str
    standing: Standing
    trust: Trust
    inputs: tuple[str, ...] = ()
    """Keys of the lines it is worked out from."""
    lacking: tuple[str, ...] = ()
    """Titles of what is missing, down to what a person can set."""
    refused: str = ""
    """Why the physics did not answer, or why there is none where ``origin`` is ``none``."""
    causes: tuple[str, ...] = ()
    """Why it has a band, one reason each."""
    narrowed_by: tuple[str, ...] = ()
    """What the plant would measure to narrow it."""
    at_most: bool = False
    """Whether it is a most that must not be passed: shown rounded down."""


class Working:
    """A sheet on which lines are put one under another."""

    def __init__(self) -> None:
        """Begin with none."""
        self._lines: dict[str, Line] = {}
        self._made: dict[str, tuple[Callable[..., Any], Mapping[str, str | float]]] = {}
        self._own: dict[str, tuple[float, float]] = {}

    @property
    def lines(self) -> tuple[Line, ...]:
        """All lines, in the order in which they were put."""
        return tuple(self._lines.values())

    def __getitem__(self, key: str) -> Line:
        """Give a line by its key."""
        return self._lines[key]

    def given(  # noqa: PLR0913 - what a person would ask of a number
        self,
        key: str,
        told: Told,
        value: float | None,
        origin: tuple[Origin, str],
        band: tuple[float, float] | None = None,
        *,
        why: tuple[str, str] | None = None,
    ) -> Line:
        """Put a number that was set, measured or taken as a default; None where it is missing.

        ``why``: why it has a band, and what narrows it, where its origin does not say so.
        """
        title, kind = told
        low, high = band if band is not None else (value, value)
        missing = value is None
        how: Origin = "missing" if missing else origin[0]
        trust = Trust.EXACT if missing or low == high else Trust.ESTIMATE
        if band is not None and trust is Trust.ESTIMATE:
            self._own[key] = band
        cause, narrower = why or _why(title, how)
        line = Line(
            key, title, kind, value, low, high, how, origin[1], _GIVEN, trust,
            lacking=(title,) if missing else (),
            causes=() if trust is Trust.EXACT else (cause,),
            narrowed_by=() if trust is Trust.EXACT else (narrower,),
        )  # fmt: skip
        return self._put(line)

    def default(self, key: str, told: Told, parameter: Parameter) -> Line:
        """Put a default of the physics, with its plausible range."""
        band = (parameter.low, parameter.high)
        origin = (origin_of(parameter), parameter.source)
        return self.given(key, told, parameter.value, origin, band)

    def work(
        self,
        key: str,
        told: Told,
        function: Callable[..., Any],
        of: Mapping[str, str | float],
        *,
        at_most: bool = False,
    ) -> Line:
        """Put what a function of the physics makes of other lines.

        ``of`` gives for each argument the key of a line, or a number that is no line of its own.
        The band: everything below it that has a band of its own at each end, one at a time and
        the rest as it is, joined as a root of squares: of ratios where all is above nothing.
        """
        standing = standing_of(function)
        inputs = {name: self._lines[one] for name, one in of.items() if isinstance(one, str)}
        self._made[key] = (function, of)
        parts = list(inputs.values())
        lacking = tuple(dict.fromkeys(what for one in parts for what in one.lacking))
        refused = next((one.refused for one in parts if one.refused), "")
        value = low = high = None
        origin: Origin = "worked"
        if not lacking and not refused:
            try:
                value, low, high = self._banded(key)
            except OutOfRange as error:
                refused = str(error)
            except _NoneThereError as error:
                refused, origin = str(error), "none"
        trust = max((standing.trust, *(one.trust for one in parts)), key=_ORDER.index)
        line = Line(
            key, *told, value, low, high, origin, standing.source, standing, trust,
            inputs=tuple(one.key for one in parts),
            lacking=lacking,
            refused=refused,
            causes=_joined([standing.cause], [one.causes for one in parts]),
            narrowed_by=_joined([standing.narrowed_by], [one.narrowed_by for one in parts]),
            at_most=at_most,
        )  # fmt: skip
        return self._put(line)

    def behind(self, key: str) -> tuple[Line, ...]:
        """Give every line that a line rests on, nearest first, itself not among them."""
        found: dict[str, Line] = {}
        ask = list(self._lines[key].inputs)
        while ask:
            name = ask.pop(0)
            if name not in found:
                found[name] = self._lines[name]
                ask += self._lines[name].inputs
        return tuple(found.values())

    def _banded(self, key: str) -> tuple[float, float, float]:
        function, of = self._made[key]
        value, *own = _answered(function(**self._arguments(of, {})))
        ends = [(own[0], own[1])]
        for name in dict.fromkeys(self._below(of.values())):
            moved = [self._at(key, {name: end}) for end in self._own[name]]
            ends.append((min(value, *moved), max(value, *moved)))
        if own[0] < own[1]:
            self._own[key] = (own[0], own[1])
        return value, *_spread(value, ends)

    def _below(self, of: Iterable[str | float]) -> Iterator[str]:
        """Give each line below that has a band of its own."""
        for name in of:
            if isinstance(name, str):
                if name in self._own:
                    yield name
                yield from self._below(self._made[name][1].values() if name in self._made else ())

    def _at(self, key: str, instead: Mapping[str, float]) -> float:
        """Work a line out anew with another value of some line below it."""
        if key in instead:
            return instead[key]
        if key not in self._made:
            value = self._lines[key].value
            return math.nan if value is None else value
        function, of = self._made[key]
        return _answered(function(**self._arguments(of, instead)))[0]

    def _arguments(
        self, of: Mapping[str, str | float], instead: Mapping[str, float]
    ) -> dict[str, float]:
        return {
            name: self._at(one, instead) if isinstance(one, str) else one
            for name, one in of.items()
        }

    def _put(self, line: Line) -> Line:
        if line.key in self._lines:
            message = f"there is a line {line.key} already"
            raise KeyError(message)
        self._lines[line.key] = line
        return line


class _NoneThereError(Exception):
    """There is no figure; also where there is none at one end of what a line below may be."""


def _why(title: str, how: Origin) -> tuple[str, str]:
    """Say why a number that was given has a band, and what narrows it."""
    if how == "measured":
        return f"{title}: known from so many measurements", f"{title}, measured more often"
    return f"{title}: {ORIGIN_WORDS[how]}", f"{title}, measured in the plant"


def like(original: Callable[..., Any]) -> Callable[[Callable[_P, _R]], Callable[_P, _R]]:
    """Say of a function that it stands as another does, which it only asks in other words."""
    one = standing_of(original)
    said = {"cause": one.cause, "narrowed_by": one.narrowed_by}
    return stands(one.trust, formula=one.formula, source=one.source, **said)


def origin_of(parameter: Parameter) -> Origin:
    """Say how a default of the physics is known."""
    if parameter.memory:
        return "memory"
    return "derived" if parameter.derived else "default"


def _joined(own: Sequence[str], others: Sequence[Sequence[str]]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(filter(None, [*own, *(one for some in others for one in some)])))


def _spread(value: float, ends: Sequence[tuple[float, float]]) -> tuple[float, float]:
    """Join bands that stand alone; by ratio where all is above nothing, so that it stays so."""
    if value > 0 and all(low > 0 for low, _ in ends):
        down = math.hypot(*(math.log(value / low) for low, _ in ends))
        return value * math.exp(-down), value * math.exp(
            math.hypot(*(math.log(high / value) for _, high in ends))
        )
    down, up = (math.hypot(*(value - end[side] for end in ends)) for side in (0, 1))
    return value - down, value + up


def _answered(found: Any) -> tuple[float, float, float]:
    if isinstance(found, NoFigure):
        raise _NoneThereError(found.why)
    if hasattr(found, "low"):
        return _one(found.value), _one(found.low), _one(found.high)
    return (_one(found),) * 3


def _one(number: Any) -> float:
    """Give the one number that an array of the physics holds."""
    return float(np.asarray(number).item())
