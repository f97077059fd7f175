"""What a person may have meant who keyed this number: one slip of the hand, undone.

Read first: :func:`undone`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise

__all__ = ["Meant", "undone"]

_POWERS = (1, -1, 2, -2, 3, -3)
_WORDS = {1: "ten", 2: "a hundred", 3: "a thousand"}
_MANY, _SWAPPED, _LOST = 0.01, 0.02, 0.03


@dataclass(frozen=True, slots=True)
class Meant:
    """A number that one slip would have turned into the one keyed, and the slip's name.

    ``handicap`` is added to a guess's distance from what is usual: a slip that can make many
    numbers (a lost digit) comes near to anything by chance.
    """

    number: Decimal
    slip: str
    handicap: float


def undone(number: Decimal) -> Iterator[Meant]:
    """Every number from which one slip of the hand leads to this one.

    The slips are: the decimal sign one to three places off, one digit too many, two neighbours
    exchanged, one digit lost.

    Parameters
    ----------
    number : Decimal
        The number as keyed, above 0. [1]

    Yields
    ------
    meant : Meant
        A number above 0 and the slip's name; the same number may come more than once.

    References
    ----------
    .. [1] The list of slips and their handicaps. [common practice, no source]

    Examples
    --------
    >>> [str(each.number) for each in undone(Decimal("1148")) if "too many" in each.slip]
    ['148', '148', '118', '114']
    """
    for power in _POWERS:
        size = "large" if power < 0 else "small"
        # 77830 may have been 7783, which nobody writes as 7783.0
        yield Meant(number.scaleb(power).normalize(), f"{_WORDS[abs(power)]} times too {size}", 0.0)
    text = f"{number:f}"
    places = [i for i, sign in enumerate(text) if sign.isdigit()]
    for i in places:
        yield from _valid(text[:i] + text[i + 1 :], "one digit too many", _MANY)
    for i, j in pairwise(places):
        swapped = text[:i] + text[j] + text[i + 1 : j] + text[i] + text[j + 1 :]
        yield from _valid(swapped, "two digits exchanged", _SWAPPED)
    for i in range(len(text) + 1):
        for digit in "0123456789":
            yield from _valid(text[:i] + digit + text[i:], "one digit lost", _LOST)


def _valid(text: str, slip: str, handicap: float) -> Iterator[Meant]:
    if text.strip(".") and Decimal(text) > 0:
        yield Meant(Decimal(text), slip, handicap)
