"""Each kind of limit: met, not met, nothing read, voided, corrected after; and where it comes from.

A block of density r weighs 65 L × r, that times the water share of its state, and six ties of
0.27 kg: the figures below are worked out so, by hand and without the code under test.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import pytest

from beadwright.ledger.draft import Reading
from beadwright.plant.assessment import LotAssessment, Reason
from beadwright.plant.release import assess
from beadwright.plant.verdicts import LimitResult
from tests.plant.yard import Yard

pytestmark = pytest.mark.django_db

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
    code: str = "no_reading"

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
    assert coded(lot, "limits_met")[0].source == "LIM: signed limits, sheet 1"


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
    assert lot.reasons[0].code == "no_reading"
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


def test_density_is_net_of_ties_and_water_with_its_uncertainty() -> None:
    """Water 4 ± 1 % of dry foam at the press is 1 % ± 0.25 % a day later; ties have no spread."""
    yard = Yard.open()
    yard.limit("LIM", "density", "min", "22.0 kg/m3")
    yard.block_lot("L1")
    facts = {"state": "24h"}
    yard.read([
        Reading("block_mass_24h", "3.1301", "kg", lot="L1", uncertainty="0.0020", facts=facts)
    ])  # fmt: skip

    result = the_limit(yard)

    dry = (3.1301 - 1.62) / 1.01
    assert result.value_si == pytest.approx(dry / 0.065, rel=1e-9)
    water = 0.01 * dry
    assert result.u_si == pytest.approx((0.002**2 + (0.25 * water) ** 2) ** 0.5 / 0.065, rel=1e-9)


def test_ties_of_the_cartons_really_drawn_are_taken_off() -> None:
    """Two cartons, 240 ties of 0.27 kg and 120 of 0.30 kg: 0.28 kg on average."""
    yard = Yard.open()
    yard.limit("LIM", "density", "min", "22.0 kg/m3")
    yard.block_lot("L1", good=40)
    yard.carton("T-2", unit_kg=0.30)
    yard.mould("L1", carton="T-2", good=20, at=21, unit_kg=0.30)
    yard.weigh("L1", "dry", [0.065 * 23 + 6 * 0.28])

    result = the_limit(yard)

    assert result.value_si == pytest.approx(23.0, rel=1e-6)
    spread = ((240 * 0.01**2 + 120 * 0.02**2) / 360) ** 0.5
    assert result.u_si == pytest.approx(6 * spread / 0.065, rel=1e-6)


def test_a_mean_needs_all_its_pieces_and_an_each_one_bad_one() -> None:
    """Two of three: the mean waits; one piece below settles what holds for each."""
    yard = Yard.open()
    yard.limit("A", "density", "min", "22.0 kg/m3", specimens=3)
    yard.limit("B", "density", "min", "22.0 kg/m3", specimens=3, statistic="mean")
    yard.block_lot("L1")
    yard.weigh("L1", "24h", [block(23), block(21.5)])

    each, mean = the_lot(yard).limits

    assert (each.finding, mean.finding) == ("not_met", "not_enough_evidence")
    assert mean.missing == "2 of 3 pieces were measured; 1 more is needed"
    assert mean.value == "22.25 kg/m3"


def test_replicates_of_a_piece_are_one_piece() -> None:
    """Weighed twice, it counts once, with the mean of both."""
    yard = Yard.open()
    yard.limit("LIM", "density", "min", "22.0 kg/m3")
    yard.block_lot("L1")
    yard.read([
        Reading("dry_block_mass", mass, "kg", lot="L1", specimen="D1", replicate=number)
        for number, mass in ((1, "3.049"), (2, "3.053"))
    ])  # fmt: skip

    result = the_limit(yard)

    assert (result.n, len(result.readings)) == (1, 2)
    assert result.value_si == pytest.approx((3.051 - 1.62) / 0.065, rel=1e-9)


def test_wet_weighings_from_the_press_only_screen() -> None:
    """They say what it would be, decide nothing, and are never pooled with drier ones."""
    yard = Yard.open()
    yard.limit("LIM", "density", "min", "22.0 kg/m3")
    yard.block_lot("L1")
    yard.weigh("L1", "press", [block(21, "press")], at=21)

    wet = the_lot(yard)
    yard.weigh("L1", "24h", [block(22.5)])
    dry = the_lot(yard)

    assert wet.answer == "not_enough_evidence"
    assert wet.reasons[0].code == "only_wet"
    assert "no block was weighed at 24 h or dry" in wet.reasons[0].sentence
    assert "21.00 kg/m3, which would be not met" in wet.reasons[0].sentence
    assert dry.answer == "may_ship"
    assert dry.limits[0].value == "22.50 kg/m3"


def test_the_drier_weighings_decide_and_the_others_are_told() -> None:
    """Dry 22.3 meets what 21.8 a day old would not."""
    yard = Yard.open()
    yard.limit("LIM", "density", "min", "22.0 kg/m3")
    yard.block_lot("L1")
    yard.weigh("L1", "24h", [block(21.8)])
    yard.weigh("L1", "dry", [block(22.3, "dry")], at=90)

    lot = the_lot(yard)

    assert lot.answer == "may_ship"
    assert lot.limits[0].state == "dry"
    assert coded(lot, "columns_disagree")[0].sentence == ("a day old: 21.80 kg/m3 would be not met")


def test_cut_specimens_are_another_method_and_both_must_be_met() -> None:
    """A 100 mm cube of 21.5 g is 21.5 kg/m3, whatever the blocks weigh."""
    yard = Yard.open()
    yard.limit("LIM", "density", "min", "22.0 kg/m3")
    yard.block_lot("L1")
    sizes = [
        Reading(f"specimen_{side}", "100", "mm", lot="L1", specimen="C1")
        for side in ("length", "width", "height")
    ]
    yard.weigh("L1", "24h", [block(23)])
    yard.read([Reading("specimen_mass", "21.5", "g", lot="L1", specimen="C1"), *sizes])

    lot = the_lot(yard)

    assert lot.answer == "may_not_ship"
    assert (lot.limits[0].state, lot.limits[0].value) == ("specimen", "21.50 kg/m3")
    assert "a day old: 23.00 kg/m3 would be met" in lot.limits[0].warning


@pytest.mark.parametrize(
    ("facts", "finding"),
    [
        ({"state": "press", "age_h": "0.3"}, "not_enough_evidence"),
        ({"age_h": "3"}, "not_enough_evidence"),
        ({"age_h": "24"}, "met"),
        ({"state": "dry"}, "met"),
    ],
)
def test_dimensions_are_judged_a_day_after_only(facts: dict[str, str], finding: str) -> None:
    """A block is hot and swollen at the press."""
    yard = Yard.open()
    yard.limit("LIM", "length", "max", "48.125 in")
    yard.block_lot("L1")
    yard.gauge("L1", "length", ["48.0 in"], facts=facts)

    result = the_limit(yard)

    assert result.finding == finding
    assert ("gauged only before 24 h" in result.missing) == (finding != "met")


STANDARD = {"standard": "ASTM C578", "edition": "10", "type": "II", "characteristics": ["density"]}


def test_a_printed_limit_shows_where_it_stands_and_that_it_is_unverified() -> None:
    """Standard, edition, clause and how it was read go with the result."""
    yard = Yard.open()
    yard.set("standard", "FB6", STANDARD)
    yard.block_lot("L1")
    yard.weigh("L1", "24h", [block(23), block(23.1), block(22.9)])

    lot = the_lot(yard)

    (result,) = lot.limits
    limit = result.limit
    assert result.finding == "met"
    assert (limit.standard, limit.edition, limit.clause) == ("ASTM C578", "10", "Table 1")
    assert (limit.statistic, limit.specimens, str(limit.value)) == ("mean", 3, "1.35")
    assert limit.verified is False
    assert "unverified: read in" in coded(lot, "unverified_limit")[0].sentence
    assert coded(lot, "limits_met")[0].source.endswith("unverified")


def test_the_normative_column_decides_and_the_other_is_told() -> None:
    """21.8 kg/m3 is more than 1.35 lb/ft3 (21.62) and less than the 22 printed beside it."""
    yard = Yard.open()
    yard.set("standard", "FB6", STANDARD)
    yard.block_lot("L1")
    yard.weigh("L1", "24h", [block(21.8)] * 3)

    lot = the_lot(yard)

    assert lot.answer == "may_ship"
    (reason,) = coded(lot, "columns_disagree")
    assert "22 kg/m3, printed beside it, is not met" in reason.sentence


def test_a_printed_limit_that_is_not_met_stops_the_lot() -> None:
    """1.35 lb/ft3 is 21.62 kg/m3; the source says edition, clause, type, unverified."""
    yard = Yard.open()
    yard.set("standard", "FB6", STANDARD)
    yard.block_lot("L1")
    yard.weigh("L1", "24h", [block(21.5)] * 3)

    (reason,) = coded(the_lot(yard), "limit_not_met")

    assert "1.342 lb/ft3 (mean of 3, a day old) is below 1.35 lb/ft3 by 0.008" in reason.sentence
    assert reason.source.endswith("ASTM C578-10, Table 1, type II, unverified")


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"edition": "07"}, 'no figure of edition "07" is carried'),
        ({"characteristics": ["compressive_resistance"]}, "is not measured here"),
        ({"characteristics": ["colour"]}, "asks nothing of colour that we carry"),
    ],
)
def test_a_printed_limit_that_cannot_be_judged_does_not_fall_away(
    changes: dict[str, object], words: str
) -> None:
    """It asks, and says why."""
    yard = Yard.open()
    yard.set("standard", "FB6", {**STANDARD, **changes})
    yard.block_lot("L1")
    yard.weigh("L1", "24h", [block(23)] * 3)

    lot = the_lot(yard)

    assert lot.answer == "not_enough_evidence"
    assert lot.reasons[0].code == "limit_unusable"
    assert words in lot.reasons[0].sentence


@pytest.mark.parametrize(
    ("characteristic", "value", "words"),
    [
        ("density", "22", "No unit is given"),
        ("density", "heavy kg/m3", "is no number"),
        ("colour", "22 kg/m3", "no limit can be put on 'colour'"),
        ("surface_grade", "1 pcs", "no limit can be put on 'surface_grade'"),
    ],
)
def test_a_limit_that_cannot_be_read_does_not_fall_away(
    characteristic: str, value: str, words: str
) -> None:
    """Or a lot would ship because of a slip in a setting."""
    yard = Yard.open()
    yard.limit("LIM", characteristic, "min", value)
    yard.block_lot("L1")

    (reason,) = coded(the_lot(yard), "limit_unusable")

    assert words in reason.sentence


def test_limits_on_periodic_and_type_tests_ask_nothing_of_a_lot() -> None:
    """They are named, and rest on other evidence."""
    yard = Yard.open()
    yard.limit("LIM", "density", "min", "22.0 kg/m3")
    yard.limit("DAILY", "density", "min", "23.5 kg/m3", evidence="periodic_test")
    yard.limit("CUP", "cup_weight_hot", "min", "200 g")
    yard.block_lot("L1")
    yard.weigh("L1", "24h", [block(23)])

    lot = the_lot(yard)

    assert lot.answer == "may_ship"
    assert lot.elsewhere == ("CUP", "DAILY")


def test_a_lot_is_judged_by_the_limits_of_the_day_it_was_made() -> None:
    """A limit from hour 100 on is none of a lot of hour 20."""
    yard = Yard.open()
    yard.limit("LIM", "density", "min", "22.0 kg/m3")
    yard.limit("LIM", "density", "min", "23.5 kg/m3", since=100)
    yard.block_lot("L1")
    yard.expand("B-1", "S1", at=102)
    yard.mould("L2", at=120)
    for lot in ("L1", "L2"):
        yard.weigh(lot, "24h", [block(23)], at=150)

    assert the_lot(yard, "L1").answer == "may_ship"
    assert the_lot(yard, "L2").answer == "may_not_ship"


def test_a_product_without_limits_is_not_let_go() -> None:
    """Nothing says when it may ship."""
    yard = Yard.open()
    yard.block_lot("L1")

    lot = the_lot(yard)

    assert (lot.answer, lot.reasons[0].code) == ("not_enough_evidence", "no_limit")


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"foam_volume": "65"}, "foam_volume of FB6 cannot be read: 65"),
        ({"foam_volume": None}, "foam_volume of FB6 cannot be read"),
        ({"moisture": {"press": "0.04"}}, "FB6 has no water share for state 24h"),
    ],
)
def test_a_density_that_cannot_be_computed_says_why(changes: dict[str, object], words: str) -> None:
    """What the product's setting lacks is named."""
    yard = Yard.open()
    product = {"family": "form", "ties": 6, "foam_volume": "65 L", "moisture": {"24h": "0.01"}}
    yard.set("product", "FB6", {**product, **changes}, since=1)
    yard.limit("LIM", "density", "min", "22.0 kg/m3")
    yard.block_lot("L1")
    yard.weigh("L1", "24h", [block(23)])

    result = the_limit(yard)

    assert result.finding == "not_enough_evidence"
    assert words in result.missing


def test_no_carton_no_density() -> None:
    """Whose ties are not known, nobody can take off."""
    yard = Yard.open()
    yard.limit("LIM", "density", "min", "22.0 kg/m3")
    yard.bag("B-1")
    yard.expand("B-1", "S1")
    yard.mould("L1", carton="")
    yard.weigh("L1", "24h", [block(23)])

    assert "no tie carton was drawn for it" in the_limit(yard).missing


def test_a_corrected_mould_run_takes_its_new_carton() -> None:
    """Ties of 0.28 kg instead of 0.27 kg: 0.06 kg less foam in every block."""
    yard = Yard.open()
    yard.limit("LIM", "density", "min", "22.5 kg/m3")
    posted = yard.block_lot("L1")
    yard.carton("T-2", unit_kg=0.28)
    yard.weigh("L1", "dry", [block(23, "dry")])
    before = the_lot(yard)

    yard.draw_ties_of(posted.key, "T-2", unit_kg=0.28)
    after = the_lot(yard)

    assert (before.answer, after.answer) == ("may_ship", "may_not_ship")
    assert after.limits[0].value_si == pytest.approx(23 - 0.06 / 0.065, rel=1e-6)
