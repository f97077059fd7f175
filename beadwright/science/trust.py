"""How far an answer may be trusted, and what it is made of: told with every number.

Read first: :func:`stands`, which every public function of this floor wears.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum
from typing import ParamSpec, TypeVar

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import ndtri

__all__ = ["NINE_IN_TEN", "Banded", "Parameter", "Standing", "Trust", "standing_of", "stands"]

_P = ParamSpec("_P")
_R = TypeVar("_R")

NINE_IN_TEN = float(ndtri(0.95))
"""Half of a band that nine in ten lie in, in standard deviations."""


class Trust(Enum):
    """What a result may be used for."""

    EXACT = "exact arithmetic or published formula"
    ESTIMATE = "estimate"
    WHAT_IF = "what-if"


@dataclass(frozen=True, slots=True)
class Standing:
    """What an answer of one function rests on, in words a page can show."""

    trust: Trust
    formula: str
    source: str
    cause: str = ""
    """Why an estimate has a band."""
    narrowed_by: str = ""
    """Which data of the plant's own would narrow it."""

    def __post_init__(self) -> None:
        """Refuse an estimate that does not say what would make it better."""
        if self.trust is Trust.ESTIMATE and not (self.cause and self.narrowed_by):
            msg = "an estimate says why it has a band, and what would narrow it"
            raise TypeError(msg)


@dataclass(frozen=True, slots=True)
class Parameter:
    """A default of a model, in SI, until the plant has measured its own.

    ``low`` and ``high`` are its plausible range; ``memory`` marks a value that nobody has read in
    a source, ``derived`` one that no source states and that was worked out here from what it does.
    """

    symbol: str
    value: float
    low: float
    high: float
    unit: str
    source: str
    memory: bool = False
    derived: bool = False

    def __post_init__(self) -> None:
        """Refuse a range that does not hold the value."""
        if not self.low <= self.value <= self.high:
            msg = f"{self.symbol}: {self.value} is outside {self.low} to {self.high}"
            raise TypeError(msg)


@dataclass(frozen=True, slots=True)
class Banded:
    """An estimate: value, and the ends of its band, all in one unit. Shapes are equal."""

    value: NDArray[np.float64]
    low: NDArray[np.float64]
    high: NDArray[np.float64]

    @classmethod
    def of(cls, value: ArrayLike, low: ArrayLike, high: ArrayLike) -> Banded:
        """Return the band with its ends in order, whichever end was given first."""
        number, one, other = np.broadcast_arrays(
            *(np.asarray(a, float) for a in (value, low, high))
        )
        lowest, highest = np.minimum(one, other), np.maximum(one, other)
        return cls(number, np.minimum(lowest, number), np.maximum(highest, number))


def stands(
    trust: Trust, *, formula: str, source: str, cause: str = "", narrowed_by: str = ""
) -> Callable[[Callable[_P, _R]], Callable[_P, _R]]:
    """Say of a function how far its answer may be trusted, for pages, papers and JSON to show."""
    standing = Standing(trust, formula, source, cause, narrowed_by)

    def wear(function: Callable[_P, _R]) -> Callable[_P, _R]:
        function.__standing__ = standing  # type: ignore[attr-defined]
        return function

    return wear


def standing_of(function: Callable[..., object]) -> Standing:
    """Return what was said of a function.

    Parameters
    ----------
    function : callable
        A public function of this floor.

    Returns
    -------
    standing : Standing
        Its trust, formula and source.

    Raises
    ------
    LookupError
        If nothing was said.
    """
    if not hasattr(function, "__standing__"):
        raise LookupError(getattr(function, "__name__", repr(function)))
    standing: Standing = function.__standing__
    return standing
