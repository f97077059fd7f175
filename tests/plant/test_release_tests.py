"""What a plan makes of a lot: type tests, and lot tests by piece, day and shift.

Days are of September 2026 in the plant's zone.
"""

from __future__ import annotations

from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from beadwright.ledger.draft import Reading
from beadwright.plant.release import assess
from tests.plant.asking import GOOD, coded, the_lot
from tests.plant.planning import LATE, STRENGTH, lot, plant, report, strengths, told
from tests.plant.yard import FORM, Yard

pytestmark = pytest.mark.django_db


# -- type tests --------------------------------------------------------------------------------


def type_test(yard: Yard) -> None:
    """Set up a type test of the thermal resistance, 4.2 at least."""
    yard.limit("R", "thermal_resistance", "min", "4.0 ft2·°F·h/Btu", statistic="mean")
    yard.set("plan", "FB6-R", product="FB6", characteristic="thermal_resistance",
             evidence="type_test")  # fmt: skip


def thermal(yard: Yard, number: str, day: int, result: str, **more: Any) -> None:
    """Post a report on the thermal resistance."""
    report(yard, number, day, f"{result} ft2·°F·h/Btu", characteristic="thermal_resistance",
           method="", **more)  # fmt: skip


def test_a_type_test_covers_from_its_sampling_through_its_expiry() -> None:
    """Neither before nor after."""
    yard = Yard.open()
    yard.limit("DEN", "density", "min", "22.0 kg/m3")
    type_test(yard)
    for day in (9, 10, 20, 21):
        lot(yard, f"L{day}", day)
    missing = told(yard, "L10")
    thermal(yard, "T-1", 10, "4.2", expires="2026-09-20")

    assert missing == ("not_enough_evidence", "no_type_test")
    assert [told(yard, f"L{day}") for day in (9, 10, 20, 21)] == [
        ("not_enough_evidence", "no_type_test"),
        ("may_ship", "tests_cover"),
        ("may_ship", "tests_cover"),
        ("not_enough_evidence", "test_lapsed"),
    ]
    (lapsed,) = coded(the_lot(yard, "L21"), "test_lapsed")
    assert "expired 2026-09-20" in lapsed.sentence


def test_a_type_test_that_fails_stops_from_its_sampling_on() -> None:
    """What was made before it stands by the one before."""
    yard = Yard.open()
    yard.limit("DEN", "density", "min", "22.0 kg/m3")
    type_test(yard)
    for day in (9, 12):
        lot(yard, f"L{day}", day)
    thermal(yard, "T-1", 1, "4.2")
    thermal(yard, "T-2", 11, "3.9")

    assert [told(yard, f"L{day}")[0] for day in (9, 12)] == ["may_ship", "may_not_ship"]


def test_a_limit_that_asks_for_a_test_without_a_row_of_the_plan_is_asked_about() -> None:
    """Once the plant has a plan: of a type test the report, of a periodic one how often."""
    yard = plant()
    yard.limit("R", "thermal_resistance", "min", "4.0 ft2·°F·h/Btu", evidence="type_test")
    yard.limit("FLEX", "flexural_strength", "min", "35 psi", evidence="periodic_test")
    lot(yard, "L1", 10)
    report(yard, "R-1", 10)
    found = the_lot(yard)
    thermal(yard, "T-1", 1, "4.2")

    assert [one.code for one in found.reasons if one.weight == "asks"] == [
        "no_periodic_test", "no_type_test"
    ]  # fmt: skip
    assert "no plan says how often" in coded(found, "no_periodic_test")[0].sentence
    assert coded(the_lot(yard), "no_type_test") == []


# -- lot tests by plan -------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["ALL-STR", "Z-ALL-STR"])
def test_a_row_of_its_own_goes_before_the_row_of_every_product(name: str) -> None:
    """FB6 is tested weekly, whatever holds for the others."""
    yard = plant()
    yard.set("plan", name, product="*", characteristic=STRENGTH, evidence="periodic_test",
             every="day", specimens=5)  # fmt: skip
    lot(yard, "L1", 12)
    report(yard, "R-1", 10)

    assert the_lot(yard).tests[0].plan == "FB6-STR"
    assert told(yard, "L1")[0] == "may_ship"


