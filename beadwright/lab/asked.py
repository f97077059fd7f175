"""What a method asks of a test, condition by condition, and in what a test was otherwise.

Read first: :class:`Condition`, then :func:`departures`. The methods themselves are rows of data:
:mod:`beadwright.lab.thermal_method` and :mod:`beadwright.lab.plain_method`.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from beadwright.errors import OutOfRange
from beadwright.lab.departure import Departure, not_recorded, outside
from beadwright.units import Kind, from_si

__all__ = ["MEMORY", "READ", "Condition", "Method", "departures"]

READ = "[read in: a second source that cites it]"
MEMORY = "[from memory]"

_ROUNDING = 1e-6


@dataclass(frozen=True, slots=True)
class Condition:
    """One thing that a method asks: what it is, between which bounds, by which source."""

    name: str
    """Such as ``mean_temperature``; a departure's code. It never changes its meaning."""
    what: str
    """For a person, such as ``the mean temperature``."""
    kind: Kind
    """Kind of its unit; of a count of specimens ``pieces``, of a share ``fraction``."""
    unit: str
    """Unit that bounds and value are told in."""
    low: float
    """In SI; minus infinity where there is none."""
    high: float
    """In SI; infinity where there is none."""
    source: str
    """Where it is asked, and how that was read."""

    @property
    def asked(self) -> str:
        """What is asked, with its unit."""
        low, high = self._shown(self.low), self._shown(self.high)
        if math.isinf(self.high):
            return f"{low} {self.unit} or more"
        if math.isinf(self.low):
            return f"{high} {self.unit} or less"
        return f"{low} to {high} {self.unit}"

    def told(self, value: float) -> str:
        """Give a value as a person reads it, with the unit of the bounds."""
        return f"{self._shown(value)} {self.unit}"

    def met(self, value: float) -> bool:
        """Say whether a value lies within the bounds, ends included."""
        room = _ROUNDING * max(abs(value), 1e-12)
        return self.low - room <= value <= self.high + room

    def _shown(self, value: float) -> str:
        if not math.isfinite(value):
            return ""
        return f"{float(from_si(Decimal(repr(float(value))), self.unit, self.kind)):.4g}"


@dataclass(frozen=True, slots=True)
class Method:
    """One method as it is used for one characteristic, and what it asks of every test."""

    name: str
    edition: str
    use: str
    """What the conditions belong to, such as ``boards of ASTM C578``; empty: to the method."""
    conditions: tuple[Condition, ...]

    @property
    def title(self) -> str:
        """Name and edition."""
        return f"{self.name}:{self.edition}" if self.edition else self.name


def departures(method: Method, was: Mapping[str, float | None]) -> tuple[Departure, ...]:
    """Compare how a test was done with what its method asks.

    Parameters
    ----------
    method : Method
        What is asked.
    was : mapping of str to float or None
        Each condition by its name, in SI; None, or no such name, where it was not recorded. Of a
        condition that the method does not ask for, nothing is said. [1]

    Returns
    -------
    departures : tuple of Departure
        What was otherwise, and what was not recorded; none where all is as asked. They are shown
        with the result and change no number.

    Raises
    ------
    OutOfRange
        If a value is not a finite number.

    Examples
    --------
    >>> hours = Condition("conditioned", "the time of conditioning", "duration", "h", 144e3,
    ...                   math.inf, "a method")
    >>> method = Method("a method", "", "", (hours,))
    >>> [str(one) for one in departures(method, {"conditioned": 72e3})]
    ['The time of conditioning was not as asked. Was: 20 h. Asked: 40 h or more (a method).']
    >>> [one.code for one in departures(method, {})]
    ['conditioned_not_recorded']
    """
    return tuple(
        found
        for one in method.conditions
        if (found := _departure(one, was.get(one.name))) is not None
    )


def _departure(asked: Condition, value: float | None) -> Departure | None:
    if value is None:
        return not_recorded(asked.name, asked.what, asked.asked, asked.source)
    if not math.isfinite(value):
        raise OutOfRange(asked.name, value, valid="a finite number")
    if asked.met(value):
        return None
    what = f"{asked.what[0].upper()}{asked.what[1:]} was not as asked."
    return outside(asked.name, what, asked.told(value), asked.asked, asked.source)
