"""Each kind of limit: met, not met, nothing read, voided, corrected after."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import pytest

from beadwright.ledger.draft import Reading
from tests.plant.asking import block, coded, the_limit, the_lot
from tests.plant.yard import Yard

pytestmark = pytest.mark.django_db


@dataclass(frozen=True)
class Case:
    """A limit, readings that meet it and readings that do not."""

    characteristic: str
    bound: str
    value: str
    good: Callable[[Yard], str]
    bad: Callable[[Yard], str]
    shown: str
    """Value of the bad readings, in the limit's unit."""
    margin: str
    statistic: str = "each"
    code: str = "not_measured"

    def __str__(self) -> str:
        """Name the case."""
        return f"{self.statistic} {self.characteristic} {self.bound}"


def weighed(*densities: float) -> Callable[[Yard], str]:
    """Blocks of these densities, weighed a day old."""
    return lambda yard: yard.weigh("L1", "24h", [block(density) for density in densities])


def gauged(*lengths: str) -> Callable[[Yard], str]:
    """Lengths gauged a day after."""
    return lambda yard: yard.gauge("L1", "length", lengths)


def looked_over(checked: int, **bad: int) -> Callable[[Yard], str]:
    """Pieces counted by kind of defect."""
    return lambda yard: yard.look_over("L1", checked, **bad)


CASES = [
    Case(
        "density", "min", "22.0 kg/m3",
        weighed(22.1, 23.0), weighed(21.5, 23.0), "21.50 kg/m3", "-0.50 kg/m3",
    ),
    Case(
        "density", "max", "24.0 kg/m3",
        weighed(23.9, 22.0), weighed(24.25, 22.0), "24.25 kg/m3", "-0.25 kg/m3",
    ),
    Case(
        "density", "min", "22.4 kg/m3",
        weighed(22.0, 22.9), weighed(22.0, 22.6), "22.30 kg/m3", "-0.10 kg/m3", "mean",
    ),
    Case(
        "foam_mass", "min", "1.43 kg",
        weighed(22.1), weighed(21.4), "1.391 kg", "-0.039 kg",
    ),  # 65 L × 21.4 kg/m3
    Case(
        "block_mass", "max", "3.15 kg",
        weighed(23.0), weighed(24.0), "3.180 kg", "-0.030 kg",
    ),  # 65 L × 24 kg/m3 + 1.62 kg, net of water
    Case(
        "block_mass_24h", "max", "3.15 kg",
        weighed(23.0), weighed(24.0), "3.196 kg", "-0.046 kg",
    ),  # 1.56 kg × 1.01 + 1.62 kg = 3.1956 kg, water and all
    Case(
        "length", "max", "48.125 in",
        gauged("48.1 in", "48.0 in"), gauged("48.2 in", "48.0 in"), "48.2000 in", "-0.0750 in",
    ),
    Case(
        "length", "min", "1218 mm",
        gauged("48.0 in"), gauged("1217.5 mm", "48.0 in"), "1217.5 mm", "-0.5 mm",
    ),
    Case(
        "defective_ties", "max", "1 pcs",
        looked_over(40, ties=1), looked_over(40, ties=3), "3 pcs", "-2 pcs",
    ),
    Case(
        "defective_surface", "max", "5 %",
        looked_over(40, surface=2), looked_over(40, surface=3), "7.5 %", "-2.5 %",
    ),
    Case(
        "share_defective", "max", "5 %",
        looked_over(40, ties=1, fusion=1), looked_over(40, ties=2, fusion=2), "10.0 %", "-5.0 %",
    ),
]  # fmt: skip
EVERY = pytest.mark.parametrize("case", CASES, ids=str)


def yard_of(case: Case) -> Yard:
    """A plant with one block lot and one limit."""
    yard = Yard.open()
    more: dict[str, Any] = {"statistic": case.statistic}
    yard.limit("LIM", case.characteristic, case.bound, case.value, **more)
    yard.block_lot("L1")
    return yard


@EVERY
def test_a_limit_that_is_met_lets_the_lot_ship(case: Case) -> None:
    """The reason names the narrowest limit and its source."""
    yard = yard_of(case)
    case.good(yard)

    lot = the_lot(yard)

    assert lot.answer == "may_ship"
    assert [one.finding for one in lot.limits] == ["met"]
    assert (lot.limits[0].margin_si or 0) >= 0
    assert coded(lot, "limits_met")[0].source == (
        "LIM: the plant's own, as its setting says: signed limits, sheet 1;"
        " nobody is named, keyed by account install"
    )


