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

__all__ = ["Bag", "BeadLot", "Carton", "Store"]


@dataclass(frozen=True)
class BeadLot:
    """A supplier's lot: pentane per wet bead, bead size, and strength against usual beads."""

    code: str
    pentane: float
    bead_mm: float
    strength: float


@dataclass
class Bag:
    """A bulk bag: what is truly left in it, and pentane per dry polymer."""

    code: str
    grade: str
    pentane: float
    kg: float
    bead_mm: float


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
    lots: list[BeadLot] = field(default_factory=list)
    _of_grade: dict[str, tuple[int, BeadLot]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Take its own chance."""
        self._chance = self.works.chance("goods")

    def bag(self, grade: str, minute: int) -> Bag:
        """Receive a bag of a grade and open it."""
        of = self.works.parameters
        count, lot = self._lot(grade, minute)
        self._of_grade[grade] = (count + 1, lot)
        lb = down(
            self._chance.normal(of.number("bags", "net_lb"), of.number("bags", "spread_lb")), 1
        )
        per_dry = float(per_dry_polymer(PerWetBead.of(lot.pentane)).kg_kg)
        bag = Bag(f"{grade}-{count + 1:04d}", grade, per_dry, lb * LB, lot.bead_mm)
        self.works.strength[bag.code] = lot.strength
        self.bags.append(bag)
        self.works.write(
            "bead_receipts",
            BeadReceipt(
                at=minute - DAY,
                by="KR",
                bag=bag.code,
                supplier_lot=lot.code,
                supplier=GRADES[grade].supplier,
                grade=grade,
                mass=self.scales.shown("SC-DOCK", lb),
            ),
        )
        return bag

    def _lot(self, grade: str, minute: int) -> tuple[int, BeadLot]:
        """Give the bead lot that is being delivered, and how many bags of the grade there were."""
        of = self.works.parameters.number
        a_lot = self.works.parameters.whole("bags", "a_lot")
        count, lot = self._of_grade.get(grade, (0, None))
        weak = self.works.wrong("weak_bead_lot", minute, grade)
        begun = weak is not None and any(one.strength == weak.size for one in self.lots)
        if lot is not None and count % a_lot and (weak is None or begun):
            return count, lot
        pentane = float(self._chance.normal(of("bags", "pentane"), of("bags", "pentane_spread")))
        size = float(self._chance.normal(of("bags", "bead_mm"), of("bags", "bead_spread")))
        strength = weak.size if weak is not None else 1.0
        number = 1 + sum(one.code.startswith(f"{grade}-L") for one in self.lots)
        lot = BeadLot(f"{grade}-L{number:03d}", pentane, size, strength)
        self.lots.append(lot)
        if weak is not None:
            what = f"bead lot {lot.code} gives {strength:g} of the strength of others"
            self.works.happened("weak_bead_lot", minute, grade, what)
        return count, lot

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
