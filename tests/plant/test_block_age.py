"""No reading counts as of a block a day old that, by the record, was not."""

import pytest

from beadwright.errors import Refusal
from beadwright.ledger.draft import Reading
from beadwright.plant.block_age import age_h
from tests.plant.asking import block, coded, the_limit, the_lot
from tests.plant.yard import Yard

pytestmark = pytest.mark.django_db

H = 3_600_000


@pytest.fixture
def yard() -> Yard:
    """A lot moulded in hour 20, and its limit."""
    yard = Yard.open()
    yard.limit("LIM", "density", "min", "22.0 kg/m3", specimens=3)
    yard.block_lot("L1", at=20)
    return yard


@pytest.mark.parametrize(("state", "at"), [("24h", 19), ("dry", 12), ("24h", 0)])
def test_a_weighing_before_the_lot_was_moulded_is_no_evidence(
    yard: Yard, state: str, at: float
) -> None:
    """It is of another lot, or of another day."""
    yard.weigh("L1", state, [block(23)] * 3, at=at)

    lot = the_lot(yard)

    assert lot.answer == "not_enough_evidence"
    assert [one.n for one in lot.limits] == [0]
    (reason,) = coded(lot, "weighed_too_soon")
    assert reason is lot.reasons[0]
    assert "3 weighed, none counts: taken before the lot was moulded" in reason.sentence
    assert "correct the row's time" in reason.sentence


@pytest.mark.parametrize("age", ["0.1", "24", None])
def test_a_block_weighed_too_soon_counts_as_wet(yard: Yard, age: str | None) -> None:
    """Whatever age is stated: the record knows when the lot was moulded."""
    facts = {"state": "24h"} | ({} if age is None else {"age_h": age})
    yard.read([
        Reading("block_mass_24h", f"{block(23):.4f}", "kg", lot="L1", specimen=f"D{n}", facts=facts)
        for n in range(3)
    ], 39.5)  # fmt: skip

    lot = the_lot(yard)

    assert lot.answer == "not_enough_evidence"
    assert lot.limits[0].state == "press"
    (reason,) = coded(lot, "weighed_too_soon")
    assert "19.5 h old, less than 20 h, and count as wet" in reason.sentence


def test_from_the_twentieth_hour_a_block_is_a_day_old(yard: Yard) -> None:
    """As it is said to be; nothing is set aside."""
    yard.weigh("L1", "24h", [block(23)] * 3, at=40)

    lot = the_lot(yard)

    assert lot.answer == "may_ship"
    assert coded(lot, "weighed_too_soon") == []


def test_the_plant_sets_its_own_hours(yard: Yard) -> None:
    """From its day on, for lots moulded since; before, what is common."""
    yard.set("age_gate", "weighing", min_h="30", since=1)
    yard.weigh("L1", "24h", [block(23)] * 3, at=45)

    (reason,) = coded(the_lot(yard), "weighed_too_soon")
    assert "less than 30 h" in reason.sentence

    with pytest.raises(Refusal):
        yard.set("age_gate", "weighing", min_h="a day")


def test_a_gauged_block_is_as_young(yard: Yard) -> None:
    """Dimensions are judged after a day too."""
    yard.limit("LEN", "length", "min", "1.2 m")
    yard.gauge("L1", "length", ["1.219 m"], at=21)

    result = next(one for one in the_lot(yard).limits if one.limit.name == "LEN")

    assert (result.finding, result.n) == ("not_enough_evidence", 0)
    assert "gauged only before 24 h" in result.missing


def test_a_too_young_block_that_fails_still_screens(yard: Yard) -> None:
    """It is not lost: wet, it says what it would be."""
    yard.weigh("L1", "24h", [block(20)] * 3, at=25)

    assert "not met" in the_limit(yard).missing


def test_the_age_stated_counts_as_far_as_the_runs_allow() -> None:
    """A run of ten hours: a block of its beginning is older than one of its end."""
    runs = [(0, 10 * H)]

    assert age_h(26 * H, 24, runs) == 24
    assert age_h(26 * H, 40, runs) == 26
    assert age_h(26 * H, 2, runs) == 16
    assert age_h(26 * H, None, runs) == 16
    assert age_h(5 * H, None, [*runs, (12 * H, 20 * H)]) == -5
    assert age_h(26 * H, 24, []) is None
