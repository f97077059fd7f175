"""Readings of instruments that were not fit are no evidence, and it is said.

Days are of September 2026 in the plant's zone.
"""

from __future__ import annotations

import pytest

from beadwright.ledger.draft import Reading
from beadwright.plant.assessment import LotAssessment
from tests.plant.asking import GOOD, coded, the_lot
from tests.plant.planning import decide, hours, lot, plant, strengths, told
from tests.plant.yard import Yard

pytestmark = pytest.mark.django_db


# -- instruments -------------------------------------------------------------------------------


def weighed_with(yard: Yard, instrument: str) -> LotAssessment:
    """A lot weighed with an instrument on 10 September."""
    yard.limit("DEN", "density", "min", "22.0 kg/m3")
    yard.block_lot("L1")
    readings = [
        Reading("block_mass_24h", f"{mass:.4f}", "kg", lot="L1", specimen=f"D{i}",
                instrument=instrument, facts={"state": "24h", "age_h": "26"})
        for i, mass in enumerate(GOOD, 1)
    ]  # fmt: skip
    yard.read(readings, at=hours(10, 9))
    return the_lot(yard)


def calibrated(yard: Yard, day: int, result: str = "pass", **more: str) -> None:
    """Post a calibration of the balance."""
    decide(yard, "calibration", "BAL-2", {"done": f"2026-09-{day:02}", "result": result, **more})


def test_an_instrument_that_is_not_listed_is_not_judged() -> None:
    """Nobody said that it needs calibration."""
    yard = Yard.open()
    yard.set("instrument", "BAL-2", what="balance", every="365 days")

    assert weighed_with(yard, "BAL-7").answer == "may_ship"


@pytest.mark.parametrize(
    ("calibrations", "words"),
    [
        ([], "it had never been calibrated"),
        ([(11, "pass", "")], "it had never been calibrated"),
        ([(1, "pass", "2026-09-09")], "its calibration of 2026-09-01 held until 2026-09-09"),
        ([(1, "pass", ""), (9, "fail", "")], "it failed its calibration of 2026-09-09"),
    ],
)
def test_readings_of_an_unfit_instrument_are_no_evidence(
    calibrations: list[tuple[int, str, str]], words: str
) -> None:
    """Missing and said why; with a calibration that held they are evidence again."""
    yard = Yard.open()
    yard.set("instrument", "BAL-2", what="balance", every="365 days")
    for day, result, due in calibrations:
        calibrated(yard, day, result, due=due)
    found = weighed_with(yard, "BAL-2")
    calibrated(yard, 10)
    after = the_lot(yard)

    assert found.answer == "not_enough_evidence"
    (reason,) = coded(found, "out_of_calibration")
    assert words in reason.sentence
    assert "3 of its readings (block mass 24h) were taken with BAL-2" in reason.sentence
    assert coded(found, "not_measured")
    assert [one.instrument for one in found.aside] == ["BAL-2"]
    assert len(found.aside[0].ids) == 3
    assert (after.answer, after.aside) == ("may_ship", ())
    assert after.evidence != found.evidence


def test_the_hash_of_the_evidence_holds_why_readings_are_set_aside() -> None:
    """Never calibrated, then failed: the answer is the same, its grounds are not."""
    yard = Yard.open()
    yard.set("instrument", "BAL-2", what="balance", every="365 days")
    never = weighed_with(yard, "BAL-2")
    calibrated(yard, 9, "fail")
    failed = the_lot(yard)

    assert never.answer == failed.answer
    assert never.evidence != failed.evidence


def test_a_bad_value_of_an_unfit_instrument_is_not_passed_over_in_silence() -> None:
    """Others that pass do not make up for it: it is weighed again, or voided with a reason."""
    yard = Yard.open()
    yard.set("instrument", "BAL-2", what="balance", every="365 days")
    weighed_with(yard, "BAL-2")
    yard.weigh("L1", "24h", GOOD)

    assert told(yard, "L1") == ("not_enough_evidence", "out_of_calibration")


def test_strengths_read_with_an_unfit_instrument_cover_nothing() -> None:
    """Neither their own lot nor others."""
    yard = plant()
    yard.set("instrument", "PRESS-1", what="press", every="year")
    for day in (8, 9):
        lot(yard, f"L{day}", day)
    strengths(yard, "L8", 16, 17, 16.5, 17.2, 16.8, instrument="PRESS-1")

    assert told(yard, "L9") == ("not_enough_evidence", "no_periodic_test")
    assert {one.code for one in the_lot(yard, "L8").reasons} >= {
        "no_periodic_test", "out_of_calibration"
    }  # fmt: skip
