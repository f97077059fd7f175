"""Where a test left its method: recorded and shown beside the result, never hidden.

Read first: :class:`Departure`; then :func:`outside` and :func:`not_recorded`, which make one.
"""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["Departure", "not_recorded", "outside"]


@dataclass(frozen=True, slots=True)
class Departure:
    """One point in which a test was not as its method asks, or is not known to have been."""

    code: str
    """What it is about, such as ``rate``; never changes its meaning."""
    what: str
    """One sentence for a person."""
    value: str
    """What was, with its unit; empty where it was not recorded."""
    asked: str
    """What the method asks, with its unit."""
    source: str
    """Where the method asks it, and how that was read."""

    def __str__(self) -> str:
        """Return one line: sentence, what was, what is asked, by which source."""
        was = f" Was: {self.value}." if self.value else ""
        asked = f" Asked: {self.asked}" if self.asked else ""
        return f"{self.what}{was}{asked}{f' ({self.source}).' if self.source else ''}"


def outside(code: str, what: str, value: str, asked: str, source: str) -> Departure:
    """Say that something recorded lies outside what the method asks.

    Parameters
    ----------
    code : str
        What it is about.
    what : str
        One sentence for a person.
    value : str
        What was, with its unit.
    asked : str
        What the method asks.
    source : str
        Where it asks it, and how that was read.

    Returns
    -------
    departure : Departure
        The departure.

    Examples
    --------
    >>> str(outside("rate", "The crosshead was too fast.", "4 mm/min", "2.5 mm/min", "D1621"))
    'The crosshead was too fast. Was: 4 mm/min. Asked: 2.5 mm/min (D1621).'
    """
    return Departure(code, what, value, asked, source)


def not_recorded(code: str, what: str, asked: str, source: str) -> Departure:
    """Say that what the method asks about was not recorded, so that nobody takes it as met.

    Parameters
    ----------
    code : str
        What it is about; ``_not_recorded`` is added.
    what : str
        What was not recorded, such as ``the rate of the crosshead``.
    asked : str
        What the method asks.
    source : str
        Where it asks it, and how that was read.

    Returns
    -------
    departure : Departure
        The departure, without a value.

    Examples
    --------
    >>> not_recorded("rate", "the rate of the crosshead", "2.5 mm/min", "D1621").code
    'rate_not_recorded'
    """
    sentence = f"{what[0].upper()}{what[1:]} was not recorded."
    return Departure(f"{code}_not_recorded", sentence, "", asked, source)
