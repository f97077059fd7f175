"""How far the masses of the record may be off, by what the plant set; for the bounds of shares.

Read :func:`off_of`. Where nothing is set nothing is made up: bounds hold while masses are right.

References: JCGM 100:2008, 6.2.1 on a multiple of a standard uncertainty [from memory].
"""

from __future__ import annotations

import sys

from beadwright.ledger import settings
from beadwright.ledger.unlike import Off
from beadwright.plant.products import quantity
from beadwright.plant.uncertainty import is_uncertainty

__all__ = ["K", "is_share_off", "off_of", "uncertainty_of"]

K = 3
"""Standard uncertainties by which any mass may be off, either way: a bound is to hold for every lot
of a recall, and beyond two lies one normal deviation of 22, beyond three one of 370."""

_TOPIC = "tolerance"
_MOST = 0.1
"""Standard uncertainty above which nothing was weighed, as a share. Our choice."""


def is_share_off(value: object) -> bool:
    """Whether a text is a standard uncertainty in per cent of a mass, of no more than 10 %."""
    return (
        is_uncertainty(value)
        and str(value).partition(" ")[2].strip() == "%"
        and quantity(value, "fraction") <= _MOST
    )


def off_of(plant_no: int) -> Off:
    """Give by what share of itself any mass may be off: three times the worst that is set now.

    One for all steps, since what one weighs another draws on: the sum of what comes in and goes
    out says what is left.
    """
    return Off(K * uncertainty_of(plant_no))


def uncertainty_of(plant_no: int) -> float:
    """Give the worst relative standard uncertainty of masses that is set now; 0 where none is."""
    known = settings.load(plant_no)
    set_now = [known.at(_TOPIC, name, sys.maxsize) or {} for name in known.names(_TOPIC)]
    said = [str(body["u"]) for body in set_now if body.get("u")]
    return max((quantity(text, "fraction") for text in said), default=0.0)
