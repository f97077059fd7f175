"""A plant whose lot is covered by reports: a weekly strength and a type test of oxygen index."""

from tests.plant.planning import lot, plant, report
from tests.plant.yard import Yard

__all__ = ["well_tested"]


def well_tested() -> Yard:
    """A plant with a weekly strength, a type test of the oxygen index, and reports of both."""
    yard = plant()
    yard.limit("OXY", "oxygen_index", "min", "24.0 %", evidence="type_test", source="sheet 7")
    yard.set("plan", "FB6-OXY", product="FB6", characteristic="oxygen_index",
             evidence="type_test", specimens=10, method="ASTM D2863")  # fmt: skip
    report(yard, "R-41", 7, "17.4 psi", issued="2026-09-11", tested="2026-09-10")
    report(yard, "T-9", 1, "28.5 %", characteristic="oxygen_index", method="ASTM D2863-19",
           specimens=10, sampled="2026-01-15", expires="2028-01-15")  # fmt: skip
    lot(yard, "L1", 9)
    return yard
