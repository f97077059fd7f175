"""The silo board says what a place holds, how old it is, whether it is ready, and what holds it."""

import pytest

from beadwright.ledger.draft import Evidence, Line, Material, NewLot
from beadwright.ledger.holds import nonconformities
from beadwright.plant.next_silo import next_to_use
from beadwright.plant.silo import Silo
from beadwright.plant.silos import silos
from tests.plant.yard import Yard, ms

pytestmark = pytest.mark.django_db

KG = 1_000_000


def board(yard: Yard, at: float) -> dict[str, Silo]:
    """Ask for the board at an hour."""
    return {one.place: one for one in silos(yard.no, ms(at))}


def yard_with_beads(*silo: str) -> Yard:
    """A yard with a bag of F1, ties, and silos that feed press FP1 over hopper H1."""
    yard = Yard.open(silos=silo or ("S1", "S2"))
    yard.set("grade", "F1", of="bead", flame_retardant="yes", colour="white", bead_class="C")
    for name in silo or ("S1", "S2"):
        yard.set("place", name, kind="silo", content=True, accepts=["F1"], feeds=["H1"])
    yard.set("place", "H1", kind="hopper", content=True, feeds=["FP1"])
    yard.bag("B-1")
    yard.carton("T-1")
    return yard


def without_plate(yard: Yard, *places: str) -> None:
    """Take the plates off silos."""
    for name in places:
        yard.set("place", name, kind="silo", content=True, feeds=["H1"])


def test_a_silo_that_never_held_anything_is_empty() -> None:
    """It has no age, no hours, and nothing holds it."""
    one = board(yard_with_beads(), 5)["S1"]

    assert one.states == ("empty",)
    assert (one.mg, one.band.low_mg, one.band.high_mg) == (0, 0, 0)
    assert (one.oldest_h, one.ready_ms, one.use_by_ms, one.emptied) == (None, None, None, None)
    assert one.products == ()


def test_beads_age_from_filling_over_fresh_and_ready_to_too_old() -> None:
    """F1 is signed for 8 to 96 h: fresh counts from the last bead in, old from the first."""
    yard = yard_with_beads()
    yard.expand("B-1", "S1", 200, at=2)
    yard.expand("B-1", "S1", 200, at=4)

    said = {at: board(yard, at)["S1"].states for at in (4.2, 5, 11.9, 12.1, 89.9, 90.1, 98.1)}

    assert said == {
        4.2: ("filling", "too_fresh"),
        5: ("too_fresh",),
        11.9: ("too_fresh",),
        12.1: ("ready",),
        89.9: ("ready",),
        90.1: ("near_end",),
        98.1: ("too_old",),
    }
    one = board(yard, 10)["S1"]
    assert (one.oldest_h, one.youngest_h) == (8.0, 6.0)
    assert (one.ready_ms, one.use_by_ms) == (ms(12), ms(98))
    assert one.arrival is not None
    assert (one.arrival.at_ms, one.arrival.kind) == (ms(4), "expand")


def test_a_silo_that_is_drawn_from_is_not_filling() -> None:
    """However short a while ago its last bead came in."""
    yard = yard_with_beads()
    yard.expand("B-1", "S1", 200, at=2)
    yard.transfer("S1", "H1", 20, at=2.1)

    assert "filling" not in board(yard, 2.2)["S1"].states


def test_the_hours_of_mixed_grades_are_the_strictest_of_each() -> None:
    """The longest of the least and the shortest of the most; both grades are told."""
    yard = yard_with_beads()
    without_plate(yard, "S1")
    yard.set("ageing", "F2", min_h="12", max_h="72")
    yard.bag("B-2", grade="F2")
    yard.expand("B-1", "S1", 200, at=2)
    yard.expand("B-2", "S1", 200, at=3)

    one = board(yard, 16)["S1"]

    assert one.states == ("mixed_grades", "ready")
    assert [grade.name for grade in one.grades] == ["F1", "F2"]
    assert one.window is not None
    assert (one.window.min_h, one.window.max_h) == (12, 72)
    assert (one.ready_ms, one.use_by_ms) == (ms(15), ms(74))
    assert one.products == ()  # F2 is not on the approved list of FB6


