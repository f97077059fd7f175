"""Where limits come from: printed and unverified, unreadable, of other evidence, of which day."""

import pytest

from beadwright.plant.release import assess
from tests.plant.asking import block, coded, the_lot
from tests.plant.yard import Yard

pytestmark = pytest.mark.django_db

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
        ({"edition": "95"}, 'no figure of edition "95" is carried'),
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
    yard.sweep("S1", at=101)
    yard.expand("B-1", "S1", at=102)
    yard.mould("L2", at=120)
    for lot in ("L1", "L2"):
        yard.weigh(lot, "24h", [block(23)], at=150)

    found = {lot.lot: lot for lot in assess(yard.no).lots}

    assert {code: lot.limits[0].bound for code, lot in found.items()} == {
        "L1": "22.0 kg/m3",
        "L2": "23.5 kg/m3",
    }
    assert found["L1"].answer == "may_ship"
    assert [reason.code for reason in found["L2"].reasons] == ["limit_not_met"]


def test_a_product_without_limits_is_not_let_go() -> None:
    """Nothing says when it may ship."""
    yard = Yard.open()
    yard.block_lot("L1")

    lot = the_lot(yard)

    assert (lot.answer, lot.reasons[0].code) == ("not_enough_evidence", "no_limit")
