"""What a plan makes of a lot: periodic tests in time, missing, lapsed, failed, withdrawn.

Days are of September 2026 in the plant's zone.
"""

from __future__ import annotations

from typing import Any

import pytest

from tests.plant.asking import coded, the_lot
from tests.plant.planning import LATE, STRENGTH, decide, hours, lot, plant, report, strengths, told
from tests.plant.yard import FORM, Yard

pytestmark = pytest.mark.django_db


def test_without_a_plan_a_periodic_limit_is_listed_elsewhere_and_asks_nothing() -> None:
    """As it was before plans."""
    yard = Yard.open()
    yard.limit("DEN", "density", "min", "22.0 kg/m3")
    yard.limit("STR", STRENGTH, "min", "15.0 psi", evidence="periodic_test")
    found = the_lot(yard, lot(yard, "L1", 3))

    assert (found.answer, found.elsewhere, found.tests) == ("may_ship", ("STR",), ())


def test_no_report_asks() -> None:
    """The limit is no lot test any more; the test is missing."""
    yard = plant()
    found = the_lot(yard, lot(yard, "L1", 3))

    assert found.answer == "not_enough_evidence"
    (reason,) = coded(found, "no_periodic_test")
    assert reason.sentence == (
        "compressive resistance: no test every week covers what was made 2026-09-03"
    )
    assert reason.source == "plan FB6-STR"
    assert [one.limit.name for one in found.limits] == ["DEN"]
    assert found.elsewhere == ("STR",)


def test_a_report_covers_its_week_and_the_first_one_the_week_before() -> None:
    """Sampled on the 10th: lots of the 3rd to the 16th, seven days either way."""
    yard = plant()
    for day in (2, 3, 10, 16, 17):
        lot(yard, f"L{day}", day)
    report(yard, "R-1", 10)

    assert [told(yard, f"L{day}") for day in (2, 3, 10, 16, 17)] == [
        ("not_enough_evidence", "no_periodic_test"),
        ("may_ship", "tests_cover"),
        ("may_ship", "tests_cover"),
        ("may_ship", "tests_cover"),
        ("not_enough_evidence", "test_lapsed"),
    ]
    (lapsed,) = coded(the_lot(yard, "L17"), "test_lapsed")
    assert lapsed.sentence == (
        "compressive resistance: 17.4 psi, sampled 2026-09-10 (report R-1, Northgate Testing)"
        " covers what was made until 2026-09-16; the next was due 2026-09-17;"
        " this was made 2026-09-17"
    )


def test_a_covering_test_is_told_with_all_that_a_paper_cites() -> None:
    """Characteristic, limit, report, laboratory, days, status."""
    yard = plant()
    lot(yard, "L1", 12)
    report(yard, "R-1", 10, tested="2026-09-13", issued="2026-09-14")
    (test,) = the_lot(yard, "L1").tests

    assert (test.plan, test.characteristic, test.evidence, test.every, test.state) == (
        "FB6-STR", STRENGTH, "periodic_test", "week", "covers"
    )  # fmt: skip
    assert str(test.until) == "2026-09-16"
    proof = test.proof
    assert proof is not None
    assert (proof.report, proof.laboratory, proof.method, proof.specimens, proof.result) == (
        "R-1", "Northgate Testing", "ASTM D1621-16", 5, "17.4 psi"
    )  # fmt: skip
    assert [str(day) for day in (proof.sampled, proof.tested, proof.issued)] == [
        "2026-09-10", "2026-09-13", "2026-09-14"
    ]  # fmt: skip
    (result,) = proof.results
    assert (result.limit.name, result.finding, result.margin) == ("STR", "met", "2.40 psi")


def test_a_failed_report_stops_what_lies_between_the_passed_ones() -> None:
    """Passed on the 3rd and the 12th, failed on the 9th: lots of the 4th to the 11th."""
    yard = plant()
    for day in (3, 4, 9, 11, 12):
        lot(yard, f"L{day}", day)
    for number, day, result in (("R-1", 3, "17.4 psi"), ("R-2", 9, "14.2 psi")):
        report(yard, number, day, result)
    before = told(yard, "L12")
    report(yard, "R-3", 12, "16.0 psi")

    assert before == ("may_not_ship", "test_failed")
    assert [told(yard, f"L{day}")[0] for day in (3, 4, 9, 11, 12)] == [
        "may_ship", "may_not_ship", "may_not_ship", "may_not_ship", "may_ship"
    ]  # fmt: skip
    (failed,) = coded(the_lot(yard, "L4"), "test_failed")
    assert failed.sentence.startswith(
        "compressive resistance: 14.2 psi, below 15.0 psi by 0.80 psi, sampled 2026-09-09"
        " (report R-2, Northgate Testing)"
    )