def test_a_grade_without_signed_hours_is_never_ready() -> None:
    """Nobody has said when it may be used; the other grade's hours do not speak for it."""
    yard = yard_with_beads()
    without_plate(yard, "S1", "S2")
    yard.bag("B-2", grade="PK1")
    yard.expand("B-2", "S1", 200, at=2)
    yard.expand("B-1", "S2", 200, at=2)
    yard.expand("B-2", "S2", 200, at=2)

    found = board(yard, 20)

    assert found["S1"].states == ("no_hours",)
    assert found["S1"].window is None
    assert "no_hours" in found["S2"].states
    assert not found["S2"].usable


def test_a_grade_is_told_with_what_it_is() -> None:
    """Flame retardant, colour and class, as they were set."""
    yard = yard_with_beads()
    yard.expand("B-1", "S1", 200, at=2)

    (grade,) = board(yard, 20)["S1"].grades

    assert (grade.flame_retardant, grade.colour, grade.bead_class) == ("yes", "white", "C")
    assert board(yard, 20)["S1"].products == ("FB6",)


def test_ran_empty_and_swept_empty_are_two_things() -> None:
    """After running empty a rest of the grade may lie in it; a sweep says who and who looked."""
    yard = yard_with_beads()
    yard.expand("B-1", "S1", 200, at=2)
    yard.step("ran_empty", 30, [Line("S1", 0, 0)], by="P-01")
    ran = board(yard, 31)["S1"]
    yard.step("swept_empty", 32, [Line("S1", 0, 0)], by="P-01", facts={"inspected_by": "P-09"})
    swept = board(yard, 33)["S1"]

    assert ran.states == ("ran_empty",)
    assert [grade.name for grade in ran.grades] == ["F1"]
    assert ran.emptied is not None
    assert (ran.emptied.at_ms, ran.emptied.by) == (ms(30), "P-01")
    assert ran.swept is None
    assert swept.states == ("swept",)
    assert swept.grades == ()
    assert swept.swept is not None
    assert (swept.swept.by, swept.swept.inspected_by) == ("P-01", "P-09")


def test_the_band_grows_with_what_was_drawn_and_not_weighed() -> None:
    """One per cent of 400 kg weighed in; five of 119.6 kg backflushed."""
    yard = yard_with_beads()
    yard.expand("B-1", "S1", 400, at=2)
    full = board(yard, 20)["S1"]
    yard.mould("L1", good=80, at=20)
    drawn = board(yard, 21)["S1"]

    assert (full.band.low_mg, full.band.high_mg) == (396 * KG, 404 * KG)
    off = 4 * KG + round(0.05 * 80 * 1.495 * KG)
    assert (drawn.band.low_mg, drawn.band.high_mg) == (drawn.mg - off, drawn.mg + off)
    assert drawn.share == pytest.approx((400 - 80 * 1.495) / 400)
    assert "backflushed" in " ".join(drawn.band.why)


def test_the_plant_s_own_tolerance_of_draws_is_taken() -> None:
    """Where it is set, it stands in place of five per cent."""
    yard = yard_with_beads()
    yard.set("tolerance", "mould", shortage="0.02")
    yard.expand("B-1", "S1", 400, at=2)
    yard.mould("L1", good=80, at=20)

    one = board(yard, 21)["S1"]

    assert one.band.high_mg - one.mg == 4 * KG + round(0.02 * 80 * 1.495 * KG)


def test_a_weighing_of_the_content_starts_the_band_anew() -> None:
    """What was drawn before it is behind it."""
    yard = yard_with_beads()
    yard.expand("B-1", "S1", 400, at=2)
    yard.mould("L1", good=80, at=20)
    yard.step("weigh", 22, [Line("S1", 0, 280 * KG)])

    one = board(yard, 23)["S1"]

    assert (one.mg, one.band.low_mg, one.band.high_mg) == (280 * KG, 277_200_000, 282_800_000)


def test_what_a_filling_could_not_account_for_may_lie_in_the_silo() -> None:
    """It widens the band to that side only."""
    yard = yard_with_beads()
    lines = [Line("B-1", -1, 400 * KG), Line("S1", 1, 396 * KG)]
    yard.step("expand", 2, lines)

    one = board(yard, 20)["S1"]

    assert one.remainder_mg == 4 * KG
    assert (one.band.low_mg, one.band.high_mg) == (392_040_000, 403_960_000)


def test_a_draw_beyond_the_books_is_a_shortage() -> None:
    """It is told, and the silo is empty by the books though nobody said so."""
    yard = yard_with_beads()
    yard.expand("B-1", "S1", 100, at=2)
    yard.mould("L1", good=70, at=20)  # 104.65 kg

    one = board(yard, 21)["S1"]

    assert one.short_mg == 4_650_000
    assert one.mg == 0


