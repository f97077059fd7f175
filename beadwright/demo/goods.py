"""What arrives: bulk bags of beads and cartons of ties, by lorry, some days before they are used.

Read :class:`Bags` first. A store hands out the next bag or carton when one is asked for, and
writes the receipts of all it has handed out, and of some that are still in stock, at the end.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TypeVar

from beadwright.demo.clock import DAY, HOUR
from beadwright.demo.description import GRADES, LB, TIE_SUPPLIER, TIES
from beadwright.demo.noise import Noise
from beadwright.demo.sheets import BeadReceipt, TieReceipt

__all__ = ["LEAST_KG", "Bag", "Bags", "Carton", "Cartons"]

_T = TypeVar("_T", "Bag", "Carton")

_LORRIES = tuple(
    (day * DAY + hour * HOUR) for day, hour in ((-4, 9), (1, 10), (8, 9), (11, 13), (15, 10))
)
_REST = 12 * HOUR  # nothing is opened sooner after it came
_CARTON_PIECES = 1200
LEAST_KG = 12.0  # nobody lifts a bag for less
_SPARE = 2  # of each kind, in stock at the end


@dataclass
class Bag:
    """A bag on the floor, and what can still be drawn out of it; some always hangs in the seams."""

    code: str
    grade: str
    supplier_lot: str
    at: int
    mass_lb: float
    left_kg: float


@dataclass
class Carton:
    """A carton of ties: how many are left, what one weighs by the label and in truth (kg)."""

    code: str
    grade: str
    supplier_lot: str
    at: int
    unit_lb: float
    true_kg: float
    left: int = _CARTON_PIECES


def _lorry(minute: int) -> tuple[int, int]:
    """The last lorry that came early enough: its number and time."""
    numbers = [i for i, at in enumerate(_LORRIES) if at <= minute - _REST]
    return max(numbers) + 1, _LORRIES[max(numbers)]


@dataclass
class Bags:
    """Bags of one grade, opened one after the other."""

    grade: str
    noise: Noise
    every: list[Bag] = field(default_factory=list)

    def open_bag(self, minute: int) -> Bag:
        """The bag in use, or a new one where nothing more comes out of it."""
        if not self.every or self.every[-1].left_kg < LEAST_KG:
            self.every.append(self._new(minute))
        return self.every[-1]

    def _new(self, minute: int) -> Bag:
        number, at = _lorry(minute)
        mass = round(2000 + self.noise.normal(14), 1)
        count = 1 + sum(bag.at == at for bag in self.every)
        maker = GRADES[self.grade].supplier[:2].upper()
        return Bag(
            f"{self.grade}-D{number}-{count:02d}",
            self.grade,
            f"{maker}{2400 + 37 * number}-{self.grade}",
            at,
            mass,
            mass * LB * (1 - self.noise.between(0.003, 0.007)),
        )

    def receipts(self, end: int) -> list[BeadReceipt]:
        """A row for each bag, and for some that nobody has opened yet."""
        for _ in range(_SPARE):
            self.every.append(self._new(end))
        return [
            BeadReceipt(
                at=bag.at + 6 * i + 90 * (self.grade == "F2") + 140 * (self.grade == "PK1"),
                by="CU",
                bag=bag.code,
                supplier_lot=bag.supplier_lot,
                supplier=GRADES[self.grade].supplier,
                grade=bag.grade,
                mass=bag.mass_lb,
            )
            for i, bag in _numbered(self.every)
        ]


@dataclass
class Cartons:
    """Cartons of ties, of every part; each press takes its own."""

    noise: Noise
    every: list[Carton] = field(default_factory=list)

    def new(self, grade: str, minute: int) -> Carton:
        """A full carton."""
        number, at = _lorry(minute)
        count = 1 + sum(c.at == at and c.grade == grade for c in self.every)
        true = TIES[grade].unit_lb * (1 + self.noise.normal(0.0025, 2.0))
        label = round(true * (1 + self.noise.normal(0.0008, 2.0)), 4)
        lot = f"SW{510 + 4 * number}-{grade}"
        code = f"{grade}-D{number}-{count:02d}"
        self.every.append(Carton(code, grade, lot, at, label, true * LB))
        return self.every[-1]

    def receipts(self, end: int) -> list[TieReceipt]:
        """A row for each carton, and for some that nobody has opened yet."""
        for grade in sorted({carton.grade for carton in self.every}):
            for _ in range(_SPARE):
                self.new(grade, end)
        return [
            TieReceipt(
                at=carton.at + HOUR + 3 * i,
                by="CU",
                carton=carton.code,
                supplier_lot=carton.supplier_lot,
                supplier=TIE_SUPPLIER,
                grade=carton.grade,
                pieces=_CARTON_PIECES,
                unit_mass=carton.unit_lb,
            )
            for i, carton in _numbered(self.every)
        ]


def _numbered(goods: Sequence[_T]) -> list[tuple[int, _T]]:
    """Each with its place on its lorry."""
    seen: dict[int, int] = {}
    numbered = []
    for one in goods:
        seen[one.at] = seen.get(one.at, -1) + 1
        numbered.append((seen[one.at], one))
    return numbered
