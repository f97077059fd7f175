"""What a wall sheet is asked: the product, the lots, the storey and what it may be off.

Read :class:`WallAsked`. What nobody says is taken as stated here, and the sheet says which.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from beadwright.errors import Misuse
from beadwright.ledger.settings import Settings
from beadwright.plant.products import Product, product_at

__all__ = ["STOREY_M", "TOLERANCE_M", "WallAsked", "form_of"]

STOREY_M = 2.4384
"""8 ft, taken where nobody says a storey. Common practice, no source."""

TOLERANCE_M = 0.00635
"""1/4 in either way, taken where nobody says a tolerance. Common practice, no source."""

_MOST_COURSES = 60


@dataclass(frozen=True, slots=True)
class WallAsked:
    """What is asked; lengths in m, None where nobody said."""

    product: str
    lots: tuple[str, ...] = ()
    """Empty: the product's newest released lots."""
    storey_m: float | None = None
    courses: int | None = None
    tolerance_m: float | None = None
    seat_m: float | None = None
    """What a joint between two courses adds; below 0 where blocks seat deeper."""
    seat_spread_m: float | None = None

    def __post_init__(self) -> None:
        """Refuse what cannot be meant."""
        wrong = ""
        if self.storey_m is not None and not self.storey_m > 0:
            wrong = f"a storey of {self.storey_m:g} m is not above nothing"
        elif self.tolerance_m is not None and not self.tolerance_m > 0:
            wrong = f"a tolerance of {self.tolerance_m:g} m is not above nothing"
        elif self.seat_spread_m is not None and self.seat_spread_m < 0:
            wrong = f"a spread of {self.seat_spread_m:g} m is below nothing"
        elif self.courses is not None and not 1 <= self.courses <= _MOST_COURSES:
            wrong = f"{self.courses} courses: from 1 to {_MOST_COURSES}"
        if wrong:
            raise Misuse(wrong)

    def without_lots(self) -> WallAsked:
        """Ask the same of the product's newest released lots."""
        return replace(self, lots=())


def form_of(in_force: Settings, name: str, at_ms: int) -> Product:
    """Give a form product as it was set up.

    Raises
    ------
    Misuse
        If there is none, or it is no form block.
    """
    product = product_at(in_force, name, at_ms)
    forms = [one for one, body in in_force.all("product", at_ms) if body.get("family") == "form"]
    there = f"there are: {', '.join(forms) or 'none'}"
    if product is None:
        message = f'no product is called "{name}"; {there}'
        raise Misuse(message)
    if not product.is_form:
        message = f"{name} is no form block, and no wall is made of it; {there}"
        raise Misuse(message)
    return product
