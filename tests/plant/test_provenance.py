"""Readings entered long after they were taken, and calibrations entered after the readings.

Days are of September 2026 in the plant's zone, but for those on which something was entered.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from beadwright.ledger import entered
from beadwright.ledger.draft import Decision, Reading
from beadwright.plant.access import Who
from beadwright.plant.assessment import LotAssessment
from beadwright.plant.history import history
from beadwright.plant.opening import open_plant
from beadwright.plant.said_words import sentence
from tests.plant.asking import GOOD, coded, the_lot
from tests.plant.planning import hours
from tests.plant.yard import DAY, Yard, ms

pytestmark = pytest.mark.django_db

MADE = ms(hours(9, 10))


def yard_of(*, every: str = "365 days") -> Yard:
    """A plant with a balance and a limit, and a lot of the ninth, entered within the hour."""
    yard = Yard.open()
    yard.set("instrument", "BAL-2", what="balance", every=every)
    yard.limit("DEN", "density", "min", "22.0 kg/m3")
    yard.set("ageing", "F1", min_h="0", max_h="2000")
    now(yard, MADE + 3_600_000)
    yard.block_lot("L1", at=hours(9, 10))
    return yard


def now(yard: Yard, at_ms: int) -> None:
    """Enter what comes next at that time."""
    yard.door = replace(yard.door, clock=lambda: at_ms)


def weigh(yard: Yard, *, entered: float, instrument: str = "BAL-2") -> LotAssessment:
    """Weigh three blocks on the tenth, and enter that so many days later."""
    taken = hours(10, 16)
    now(yard, ms(taken) + round(entered * DAY))
    yard.read([
        Reading("block_mass_24h", f"{mass:.4f}", "kg", lot="L1", specimen=f"D{i}",
                instrument=instrument, facts={"state": "24h", "age_h": "26"})
        for i, mass in enumerate(GOOD, 1)
    ], at=taken)  # fmt: skip
    return the_lot(yard)


def calibrate(yard: Yard, done: str, *, entered_at: int, **more: str) -> int:
    """Enter a calibration of the balance."""
    now(yard, entered_at)
    body = {"done": done, "result": "pass", "certificate": f"C-{done}", **more}
    draft = Decision(f"cal/{entered_at}", entered_at, "calibration", "BAL-2", body, by="P-13")
    return yard.post(draft).seq


# -- calibrations ------------------------------------------------------------------------------


def test_a_calibration_entered_after_the_readings_it_makes_good_is_named() -> None:
    """Which, of what, done when, entered by whom and when: in the answer and in the history."""
    yard = yard_of()
    before = weigh(yard, entered=0.1)
    seq = calibrate(yard, "2026-09-01", entered_at=MADE + 77 * DAY)
    after = the_lot(yard)

    assert before.answer == "not_enough_evidence"
    assert after.answer == "may_ship"
    (reason,) = coded(after, "calibrated_late")
    assert reason.weight == "notes"
    assert reason.sentence == (
        "3 readings (block mass 24h) count by calibration C-2026-09-01 of BAL-2, done 2026-09-01,"
        " which P-13 entered later, on 2026-11-25"
    )
    assert reason.source == f"entry {seq}"
    lines = {view.entered.seq: (view, why) for view, why in history(open_plant("P1"), "L1").lines}
    view, why = lines[seq]
    assert why == "calibrates"
    assert "BAL-2: pass, done 2026-09-01, certificate C-2026-09-01" in sentence(view, "L1", "si")


def test_one_that_lets_go_what_no_limit_rests_on_is_named_too() -> None:
    """Wet blocks weighed on the balance hold the lot while they are set aside."""
    yard = yard_of()
    now(yard, ms(hours(9, 12)))
    facts = {"state": "press", "age_h": "0.1"}
    yard.read([Reading("wet_block_mass", "3.1", "kg", lot="L1", specimen="W1", instrument="BAL-2",
                       facts=facts)], at=hours(9, 11))  # fmt: skip
    before = weigh(yard, entered=0.1, instrument="BAL-1")
    calibrate(yard, "2026-09-01", entered_at=MADE + 77 * DAY)
    after = the_lot(yard)

    assert (before.answer, after.answer) == ("not_enough_evidence", "may_ship")
    (reason,) = coded(after, "calibrated_late")
    assert "1 reading (wet block mass) counts by calibration" in reason.sentence


def test_a_calibration_entered_in_time_is_not_named() -> None:
    """Nor is it part of the lot's history."""
    yard = yard_of()
    seq = calibrate(yard, "2026-09-01", entered_at=MADE)
    found = weigh(yard, entered=0.1)

    assert (found.answer, coded(found, "calibrated_late")) == ("may_ship", [])
    assert seq not in {view.entered.seq for view, _ in history(open_plant("P1"), "L1").lines}