def test_so_many_specimens_for_so_many_pieces() -> None:
    """40 blocks, 2 for every 20: four are weighed, three are too few."""
    yard = Yard.open()
    yard.limit("DEN", "density", "min", "22.0 kg/m3")
    yard.set("plan", "DEN", product="FB6", characteristic="density", evidence="lot_test",
             every="20 pieces", specimens=2)  # fmt: skip
    yard.block_lot("L1", good=40)
    yard.weigh("L1", "24h", GOOD)
    few = the_lot(yard)
    yard.block_lot("L2", good=40, at=21)
    yard.weigh("L2", "24h", [*GOOD, GOOD[0]])

    assert (few.answer, few.reasons[0].code) == ("not_enough_evidence", "too_few_readings")
    assert "3 of 4 pieces" in few.reasons[0].sentence
    assert the_lot(yard, "L2").answer == "may_ship"


def test_a_begun_twenty_pieces_count_as_twenty() -> None:
    """50 blocks, one for every 20: three."""
    yard = Yard.open()
    yard.limit("DEN", "density", "min", "22.0 kg/m3")
    yard.set("plan", "DEN", product="FB6", characteristic="density", evidence="lot_test",
             every="20 pieces")  # fmt: skip
    yard.block_lot("L1", good=50)
    yard.weigh("L1", "24h", GOOD[:2])
    few = the_lot(yard).answer
    yard.block_lot("L2", good=50, at=21)
    yard.weigh("L2", "24h", GOOD)

    assert (few, the_lot(yard, "L2").answer) == ("not_enough_evidence", "may_ship")


def test_a_lot_test_of_specimens_counts_those_that_were_conditioned() -> None:
    """Strength of each run, 40 h conditioned."""
    yard = Yard.open()
    yard.limit("DEN", "density", "min", "22.0 kg/m3")
    yard.limit("STR", STRENGTH, "min", "15.0 psi")
    yard.set("plan", "STR", product="FB6", characteristic=STRENGTH, evidence="lot_test",
             every="run", specimens=2, conditioning_h=40)  # fmt: skip
    for day in (3, 4):
        lot(yard, f"L{day}", day)
    strengths(yard, "L3", 16, 17, conditioned="24")
    strengths(yard, "L4", 16, 17, conditioned="40")

    assert told(yard, "L3") == ("not_enough_evidence", "not_measured")
    assert told(yard, "L4")[0] == "may_ship"


def daily(every: str = "day") -> Yard:
    """A plant that weighs three blocks a day, or a shift."""
    yard = Yard.open()
    yard.limit("DEN", "density", "min", "22.0 kg/m3")
    yard.set("plan", "DEN", product="FB6", characteristic="density", evidence="lot_test",
             every=every, specimens=3)  # fmt: skip
    for code, at in (("L1", 20), ("L2", 22), ("L3", 26)):
        yard.block_lot(code, at=at)
    return yard


def test_a_lot_speaks_for_its_day() -> None:
    """L1 and L2 are of the 1st, L3 of the 2nd; asked alone or together."""
    yard = daily()
    yard.weigh("L1", "24h", GOOD)
    together = {one.lot: one.answer for one in assess(yard.no).lots}

    assert together == {"L1": "may_ship", "L2": "may_ship", "L3": "not_enough_evidence"}
    assert {code: the_lot(yard, code).answer for code in together} == together
    second = the_lot(yard, "L2")
    (test,) = second.tests
    assert (test.state, test.evidence) == ("covers", "lot_test")
    assert test.proof is not None
    assert (test.proof.lot, test.proof.specimens) == ("L1", 3)
    assert (second.limits, second.elsewhere) == ((), ("DEN",))
    assert the_lot(yard, "L1").tests == ()


