"""What things cost, by the plant's own settings: which price, of what, since when.

Read :class:`Prices`. Where a price lacks, what it would make is unknown, and says why.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from beadwright.ledger.settings import Settings
from beadwright.plant.physical import physical
from beadwright.plant.products import product_at

__all__ = ["Known", "Price", "Prices", "plus"]


@dataclass(frozen=True, slots=True)
class Known:
    """Money; or none, and why not."""

    value: float | None
    why: str = ""

    def times(self, factor: float) -> Known:
        """Give so many times as much."""
        return self if self.value is None else Known(self.value * factor)


def plus(some: Iterable[Known]) -> Known:
    """Give a sum; unknown as soon as one is."""
    total = 0.0
    for one in some:
        if one.value is None:
            return one
        total += one.value
    return Known(total)


@dataclass(frozen=True, slots=True)
class Price:
    """A price that was used."""

    of: str
    """Such as ``raw beads F1, a kg``."""
    value: float
    setting: str
    """As ``[grade.F1] price_per_kg``."""
    since_ms: int
    """From when it is set."""


class Prices:
    """Prices in force at a time; those used, and those asked for that are not set."""

    def __init__(self, in_force: Settings, at_ms: int) -> None:
        self._in_force, self._at_ms = in_force, at_ms
        self._used: dict[str, Price] = {}
        self._lacks: dict[str, None] = {}
        self._pentane: dict[str, float | None] = {}

    @property
    def used(self) -> tuple[Price, ...]:
        """Give the prices that were used."""
        return tuple(one for _, one in sorted(self._used.items()))

    @property
    def pentane(self) -> Mapping[str, float | None]:
        """Give what the raw beads of each grade hold of pentane; None where that is not set."""
        return self._pentane

    @property
    def lacks(self) -> tuple[str, ...]:
        """Give the prices that are not set, as a person would set them."""
        return tuple(self._lacks)

    def kg_of(self, grades: Iterable[str], of: str) -> Known:
        """Give the mean price of a kilogram of some grades of ties, or of dry foam of beads."""
        named = [one for one in grades if self._of(one) == of]
        if not named:
            return Known(None, f"the grade of its {of}s is not known")
        what = "raw beads" if of == "bead" else "ties"
        found = [
            self._number("grade", one, "price_per_kg", f"{what} {one}, a kg").times(
                self._raw_of(one) if of == "bead" else 1.0
            )
            for one in named
        ]
        return plus(found).times(1 / len(found))

    def _raw_of(self, grade: str) -> float:
        """Give the kilograms of raw beads that one of dry foam took: pentane leaves them."""
        held = physical(self._in_force, "grade", grade, "pentane", self._at_ms)
        self._pentane[grade] = held
        return 1.0 if held is None else 1 / (1 - held)

    def hour_of(self, press: str) -> Known:
        """Give what an hour of a press costs."""
        return self._number("place", press, "cost_per_h", f"press {press}, an hour")

    def aim(self, product: str) -> float | None:
        """Give the foam of a block as it is set up, dry, in kg."""
        known = product_at(self._in_force, product, self._at_ms)
        return None if known is None else known.foam_mass_kg

    def _of(self, grade: str) -> object:
        return (self._in_force.at("grade", grade, self._at_ms) or {}).get("of")

    def _number(self, topic: str, name: str, key: str, of: str) -> Known:
        found = physical(self._in_force, topic, name, key, self._at_ms)
        setting = f"[{topic}.{name}] {key}"
        if found is None:
            self._lacks[setting] = None
            return Known(None, f"{setting} is not set")
        dated = [since for since, _ in self._in_force.versions(topic, name) if since <= self._at_ms]
        self._used[of] = Price(of, found, setting, dated[-1] if dated else 0)
        return Known(found)
