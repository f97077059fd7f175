"""Readings of instruments that were not fit are no evidence, and it is said.

Days are of September 2026 in the plant's zone.
"""

from __future__ import annotations

import pytest

from beadwright.errors import Refusal
from beadwright.ledger.draft import Reading
from beadwright.plant.assessment import LotAssessment
from beadwright.plant.look_back import look_back
from beadwright.plant.look_back.words import words_of
from tests.plant.asking import GOOD, block, coded, the_lot
from tests.plant.planning import STRENGTH, decide, hours, lot, plant, strengths, told
from tests.plant.yard import Yard, ms

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
    body = {"done": f"2026-09-{day:02}", "result": result, "certificate": "C-1", **more}
    decide(yard, "calibration", "BAL-2", body)


def test_an_instrument_that_is_not_listed_is_not_judged() -> None:
    """Nobody said that it needs calibration."""
    yard = Yard.open()
    yard.set("instrument", "BAL-2", what="balance", every="365 days")

    assert weighed_with(yard, "BAL-7").answer == "may_ship"


@pytest.mark.parametrize(
    ("calibrations", "words"),
    [
        ([], "BAL-2 had never been calibrated"),
        ([(11, "pass", "")], "BAL-2 had never been calibrated"),
        ([(1, "pass", "2026-09-09")], "BAL-2's calibration of 2026-09-01 held until 2026-09-09"),
        ([(1, "pass", ""), (9, "fail", "")], "BAL-2 failed its calibration of 2026-09-09"),
    ],
)
def test_readings_of_an_unfit_instrument_are_no_evidence(
    calibrations: list[tuple[int, str, str]], words: str
) -> None:
    """Weighed, and said why it does not count; with a calibration that held it is evidence."""
    yard = Yard.open()
    yard.set("instrument", "BAL-2", what="balance", every="365 days")
    for day, result, due in calibrations:
        calibrated(yard, day, result, due=due)
    found = weighed_with(yard, "BAL-2")
    calibrated(yard, 10)
    after = the_lot(yard)

    assert found.answer == "not_enough_evidence"
    (reason,) = coded(found, "out_of_calibration")
    assert reason is found.reasons[0]
    assert reason.sentence == f"density: 3 weighed, none counts: {words}"
    assert reason.source.endswith("; instrument BAL-2")
    assert not coded(found, "not_measured")
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


@pytest.mark.parametrize(("day", "codes"), [(10, "out_of_calibration"), (11, "found_wrong_since")])
def test_a_length_stands_as_read_where_a_balance_failed_in_grams(day: int, codes: str) -> None:
    """The look back and the release say alike, on the day that it failed and before it."""
    yard = Yard.open()
    yard.set("instrument", "BAL-2", what="balance", every="365 days")
    yard.limit("LEN", "length", "max", "1200 mm")
    calibrated(yard, 1)
    weighed_with(yard, "BAL-2")
    yard.read([Reading("length", "1199", "mm", lot="L1", specimen="D1", instrument="BAL-2",
                       facts={"state": "24h", "age_h": "26"})], at=hours(10, 9))  # fmt: skip
    calibrated(yard, day, "fail", as_found="+60 g")
    found = the_lot(yard)
    back = words_of(look_back(yard.no, "BAL-2", ms(24 * 25)))

    (reason,) = coded(found, codes)
    assert "length" not in reason.sentence
    finding = {one.limit.characteristic: one.finding for one in found.limits}
    assert finding["length"] == "met"
    assert [one.characteristics for one in found.aside] in ([], [("block_mass_24h",)])
    assert "of 1, in other units, the error says nothing: they stand as read" in back.read


# -- none named --------------------------------------------------------------------------------


def test_a_reading_that_names_no_instrument_counts_and_is_told() -> None:
    """Where the plant does not ask for one; how many, and of what."""
    found = weighed_with(Yard.open(), "")

    assert found.answer == "may_ship"
    (reason,) = coded(found, "instrument_unproven")
    assert reason.weight == "notes"
    assert reason.sentence == (
        "3 readings (block mass 24h) name no instrument: nothing shows that what was used was fit"
    )


