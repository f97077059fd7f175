"""One reading's value in the units a reader chose, with no more digits than were keyed.

Read :func:`value_in`.
"""

from __future__ import annotations

from decimal import Decimal

from beadwright.errors import BeadwrightError
from beadwright.quality.characteristics import kind_of
from beadwright.quality.readings import ReadingView
from beadwright.units import System, parse_number, show, shown_unit
from beadwright.units.written import pint_name

__all__ = ["value_in"]

_CUSTOMARY = ("pound", "ounce", "inch", "foot", "yard", "degF", "kip", "grain", "thou", "Btu")
_EITHER = frozenset({"gram", "milligram"})
"""Small balances read grams in every country."""


def value_in(one: ReadingView, units: System) -> str:
    """Give a reading's value and unit; as keyed where that is in such units already.

    Another unit gets as many digits as count in what was keyed.
    """
    kind = kind_of(one.characteristic)
    if kind is None or one.si is None or shown_unit(kind, "si") == shown_unit(kind, "us"):
        return one.keyed
    try:
        name, number = pint_name(one.unit, kind), parse_number(one.value, decimal=".")
    except BeadwrightError:
        return one.keyed
    if name in _EITHER or any(part in name for part in _CUSTOMARY) == (units == "us"):
        return one.keyed
    count = len(number.as_tuple().digits)
    whole, _, _ = show(one.si, kind, system=units, digits=9).partition(" ")
    digits = max(0, min(9, count - 1 - Decimal(whole).adjusted()))
    return show(one.si, kind, system=units, digits=digits)