@EVERY
def test_a_limit_that_is_not_met_stops_the_lot(case: Case) -> None:
    """With value, bound, margin and source in one sentence."""
    yard = yard_of(case)
    case.bad(yard)

    lot = the_lot(yard)

    (result,) = lot.limits
    assert lot.answer == "may_not_ship"
    assert result.finding == "not_met"
    assert (result.value, result.margin) == (case.shown, case.margin)
    (reason,) = coded(lot, "limit_not_met")
    assert reason.weight == "stops"
    assert case.value in reason.sentence
    assert case.shown in reason.sentence
    assert case.margin.lstrip("-") in reason.sentence


@EVERY
def test_a_lot_test_that_nobody_made_asks_for_it(case: Case) -> None:
    """Not enough evidence, and the one missing thing comes first."""
    lot = the_lot(yard_of(case))

    assert lot.answer == "not_enough_evidence"
    assert lot.limits[0].finding == "not_enough_evidence"
    assert lot.reasons[0].code == "not_measured"
    assert lot.limits[0].missing in lot.reasons[0].sentence


@EVERY
def test_voided_readings_count_no_longer(case: Case) -> None:
    """What did not meet the limit is voided: then there is nothing."""
    yard = yard_of(case)
    key = case.bad(yard)
    before = the_lot(yard)
    yard.void(key)

    lot = the_lot(yard)

    assert (before.answer, lot.answer) == ("may_not_ship", "not_enough_evidence")
    assert before.evidence != lot.evidence


@EVERY
def test_corrected_readings_count_instead(case: Case) -> None:
    """Void and read anew: the answer follows the newest."""
    yard = yard_of(case)
    yard.void(case.bad(yard))
    case.good(yard)

    assert the_lot(yard).answer == "may_ship"


@pytest.mark.parametrize(
    ("key", "finding"), [("24.00", "met"), ("24.01", "not_met"), ("23.99", "met")]
)
def test_a_value_at_the_limit_meets_it(key: str, finding: str) -> None:
    """Simple acceptance, to the last figure that the arithmetic carries: 1.56 kg in 65 L."""
    yard = Yard.open()
    yard.limit("LIM", "density", "max", "24 kg/m3")
    yard.block_lot("L1")
    density = float(key)
    mass = f"{0.065 * density + 1.62:.6f}"
    yard.read([Reading("dry_block_mass", mass, "kg", lot="L1", facts={"state": "dry"})])

    assert the_limit(yard).finding == finding


def test_a_value_that_is_not_the_bound_never_reads_as_if_it_were() -> None:
    """21.9998 is shown with as many digits as it takes."""
    yard = Yard.open()
    yard.limit("LIM", "density", "min", "22.0 kg/m3")
    yard.block_lot("L1")
    yard.read([Reading("dry_block_mass", "3.049987", "kg", lot="L1")])  # 1.429987 kg / 65 L

    result = the_limit(yard)

    assert result.finding == "not_met"
    assert result.value == "21.9998 kg/m3"


def test_the_limit_missed_by_most_comes_first() -> None:
    """As share of its bound: density by 2 %, block mass by less than 1 %."""
    yard = Yard.open()
    yard.limit("A", "block_mass", "min", "3.05 kg")
    yard.limit("B", "density", "min", "22.0 kg/m3")
    yard.block_lot("L1")
    yard.weigh("L1", "24h", [block(21.5)])

    missed = coded(the_lot(yard), "limit_not_met")

    assert [reason.source[0] for reason in missed] == ["B", "A"]


@pytest.mark.parametrize("statistic", ["each", "mean"])
def test_of_a_lot_of_two_pieces_both_are_enough(statistic: str) -> None:
    """A last stretch made fewer blocks than are asked for: each measured is all there can be."""
    yard = Yard.open()
    limits = {"density": "22.0 kg/m3", "length": "1210 mm", "block_mass_24h": "3 kg"}
    for name, value in limits.items():
        yard.limit(name.upper(), name, "min", value, statistic=statistic, specimens=3)
    yard.block_lot("L1", good=2)
    yard.gauge("L1", "length", ["1219 mm", "1219 mm"])
    yard.weigh("L1", "24h", [block(23.0)])
    one = the_lot(yard)
    yard.read([Reading("block_mass_24h", f"{block(23.1):.4f}", "kg", lot="L1", specimen="D2",
                       facts={"state": "24h", "age_h": "26"})])  # fmt: skip
    both = the_lot(yard)

    assert one.answer == "not_enough_evidence"
    few = "1 of 2 pieces were measured; 1 more is needed"
    assert sorted(told.missing for told in one.limits) == ["", few, few]
    assert both.answer == "may_ship"
    assert [(told.limit.specimens, told.n) for told in both.limits] == [(3, 2)] * 3
    assert "all 2 pieces that the lot has were measured: block mass 24h, density, length" in [
        reason.sentence for reason in both.reasons
    ]
