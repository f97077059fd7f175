"""What the methods of strength share: conditioning, number of specimens, rate of the crosshead.

Read first: :class:`Conditioning`. Compression and bending build their rows of it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from beadwright.lab.asked import Condition
from beadwright.lab.departure import Departure, not_recorded, outside

__all__ = ["Conditioning", "rate_departures", "specimens_asked"]

_HOUR = 3600.0
_ZERO_C = 273.15
_EXACT = 1e-6


@dataclass(frozen=True, slots=True)
class Conditioning:
    """How long a method wants its specimens conditioned, and in which air."""

    hours: float
    """At least."""
    celsius: tuple[float, float]
    humidity: tuple[float, float] | None
    """As shares; None where the method asks nothing."""
    source: str
    """Where it is asked, and how that was read."""

    @property
    def conditions(self) -> tuple[Condition, ...]:
        """What is asked, one condition after the other."""
        low, high = (one + _ZERO_C for one in self.celsius)
        asked = [
            Condition("conditioned", "the time of conditioning", "duration", "h",
                      self.hours * _HOUR, math.inf, self.source),
            Condition("temperature", "the temperature of conditioning", "temperature", "°C",
                      low, high, self.source),
        ]  # fmt: skip
        if self.humidity is not None:
            what = "the humidity of conditioning"
            asked.append(Condition("humidity", what, "fraction", "%", *self.humidity, self.source))
        return tuple(asked)


def specimens_asked(least: int | None, source: str) -> tuple[Condition, ...]:
    """Give the condition on the number of specimens.

    Parameters
    ----------
    least : int or None
        How many at least; None where the product's standard says. [1]
    source : str
        Where it is asked, and how that was read.

    Returns
    -------
    conditions : tuple of Condition
        One, or none.

    Examples
    --------
    >>> [one.asked for one in specimens_asked(5, "a method")]
    ['5 pcs or more']
    """
    what = "the number of specimens"
    if least is None:
        return ()
    return (Condition("specimens", what, "pieces", "pcs", least, math.inf, source),)


def rate_departures(
    rate_m_s: float | None, wanted_m_s: float, share: float, source: str
) -> Iterator[Departure]:
    """Say whether the crosshead moved as fast as it should.

    Parameters
    ----------
    rate_m_s : float or None
        How fast it moved; None where that was not recorded. [m/s]
    wanted_m_s : float
        How fast it should. [m/s]
    share : float
        By how much it may be off, of what it should be. [1]
    source : str
        Where it is asked, and how that was read.

    Returns
    -------
    departures : iterator of Departure
        One, or none.

    Examples
    --------
    >>> [str(one) for one in rate_departures(3e-3 / 60, 2.5e-3 / 60, 0.1, "a method")]
    ['The crosshead was too fast. Was: 3 mm/min. Asked: 2.5 mm/min ± 10% (a method).']
    """
    asked = f"{_rate_text(wanted_m_s)} ± {share:.0%}"
    if rate_m_s is None:
        yield not_recorded("rate", "the rate of the crosshead", asked, source)
    elif abs(rate_m_s - wanted_m_s) > share * wanted_m_s * (1 + _EXACT):
        what = f"The crosshead was too {'fast' if rate_m_s > wanted_m_s else 'slow'}."
        yield outside("rate", what, _rate_text(rate_m_s), asked, source)


def _rate_text(rate_m_s: float) -> str:
    return f"{rate_m_s * 60e3:.3g} mm/min"