def test_a_hold_is_told_with_its_id_and_reason_until_it_is_lifted() -> None:
    """A held silo is still ready or not, and nothing may be drawn of it."""
    yard = yard_with_beads()
    yard.expand("B-1", "S1", 200, at=2)
    yard.hold("H-7", "S1", at=15, reason="smell of fuel")
    held = board(yard, 20)["S1"]
    yard.lift("H-7", "S1", at=25)
    lifted = board(yard, 26)["S1"]

    assert held.states == ("held", "ready")
    assert [(one.hold, one.reason, one.by) for one in held.holds] == [
        ("H-7", "smell of fuel", "P-13")
    ]
    assert held.why_held == ("H-7: smell of fuel",)
    assert not held.usable
    assert lifted.states == ("ready",)
    assert lifted.usable


def test_an_open_nonconformity_holds_a_silo_and_a_concession_frees_it() -> None:
    """A grade that its plate does not accept went in."""
    yard = yard_with_beads()
    yard.set("ageing", "PK1", min_h="8", max_h="96")
    yard.bag("B-2", grade="PK1")
    yard.expand("B-2", "S1", 200, at=2)
    held = board(yard, 20)["S1"]

    assert held.states == ("held", "ready")
    (finding,) = held.findings
    assert finding.code == "wrong_grade_in_place"
    assert "accepts F1" in finding.detail
    (flaw,) = nonconformities(yard.no, [finding.cause])
    yard.concede(finding.cause, [flaw.mark])
    assert board(yard, 80)["S1"].findings == ()


def test_foam_moulded_before_is_no_grade_of_a_form_block() -> None:
    """It shows as reclaim, and no form's approved list takes it."""
    yard = yard_with_beads()
    new = NewLot("RG-1", Material.REGRIND, "regrind bag", grades=("F1", "reclaim"))
    yard.step("receipt", 1, [Line("RG-1", 1, 50 * KG)], new)
    yard.expand("B-1", "S1", 200, at=2)
    yard.step("fill", 3, [Line("RG-1", -1, 50 * KG), Line("S1", 1, 50 * KG, 0, Evidence.WEIGHED)])

    one = board(yard, 20)["S1"]

    assert [grade.name for grade in one.grades] == ["F1", "reclaim"]
    assert one.products == ()


def test_feeding_is_followed_over_hoppers_to_the_press() -> None:
    """The plate says what it feeds; the press is two places on."""
    one = board(yard_with_beads(), 5)["S1"]

    assert one.feeds == ("H1",)
    assert one.presses == ("FP1",)


def test_the_oldest_ready_silo_is_next() -> None:
    """Not the held one, not the fresh one; each of the others says why not."""
    yard = yard_with_beads("S1", "S2", "S3", "S4")
    yard.bag("B-2", grade="PK1")
    for silo, at in (("S1", 2.0), ("S2", 4.0), ("S3", 5.0), ("S4", 19.0)):
        yard.expand("B-1", silo, 100, at=at)
    yard.hold("H-7", "S1", at=15, reason="smell of fuel")

    told = next_to_use(silos(yard.no, ms(20)), "FP1", "FB6")

    assert told.place == "S2"
    assert "oldest" in told.why
    assert {one.place: one.why for one in told.others} == {
        "S1": "held: H-7: smell of fuel",
        "S3": "ready, and younger",
        "S4": "too fresh",
    }


def test_where_nothing_is_ready_the_next_one_is_named() -> None:
    """With the hours until it is."""
    yard = yard_with_beads()
    yard.expand("B-1", "S1", 100, at=2)

    told = next_to_use(silos(yard.no, ms(6)), "FP1", "FB6")

    assert told.place == ""
    assert told.why == "nothing ready for FB6; S1 is the next, in 4.0 h"


def test_a_product_whose_list_does_not_take_the_grade_gets_nothing() -> None:
    """The advice keeps to approved lists."""
    yard = yard_with_beads()
    yard.expand("B-1", "S1", 100, at=2)

    told = next_to_use(silos(yard.no, ms(20)), "FP1", "PK9")

    assert (told.place, told.why) == ("", "nothing ready for PK9")
    assert told.others[0].why == "F1 is not on the approved list of PK9"
