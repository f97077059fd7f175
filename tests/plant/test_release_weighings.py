"""What a lot's weighings say: net of ties and water, by state, by method; and ties in doubt."""

import pytest

from beadwright.ledger.draft import Reading
from tests.plant.asking import GOOD, block, coded, good_yard, the_limit, the_lot
from tests.plant.yard import Yard

pytestmark = pytest.mark.django_db


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


def test_one_drier_piece_below_the_limit_settles_it() -> None:
    """Three a day old meet it; the one that was dried does not."""
    yard = Yard.open()
    yard.limit("LIM", "density", "min", "22.0 kg/m3", specimens=3)
    yard.block_lot("L1")
    yard.weigh("L1", "24h", GOOD)
    yard.weigh("L1", "dry", [block(21.5, "dry")], at=90)

    result = the_limit(yard)

    assert (result.finding, result.state, result.value) == ("not_met", "dry", "21.50 kg/m3")


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


def test_a_piece_short_of_a_whole_tie_is_asked_about_before_it_is_called_light() -> None:
    """Its foam would be 18.9 kg/m3; 0.27 kg is one tie."""
    yard = good_yard("L0")
    yard.block_lot("L1", at=21)
    yard.weigh("L1", "24h", [*GOOD, block(23, ties=5)])

    lot = the_lot(yard)

    assert lot.answer == "not_enough_evidence"
    assert [one.finding for one in lot.limits] == ["met"]
    assert lot.limits[0].n == 3
    assert lot.reasons[0].code == "tie_missing"
    assert lot.reasons[0].sentence == (
        "piece D4 (a day old) weighs 0.27 kg too little, which fits 1 tie:"
        " count the ties before the foam is called light"
    )


def test_two_pieces_are_compared_with_the_target() -> None:
    """Too few for a median: the product's foam mass is the measure."""
    yard = good_yard("L0")
    yard.block_lot("L1", at=21)
    yard.weigh("L1", "24h", [block(23), block(23, ties=4)])

    lot = the_lot(yard)

    assert [(one.pieces, one.short) for one in lot.ties] == [(("D2",), 2)]


def test_light_foam_is_light() -> None:
    """0.13 kg too little fits no tie of 0.27 kg."""
    yard = good_yard("L0")
    yard.block_lot("L1", at=21)
    yard.weigh("L1", "24h", [*GOOD, block(21)])

    lot = the_lot(yard)

    assert lot.answer == "may_not_ship"
    assert lot.ties == ()
    assert coded(lot, "limit_not_met")[0].sentence.startswith("density 21.00 kg/m3 (least of 4")


def test_a_whole_lot_short_of_a_tie_is_light_and_asked_about() -> None:
    """Perhaps the ties weigh less than the carton says: the limit stands, the question too."""
    yard = good_yard("L0")
    yard.block_lot("L1", at=21)
    yard.weigh("L1", "24h", [block(23, ties=5), block(23.1, ties=5), block(22.9, ties=5)])

    lot = the_lot(yard)

    assert lot.answer == "may_not_ship"
    assert coded(lot, "limit_not_met")
    (reason,) = coded(lot, "tie_missing")
    assert reason.sentence.startswith("every piece (a day old) is about 0.27 kg short of FB6's")