def test_a_withdrawn_report_covers_and_stops_nothing() -> None:
    """And the hash of the evidence says that something changed, each time."""
    yard = plant()
    lot(yard, "L1", 10)
    hashes = [the_lot(yard).evidence]
    report(yard, "R-1", 10)
    hashes.append(the_lot(yard).evidence)
    report(yard, "R-2", 10, "12 psi")
    assert told(yard, "L1") == ("may_not_ship", "test_failed")
    hashes.append(the_lot(yard).evidence)
    decide(yard, "report_withdrawn", "R-2", {"reason": "specimens of another product"})
    assert told(yard, "L1")[0] == "may_ship"
    assert the_lot(yard).evidence == hashes[1]
    decide(yard, "report_withdrawn", "R-1", {"reason": "specimens of another product"})

    assert told(yard, "L1") == ("not_enough_evidence", "no_periodic_test")
    assert the_lot(yard).evidence == hashes[0]
    assert len(set(hashes)) == 3


def test_the_hash_of_the_evidence_holds_the_report_itself() -> None:
    """Entered again with another figure, day or file, what was approved was another report."""
    yard = plant()
    lot(yard, "L1", 10)
    hashes = []
    for result, more in (
        ("17.4 psi", {}),
        ("17.5 psi", {}),
        ("17.5 psi", {"expires": "2027-01-01"}),
        ("17.5 psi", {"expires": "2027-01-01", "file": "0" * 64}),
    ):
        report(yard, "R-1", 10, result, **more)
        assert told(yard, "L1")[0] == "may_ship"
        hashes.append(the_lot(yard).evidence)

    assert len(set(hashes)) == 4


def test_a_plan_asks_nothing_of_what_was_made_before_it() -> None:
    """From the 5th on: L4 is judged as it was, though a limit asks for a type test."""
    yard = Yard.open()
    yard.limit("DEN", "density", "min", "22.0 kg/m3")
    yard.limit("R", "thermal_resistance", "min", "4.0 ft2·°F·h/Btu", evidence="type_test")
    yard.set("plan", "STR", product="*", characteristic=STRENGTH, evidence="periodic_test",
             every="week", since=hours(5, 0))  # fmt: skip
    for day in (4, 6):
        lot(yard, f"L{day}", day)

    assert told(yard, "L4")[0] == "may_ship"
    assert the_lot(yard, "L4").tests == ()
    assert {one.code for one in the_lot(yard, "L6").reasons if one.weight == "asks"} == {
        "no_periodic_test", "no_type_test"
    }  # fmt: skip


@pytest.mark.parametrize(
    ("changes", "why"),
    [
        ({"method": "ASTM C165"}, "its method is ASTM C165, not ASTM D1621"),
        ({"method": ""}, "its method is not stated, not ASTM D1621"),
        ({"specimens": 3}, "it rests on 3 of 5 specimens"),
        ({"conditioned_h": "24"}, "its specimens were conditioned 24 h of 40 h"),
        (
            {"conditioned_h": "39.9", "result": "9 psi"},
            "its specimens were conditioned 39.9 h of 40 h",
        ),
    ],
)
def test_a_report_that_does_not_suffice_decides_nothing(changes: dict[str, Any], why: str) -> None:
    """And the reason says why."""
    yard = plant()
    lot(yard, "L1", 10)
    report(yard, "R-1", 10, **changes)
    (reason,) = coded(the_lot(yard), "no_periodic_test")

    assert f"report R-1, Northgate Testing, sampled 2026-09-10, decides nothing: {why}" in (
        reason.sentence
    )


@pytest.mark.parametrize("hours", ["40", "40.0", "48", ""])
def test_a_report_conditioned_long_enough_or_silent_counts(hours: str) -> None:
    """What a laboratory does not say of its specimens, it answers for."""
    yard = plant()
    lot(yard, "L1", 10)
    report(yard, "R-1", 10, **({"conditioned_h": hours} if hours else {}))

    assert told(yard, "L1")[0] == "may_ship"


@pytest.mark.parametrize("products", [["FB8"], ["FB8", "FB10"]])
def test_a_report_on_another_product_covers_nothing(products: list[str]) -> None:
    """It speaks of what was sampled."""
    yard = plant()
    lot(yard, "L1", 10)
    report(yard, "R-1", 10, products=products)

    assert told(yard, "L1")[0] == "not_enough_evidence"