def test_one_that_is_not_listed_is_told_where_the_plant_lists_any() -> None:
    """A plant that lists none has said nothing of instruments."""
    bare = Yard.open()
    found = weighed_with(bare, "BAL-7")
    bare.set("instrument", "BAL-2", what="balance", every="365 days")
    (reason,) = coded(the_lot(bare), "instrument_unproven")

    assert coded(found, "instrument_unproven") == []
    assert "taken with BAL-7, which the plant does not list" in reason.sentence


@pytest.mark.parametrize(
    ("asked", "instrument", "words"),
    [
        ("named", "", "nobody says with what"),
        ("named", "BAL-7", ""),
        ("listed", "", "nobody says with what"),
        ("listed", "BAL-7", "taken with what the plant does not list: BAL-7"),
    ],
)
def test_where_the_plant_asks_for_one_it_is_no_better_than_a_lapsed_one(
    asked: str, instrument: str, words: str
) -> None:
    """No evidence, with its own reason, first and in the refusal of a release."""
    yard = Yard.open()
    yard.set("reading", "rule", instrument=asked)
    found = weighed_with(yard, instrument)

    if not words:
        assert found.answer == "may_ship"
        return
    assert [one.code for one in found.reasons] == ["no_instrument"]
    assert found.reasons[0].sentence == f"density: 3 weighed, none counts: {words}"
    assert [one.instrument for one in found.aside] == [instrument]
    with pytest.raises(Refusal, match=words):
        yard.release("L1", found.evidence, at=hours(12, 0))


def test_the_rule_holds_from_its_day_on() -> None:
    """What was read before stays evidence."""
    yard = Yard.open()
    yard.set("reading", "rule", instrument="listed", since=hours(11, 0))

    assert weighed_with(yard, "").answer == "may_ship"


def test_what_is_counted_tried_by_hand_or_looked_at_needs_no_instrument() -> None:
    """Pieces looked at, two blocks put together, a grade by eye, beads torn through."""
    yard = Yard.open()
    yard.set("reading", "rule", instrument="listed")
    yard.set("plan", "FIT", product="FB6", characteristic="interlock_fit", evidence="lot_test",
             every="run", specimens=1)  # fmt: skip
    yard.limit("TIES", "defective_ties", "max", "5 %", specimens=20)
    yard.limit("FUSED", "fusion", "min", "30 %")
    yard.block_lot("L1")
    yard.read([
        Reading("checked", "40", "pcs", lot="L1"),
        Reading("defective_ties", "1", "pcs", lot="L1"),
        Reading("interlock_fit", "pass", "", lot="L1", specimen="D1"),
        Reading("surface_grade", "A", "", lot="L1", specimen="D1"),
        Reading("fusion", "60", "%", lot="L1", specimen="D1"),
    ], at=hours(10, 9))  # fmt: skip
    found = the_lot(yard)

    assert (found.answer, found.aside) == ("may_ship", ())
    assert coded(found, "instrument_unproven") == []


def test_strengths_of_no_named_machine_cover_nothing_where_one_is_asked_for() -> None:
    """Neither their own lot nor others; and it is said why."""
    yard = plant()
    yard.set("reading", "rule", instrument="listed", since=hours(20, 0))
    for day in (8, 9):
        lot(yard, f"L{day}", day)
    strengths(yard, "L8", 16, 17, 16.5, 17.2, 16.8)

    test = next(one for one in the_lot(yard, "L9").reasons if one.code == "no_periodic_test")
    assert "readings of lot L8" in test.sentence
    assert test.sentence.endswith("decide nothing: nobody says with what")


