"""What arrives: bags of bead lots that differ in pentane and size, and cartons of ties.

Read :class:`Store` first. A bag or carton is received a day before it is first used.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from beadwright.demo.description import GRADES, TIE_SUPPLIER, TIES
from beadwright.demo.sheets import BeadReceipt, TieReceipt
from beadwright.demo.simulated.weighing import LB, Scales, down
from beadwright.demo.simulated.works import DAY, Works
from beadwright.science.pentane import PerWetBead, per_dry_polymer

__all__ = ["Bag", "Carton", "Store"]


@dataclass
class Bag:
    """A bulk bag: what is truly left in it, and pentane per dry polymer."""

    code: str
    grade: str
    pentane: float
    kg: float


@dataclass
class Carton:
    """A carton of ties: what one truly weighs (kg) and by its label (lb), and how many are left."""

    code: str
    unit_kg: float
    label_lb: float
    left: int


@dataclass
class Store:
    """Where bags and cartons wait."""

    works: Works
    scales: Scales
    bags: list[Bag] = field(default_factory=list)
    cartons: list[Carton] = field(default_factory=list)
    _lots: dict[str, tuple[int, float]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Take its own chance."""
        self._chance = self.works.chance("goods")

    def bag(self, grade: str, minute: int) -> Bag:
        """Receive a bag of a grade and open it."""
        of = self.works.parameters
        count, pentane = self._lots.get(grade, (0, 0.0))
        if count % of.whole("bags", "a_lot") == 0:
            mean, spread = of.number("bags", "pentane"), of.number("bags", "pentane_spread")
            pentane = float(self._chance.normal(mean, spread))
        self._lots[grade] = (count + 1, pentane)
        lb = down(
            self._chance.normal(of.number("bags", "net_lb"), of.number("bags", "spread_lb")), 1
        )
        per_dry = float(per_dry_polymer(PerWetBead.of(pentane)).kg_kg)
        bag = Bag(f"{grade}-{count + 1:04d}", grade, per_dry, lb * LB)
        self.bags.append(bag)
        self.works.write(
            "bead_receipts",
            BeadReceipt(
                at=minute - DAY,
                by="KR",
                bag=bag.code,
                supplier_lot=f"{grade}-L{count // of.whole('bags', 'a_lot') + 1:03d}",
                supplier=GRADES[grade].supplier,
                grade=grade,
                mass=self.scales.shown("SC-DOCK", lb),
            ),
        )
        return bag

    def carton(self, tie: str, minute: int) -> Carton:
        """Receive a carton of ties and open it."""
        of = self.works.parameters
        usual = TIES[tie].unit_lb * (1 + self._chance.normal(0, of.number("ties", "spread")))
        lb = round(float(usual), 4)
        label = self.scales.shown("SC-TIES", lb, digits=4)
        pieces = of.whole("ties", "pieces")
        number = 1 + sum(one.code.startswith(f"{tie}-") for one in self.cartons)
        carton = Carton(f"{tie}-{number:04d}", lb * LB, label, pieces)
        self.cartons.append(carton)
        self.works.write(
            "tie_receipts",
            TieReceipt(
                at=minute - DAY,
                by="KR",
                carton=carton.code,
                supplier_lot=f"{tie}-W{number // 8 + 1:03d}",
                supplier=TIE_SUPPLIER,
                grade=tie,
                pieces=pieces,
                unit_mass=label,
            ),
        )
        return carton