def test_a_report_without_a_limit_decides_nothing_but_pass_does() -> None:
    """A figure needs a bound; a laboratory's word is its own."""
    yard = plant()
    yard.set("plan", "FB6-OI", product="*", characteristic="oxygen_index",
             evidence="periodic_test", every="year")  # fmt: skip
    lot(yard, "L1", 10)
    report(yard, "R-1", 10)
    report(yard, "R-2", 10, "28 %", characteristic="oxygen_index")
    (reason,) = coded(the_lot(yard), "no_periodic_test")
    report(yard, "R-2", 10, "pass", characteristic="oxygen_index")

    assert "no limit in force says what it must be" in reason.sentence
    assert told(yard, "L1")[0] == "may_ship"


def test_the_limit_in_force_when_the_lot_was_made_judges_the_report() -> None:
    """Raised to 18 psi from the 12th: the same report fails what was made after."""
    yard = plant()
    for day in (11, 13):
        lot(yard, f"L{day}", day)
    yard.limit("STR", STRENGTH, "min", "18.0 psi", statistic="mean", since=hours(12, 0))
    report(yard, "R-1", 10)

    assert told(yard, "L11")[0] == "may_ship"
    assert told(yard, "L13") == ("may_not_ship", "test_failed")


# -- own readings ------------------------------------------------------------------------------


def test_own_readings_of_one_lot_cover_its_product_for_a_week() -> None:
    """As a test done when the lot was made: L8 at 10:00 on the 8th."""
    yard = plant()
    for day in (1, 8, 9, 14, 15):
        lot(yard, f"L{day}", day)
    strengths(yard, "L8", 16, 17, 16.5, 17.2, 16.8)

    assert [told(yard, f"L{day}")[0] for day in (1, 8, 9, 14, 15)] == [
        "may_ship", "may_ship", "may_ship", "may_ship", "not_enough_evidence"
    ]  # fmt: skip
    (test,) = the_lot(yard, "L9").tests
    assert test.proof is not None
    assert (test.proof.lot, test.proof.report, test.proof.result) == ("L8", "", "16.70 psi")
    assert test.proof.specimens == 5


@pytest.mark.parametrize(
    ("psi", "conditioned"),
    [
        ((16, 17, 16.5, 17.2), "48"),        # four of five
        ((16, 17, 16.5, 17.2, 16.8), "24"),  # 24 h of 40
        ((16, 17, 16.5, 17.2, 16.8), ""),    # nobody said
        ((16, 17, 16.5, 17.2, 16.8), "two days"),
    ],
)  # fmt: skip
def test_own_readings_that_do_not_suffice_are_no_test(
    psi: tuple[float, ...], conditioned: str
) -> None:
    """Too few, or not conditioned."""
    yard = plant()
    lot(yard, "L1", 8)
    strengths(yard, "L1", *psi, conditioned=conditioned)

    assert told(yard, "L1") == ("not_enough_evidence", "no_periodic_test")


def test_a_mean_of_too_few_specimens_neither_covers_nor_stops() -> None:
    """Two of five, and both weak: the other three may be strong."""
    yard = plant()
    lot(yard, "L1", 8)
    strengths(yard, "L1", 14, 14)

    assert told(yard, "L1") == ("not_enough_evidence", "no_periodic_test")


def test_readings_of_another_product_are_no_test_of_this_one() -> None:
    """A lot of FB8, strong as it is."""
    yard = plant()
    yard.set("product", "FB8", FORM)
    yard.set("approved", "FB8", revision="R1", grades=["F1", "T6"])
    lot(yard, "L1", 8)
    yard.mould("M1", good=10, at=hours(8, 12), product="FB8")
    strengths(yard, "M1", 16, 17, 16.5, 17.2, 16.8)

    assert told(yard, "L1") == ("not_enough_evidence", "no_periodic_test")


def test_own_readings_that_fail_stop_until_a_lot_passes_and_voided_ones_do_not() -> None:
    """A mean of 14 psi on the 8th; the next that passes is of the 10th."""
    yard = plant()
    for day in (7, 8, 9, 10):
        lot(yard, f"L{day}", day)
    key = strengths(yard, "L8", 14, 14, 14, 14, 14)
    strengths(yard, "L10", 16, 17, 16.5, 17.2, 16.8)
    stopped = [told(yard, f"L{day}")[0] for day in (7, 8, 9, 10)]
    yard.void(key, at=LATE)

    assert stopped == ["may_not_ship", "may_not_ship", "may_not_ship", "may_ship"]
    assert {told(yard, f"L{day}")[0] for day in (7, 8, 9, 10)} == {"may_ship"}