def test_what_no_limit_asks_for_is_told_by_the_instrument() -> None:
    """Wet blocks of the press are not what the density waits for."""
    yard = Yard.open()
    yard.set("instrument", "BAL-2", what="balance", every="365 days")
    yard.limit("DEN", "density", "min", "22.0 kg/m3")
    yard.block_lot("L1")
    yard.read([wet("W1", "BAL-2"), wet("W2", "BAL-2")], at=hours(10, 8))

    found = the_lot(yard)

    assert [one.code for one in found.reasons] == ["not_measured", "out_of_calibration"]
    assert found.reasons[0].sentence == "density: no block was weighed at 24 h or dry"
    assert "2 of its readings (wet block mass) were taken with BAL-2" in found.reasons[1].sentence


def wet(specimen: str, instrument: str) -> Reading:
    """A block weighed at the press."""
    facts = {"state": "press", "age_h": "0.1"}
    return Reading("wet_block_mass", "3.1000", "kg", lot="L1", specimen=specimen,
                   instrument=instrument, facts=facts)  # fmt: skip


def test_wet_blocks_still_screen_where_those_a_day_old_do_not_count() -> None:
    """Both are said, what does not count first."""
    yard = Yard.open()
    yard.set("instrument", "BAL-2", what="balance", every="365 days")
    weighed_with(yard, "BAL-2")
    yard.read([wet("W1", "")], at=hours(10, 8))

    found = the_lot(yard)

    begins = "density: 3 weighed, none counts: BAL-2 had never been calibrated; wet from the press"
    assert found.reasons[0].code == "out_of_calibration"
    assert found.reasons[0].sentence.startswith(begins)


@pytest.mark.parametrize("asked", [5, 10])
def test_those_that_count_and_those_that_do_not_are_told_apart(asked: int) -> None:
    """Two of five count, and three that were weighed do not."""
    yard = Yard.open()
    yard.set("instrument", "BAL-2", what="balance", every="365 days")
    yard.limit("MANY", "density", "min", "22.0 kg/m3", specimens=asked)
    weighed_with(yard, "BAL-2")
    yard.weigh("L1", "24h", GOOD[:2])

    found = the_lot(yard)

    assert [one.code for one in found.reasons if one.weight == "asks"] == [
        "too_few_readings", "out_of_calibration"
    ]  # fmt: skip
    why = "3 weighed, none counts: BAL-2 had never been calibrated"
    words = f"2 of {asked} pieces count; {asked - 2} more are needed ({why})"
    assert found.reasons[0].sentence == f"density: {words}"


def test_pieces_in_doubt_of_their_ties_are_not_called_unmeasured() -> None:
    """Both are short of a tie: they were weighed, and wait for a count."""
    yard = Yard.open()
    yard.limit("DEN", "density", "min", "22.0 kg/m3", specimens=2)
    yard.block_lot("L1")
    yard.weigh("L1", "24h", [block(23, ties=5), block(23, ties=4)])

    found = the_lot(yard)

    assert {one.code for one in found.reasons if one.weight == "asks"} == {"tie_missing"}
    assert found.reasons[0].sentence.startswith(
        "density: 2 weighed, none counts: ties seem to be missing"
    )


def test_the_lot_test_of_the_day_says_which_lot_was_read_with_what() -> None:
    """Not that nobody read anything."""
    yard = Yard.open()
    yard.set("ageing", "F1", min_h="0", max_h="2000")
    yard.limit("STR", STRENGTH, "min", "15.0 psi", statistic="mean", specimens=3)
    yard.set("instrument", "PRESS-1", what="press", every="year")
    yard.set("plan", "DAY", product="FB6", characteristic=STRENGTH, evidence="lot_test",
             every="day", specimens=3)  # fmt: skip
    for code, hour in (("L1", 10), ("L2", 14)):
        yard.block_lot(code, good=10, at=hours(10, hour))
    strengths(yard, "L2", 16, 17, 16.5, instrument="PRESS-1")

    found = the_lot(yard)
    others = the_lot(yard, "L2")

    words = "none counts: PRESS-1 had never been calibrated"
    assert found.reasons[0].code == others.reasons[0].code == "out_of_calibration"
    assert f"3 measured of lot L2, {words}" in found.reasons[0].sentence
    assert f"3 measured, {words}" in others.reasons[0].sentence
    assert not coded(found, "not_measured")
