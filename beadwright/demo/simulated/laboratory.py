"""The laboratory: specimens of a lot, pressed two days after it was moulded.

Read :meth:`Laboratory.closed` first. Strength follows the foam's density by the European annex's
line, as :mod:`beadwright.science.foam.strength` has it, and how strong the beads are that it was
moulded of.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from beadwright.demo.sheets import Strength
from beadwright.demo.simulated.press import Lot
from beadwright.demo.simulated.weighing import LB
from beadwright.demo.simulated.works import DAY, Works
from beadwright.science.foam.strength import annex_compressive

__all__ = ["Laboratory"]

_PSI = 6894.757293168
_HOUR = 60


@dataclass
class Laboratory:
    """Presses specimens of the first form lot of each product, day by day."""

    works: Works
    _last: dict[str, int] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Take its own chance."""
        self._chance = self.works.chance("laboratory")

    def closed(self, lot: Lot) -> None:
        """Sample a closed lot, if its product is due."""
        day, every = lot.ended // DAY, self.works.parameters.whole("laboratory", "every_days")
        if not lot.product.is_form or day - self._last.get(lot.product.name, -every) < every:
            return
        self._last[lot.product.name] = day
        hours = self.works.parameters.whole("laboratory", "conditioned_h")
        self.works.agenda.at(lot.ended + hours * _HOUR, lambda now: self._test(lot, now))

    def _test(self, lot: Lot, now: int) -> None:
        of = self.works.parameters
        density = 1000 * lot.foam_lb * LB / lot.product.volume_l
        psi = float(annex_compressive(density)) / _PSI * self._beads(lot.code)
        psi *= 1 + float(self._chance.normal(0, of.number("laboratory", "lot_spread")))
        for number in range(1, of.whole("laboratory", "specimens") + 1):
            off = float(self._chance.normal(0, of.number("laboratory", "specimen_spread")))
            self.works.write(
                "results",
                Strength(
                    at=now + 4 * number,
                    by="TC",
                    lot=lot.code,
                    specimen=f"{lot.code}-F{number}",
                    conditioned=of.number("laboratory", "conditioned_h"),
                    strength=round(psi * (1 + off), 1),
                    method="ASTM D1621",
                    instrument="UTM-1",
                ),
            )

    def _beads(self, lot: str) -> float:
        """How strong the beads of a lot are, by what each bag has in it."""
        strength = self.works.strength
        foam = {bag: kg for bag, kg in self.works.floor.came[lot].items() if bag in strength}
        return sum(kg * strength[bag] for bag, kg in foam.items()) / sum(foam.values())
