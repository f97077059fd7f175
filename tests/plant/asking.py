"""Asking for an assessment, and the blocks it is asked about.

A block of density r weighs 65 L × r, that times the water share of its state, and six ties of
0.27 kg: the tests' figures are worked out so, by hand and without the code under test.
"""

from beadwright.plant.assessment import LotAssessment, Reason
from beadwright.plant.release import assess
from beadwright.plant.verdicts import LimitResult
from tests.plant.yard import Yard

__all__ = ["GOOD", "WATER", "block", "coded", "good_yard", "the_limit", "the_lot"]

WATER = {"press": 0.04, "24h": 0.01, "dry": 0.0}


def block(density: float, state: str = "24h", ties: int = 6) -> float:
    """Mass on the scale of a block of 65 L of foam of that dry density, in kg."""
    return 0.065 * density * (1 + WATER[state]) + ties * 0.27


def the_lot(yard: Yard, lot: str = "L1") -> LotAssessment:
    """Assessment of one lot."""
    (found,) = assess(yard.no, [lot]).lots
    return found


def the_limit(yard: Yard) -> LimitResult:
    """The only limit's result."""
    (found,) = the_lot(yard).limits
    return found


def coded(lot: LotAssessment, code: str) -> list[Reason]:
    """Reasons of a lot with a code."""
    return [reason for reason in lot.reasons if reason.code == code]


GOOD = [block(23), block(23.1), block(22.9)]
"""Three blocks a day old that meet what the tests ask of them."""


def good_yard(*lots: str) -> Yard:
    """A plant with a density limit and lots that meet it."""
    yard = Yard.open()
    yard.limit("LIM", "density", "min", "22.0 kg/m3")
    for lot in lots or ("L1",):
        yard.block_lot(lot)
        yard.weigh(lot, "24h", GOOD)
    return yard