def test_a_lot_that_fails_stops_its_day_but_for_lots_that_pass_themselves() -> None:
    """L2 was light; L1 was weighed itself."""
    yard = daily()
    yard.weigh("L2", "24h", [2.8, 2.8, 2.8])
    stopped = told(yard, "L1")
    yard.weigh("L1", "24h", GOOD)

    assert stopped == ("may_not_ship", "test_failed")
    assert told(yard, "L1")[0] == "may_ship"
    assert told(yard, "L2") == ("may_not_ship", "limit_not_met")


def test_a_lot_of_another_product_does_not_speak_for_the_day() -> None:
    """M1 is of FB8, and weighed; L1 of the same day is not."""
    yard = daily()
    yard.set("product", "FB8", FORM)
    yard.set("approved", "FB8", revision="R1", grades=["F1", "T6"])
    yard.mould("M1", good=10, at=21, product="FB8")
    yard.weigh("M1", "24h", GOOD)

    assert told(yard, "L1") == ("not_enough_evidence", "not_measured")


def test_without_a_word_on_shifts_each_lot_speaks_for_itself() -> None:
    """The facts of its run do not say in which shift L2 was made."""
    yard = daily("shift")
    yard.weigh("L1", "24h", GOOD)

    assert [told(yard, code)[0] for code in ("L1", "L2")] == ["may_ship", "not_enough_evidence"]


def test_what_has_no_limit_is_tested_by_its_word() -> None:
    """Two blocks go together by hand, or they do not."""
    yard = Yard.open()
    yard.limit("DEN", "density", "min", "22.0 kg/m3")
    yard.set("plan", "FIT", product="FB6", characteristic="interlock_fit", evidence="lot_test",
             every="run", specimens=2)  # fmt: skip
    lot(yard, "L1", 3)

    def fit(*words: str) -> tuple[str, str]:
        yard.read([Reading("interlock_fit", word, "", lot="L1", specimen=f"D{i}")
                   for i, word in enumerate(words, len(words))], at=LATE)  # fmt: skip
        return told(yard, "L1")

    assert told(yard, "L1") == ("not_enough_evidence", "not_measured")
    assert fit("pass") == ("not_enough_evidence", "too_few_readings")
    assert fit("pass", "pass")[0] == "may_ship"
    assert fit("pass", "pass", "fail") == ("may_not_ship", "test_failed")


def test_a_figure_without_a_limit_decides_nothing() -> None:
    """Three per cent of beads torn through are as many as the plan asks for, and no answer."""
    yard = Yard.open()
    yard.limit("DEN", "density", "min", "22.0 kg/m3")
    yard.set("plan", "FUSION", product="FB6", characteristic="fusion", evidence="lot_test",
             every="run")  # fmt: skip
    yard.block_lot("L1")
    yard.weigh("L1", "24h", GOOD)
    yard.read([Reading("fusion", "3", "%", lot="L1", specimen="B1")], at=62)
    lot = the_lot(yard, "L1")
    (test,) = lot.tests
    assert (lot.answer, test.state) == ("not_enough_evidence", "missing")
    assert "no limit in force says what it must be" in test.sentence

    yard.limit("FUS", "fusion", "min", "80 %")
    assert told(yard, "L1") == ("may_not_ship", "limit_not_met")


# -- asked once for all ------------------------------------------------------------------------


def test_more_lots_ask_the_store_no_more_questions() -> None:
    """Whatever the plan asks, it is asked once for all."""
    yard = daily()
    yard.set("plan", "STR", product="*", characteristic=STRENGTH, evidence="periodic_test",
             every="week")  # fmt: skip
    yard.limit("STR", STRENGTH, "min", "15 psi")
    yard.set("instrument", "BAL-2", what="balance", every="year")
    yard.set("ageing", "F1", min_h="0", max_h="2000")
    report(yard, "R-1", 2)
    with CaptureQueriesContext(connection) as few:
        assess(yard.no)
    for number in range(4, 12):
        yard.block_lot(f"L{number}", good=3, at=20 + 24 * number)
    with CaptureQueriesContext(connection) as many:
        assert len(assess(yard.no).lots) == 11

    assert len(many) == len(few)