def test_a_late_one_is_not_named_where_an_earlier_one_held_anyway() -> None:
    """The readings would count without it."""
    yard = yard_of()
    calibrate(yard, "2026-08-01", entered_at=MADE)
    weigh(yard, entered=0.1)
    calibrate(yard, "2026-09-01", entered_at=MADE + 77 * DAY)

    assert coded(the_lot(yard), "calibrated_late") == []


def test_a_late_one_is_named_where_the_earlier_one_had_lapsed() -> None:
    """Without it they would be none."""
    yard = yard_of()
    calibrate(yard, "2026-08-01", entered_at=MADE, due="2026-08-31")
    weigh(yard, entered=0.1)
    calibrate(yard, "2026-09-01", entered_at=MADE + 77 * DAY)

    assert len(coded(the_lot(yard), "calibrated_late")) == 1


# -- readings ----------------------------------------------------------------------------------


@pytest.mark.parametrize(("days", "told"), [(0.1, False), (6.9, False), (7.1, True), (76, True)])
def test_a_reading_entered_more_than_a_week_after_it_was_taken_is_told(
    days: float, told: bool
) -> None:
    """Its lot was entered in time."""
    yard = yard_of()
    calibrate(yard, "2026-09-01", entered_at=MADE)
    found = weigh(yard, entered=days)

    assert bool(coded(found, "entered_late")) is told
    assert found.answer == "may_ship"


def test_it_says_who_took_it_and_both_days() -> None:
    """And which entries they are."""
    yard = yard_of()
    calibrate(yard, "2026-09-01", entered_at=MADE)
    found = weigh(yard, entered=76)

    (reason,) = coded(found, "entered_late")
    assert "3 readings (block mass 24h), taken 2026-09-10" in reason.sentence
    assert reason.sentence.endswith(", entered 2026-11-25")
    assert reason.source.startswith("entr")
    assert found.came.late[0].ids == found.limits[0].readings


def test_what_came_with_its_lot_is_not_told() -> None:
    """A plant that enters its old sheets at once enters all of it late."""
    yard = Yard.open()
    yard.limit("DEN", "density", "min", "22.0 kg/m3")
    now(yard, MADE + 100 * DAY)
    yard.block_lot("L1", at=hours(9, 10))
    yard.read([
        Reading("block_mass_24h", f"{mass:.4f}", "kg", lot="L1", specimen=f"D{i}",
                facts={"state": "24h", "age_h": "26"})
        for i, mass in enumerate(GOOD, 1)
    ], at=hours(10, 16))  # fmt: skip

    assert coded(the_lot(yard), "entered_late") == []


def test_what_came_late_by_another_way_than_its_lot_is_told() -> None:
    """The lot by its import, the readings by somebody's hand on the same day."""
    yard = Yard.open()
    yard.limit("DEN", "density", "min", "22.0 kg/m3")
    now(yard, MADE + 100 * DAY)
    yard.who = Who("import:17", yard.who.role)
    yard.block_lot("L1", at=hours(9, 10))
    yard.who = Who("install", yard.who.role)
    found = weigh(yard, entered=98.8, instrument="")

    assert len(coded(found, "entered_late")) == 1


def test_in_a_demonstration_it_is_late_by_the_demonstrations_own_time() -> None:
    """Keyed a year after its weeks, at their end: not late. Keyed for a day long before: late."""
    yard = yard_of()
    calibrate(yard, "2026-09-01", entered_at=MADE)
    yard.set("plant", "P1", name="Yard", zone="America/Chicago", invented=True)
    found = weigh(yard, entered=370)
    assert coded(found, "entered_late") == []

    yard.block_lot("L2", at=hours(30, 10))
    yard.weigh("L1", "24h", GOOD, at=hours(11, 10))
    (reason,) = coded(the_lot(yard), "entered_late")
    assert "taken 2026-09-11" in reason.sentence
    assert reason.sentence.endswith(", entered 2026-09-30")


def test_the_marks_of_entries_are_those_of_the_entries() -> None:
    """Read from both ends of the body: whatever else stands in it."""
    yard = yard_of()
    weigh(yard, entered=3)
    seqs = range(1, open_plant("P1").head[0] + 1)
    whole = entered.by_number("P1", seqs)

    assert {seq: (one.account, one.recorded_at) for seq, one in whole.items()} == {
        seq: (one.account, one.recorded_at) for seq, one in entered.marks("P1", seqs).items()
    }
