"""What reaches a lot from above: holds, nonconformities, concessions, and the way they came."""

from collections.abc import Callable

import pytest

from beadwright.ledger import holds
from beadwright.ledger.draft import Evidence, Line, Material, NewLot
from beadwright.plant.assessment import REASONS
from beadwright.plant.codes import CODES
from beadwright.plant.release import upstream
from tests.plant.asking import GOOD, coded, good_yard, the_lot
from tests.plant.yard import Yard

pytestmark = pytest.mark.django_db


def test_a_hold_on_a_bag_stops_what_was_made_of_it_and_tells_the_way() -> None:
    """From the bag through the silo, with the times of the plant's clock."""
    yard = good_yard()
    yard.hold("H-1", "B-1", reason="odd smell")

    lot = the_lot(yard)

    assert lot.answer == "may_not_ship"
    (reason,) = coded(lot, "on_hold")
    assert reason.sentence == (
        "hold H-1 on B-1, placed 2026-09-04 03:00 by P-13: odd smell"
        " (B-1 into S1 2026-09-01 02:00, S1 into L1 2026-09-01 20:00)"
    )
    assert lot.reasons[0] == reason


def test_a_hold_on_the_lot_itself_needs_no_way() -> None:
    """It sits on the lot."""
    yard = good_yard()
    yard.hold("H-1", "L1")

    (one,) = upstream(yard.no, "L1")

    assert (one.lot, one.path, one.code) == ("L1", "", "on_hold")


def test_a_lifted_hold_is_gone_and_only_for_the_lots_named() -> None:
    """A lift names the lots it clears."""
    yard = good_yard("L1", "L2")
    yard.hold("H-1", "B-1")
    yard.lift("H-1", "L1")

    assert the_lot(yard, "L1").answer == "may_ship"
    assert the_lot(yard, "L2").answer == "may_not_ship"


def test_a_hold_does_not_pass_a_swept_silo() -> None:
    """What was filled after the sweep has nothing of the bag."""
    yard = good_yard("L1")
    yard.bag("B-2")
    yard.sweep("S1", at=30)
    yard.expand("B-2", "S1", at=31)
    yard.mould("L2", at=45)
    yard.weigh("L2", "24h", GOOD, at=80)
    yard.hold("H-1", "B-1", at=82)

    assert the_lot(yard, "L1").answer == "may_not_ship"
    assert the_lot(yard, "L2").answer == "may_ship"


def test_the_way_of_a_hold_is_that_of_the_draw() -> None:
    """Filled again of the same bag after the lot was moulded: that is not how it came in."""
    yard = good_yard()
    yard.expand("B-1", "S1", kg=100, at=40)
    yard.hold("H-1", "B-1")

    (one,) = upstream(yard.no, "L1")

    assert one.path == "B-1 into S1 2026-09-01 02:00, S1 into L1 2026-09-01 20:00"


def test_the_way_of_a_hold_does_not_pass_a_sweep() -> None:
    """The bag was in the silo before it was swept, and came back through another."""
    yard = Yard.open()
    yard.bag("B-1")
    yard.carton("T-1")
    yard.expand("B-1", "S1", kg=100, at=1)
    yard.expand("B-1", "S2", kg=300, at=2)
    yard.sweep("S1", at=3)
    yard.transfer("S2", "S1", 300, at=4)
    yard.mould("L1", at=20)
    yard.hold("H-1", "B-1")

    (one,) = upstream(yard.no, "L1")

    assert one.path == (
        "B-1 into S2 2026-09-01 02:00, S2 into S1 2026-09-01 04:00, S1 into L1 2026-09-01 20:00"
    )


def too_fresh(yard: Yard) -> None:
    """Mould two hours after the last filling."""
    yard.expand("B-1", "S1", at=18)


def wrong_grade(yard: Yard) -> None:
    """Packaging beads in a silo of form beads."""
    yard.bag("P-1", grade="PK1", at=1)
    yard.expand("P-1", "S1", at=3)


def over_the_books(yard: Yard) -> None:
    """Take most of the silo away before."""
    yard.transfer("S1", "S2", 380, at=15)


@pytest.mark.parametrize(
    ("spoil", "code", "words"),
    [
        (too_fresh, "too_fresh", "2.0 h after its last filling"),
        (wrong_grade, "wrong_grade", "P-1 into S1 2026-09-01 03:00, S1 into L1 2026-09-01 20:00"),
        (over_the_books, "more_than_held", "S1 into L1 2026-09-01 20:00"),
    ],
)
def test_a_nonconformity_stops_the_lot_and_names_the_offender(
    spoil: Callable[[Yard], None], code: str, words: str
) -> None:
    """With the step it was found at."""
    yard = Yard.open()
    yard.limit("LIM", "density", "min", "22.0 kg/m3")
    yard.bag("B-1")
    yard.carton("T-1")
    yard.expand("B-1", "S1")
    spoil(yard)
    posted = yard.mould("L1")
    yard.weigh("L1", "24h", GOOD)

    lot = the_lot(yard)

    assert lot.answer == "may_not_ship"
    (reason,) = coded(lot, code)
    assert reason.weight == "stops"
    assert words in reason.sentence
    assert reason.source == f"step {posted.key}"
    (one,) = lot.upstream
    assert (one.lot, one.closed) == ("S1", False)


def test_the_bag_behind_a_wrong_grade_is_looked_for_since_the_last_sweep() -> None:
    """A bag that went in before the silo was swept empty cannot be it."""
    yard = Yard.open()
    yard.carton("T-1")
    for bag, grade in (("B-1", "F1"), ("P-1", "PK1"), ("P-2", "PK1")):
        yard.bag(bag, grade=grade)
    yard.expand("P-1", "S1", at=1)
    yard.sweep("S1", at=2)
    yard.expand("P-2", "S1", at=3)
    yard.expand("B-1", "S1", at=4)
    yard.mould("L1", at=20)

    (one,) = upstream(yard.no, "L1")

    assert one.path.startswith("P-2 into S1 2026-09-01 03:00")


def test_reclaim_is_followed_to_its_bag() -> None:
    """Regrind blown into a silo: reclaim in a form block."""
    yard = good_yard("L0")
    scrap = NewLot("BIN-1", Material.SCRAP, "bin")
    regrind = NewLot("RG-1", Material.REGRIND, "bag")
    line = Line("L0", -1, 10 * 3_115_000, 10, Evidence.COUNTED)
    yard.step("scrap", 24, [line, Line("BIN-1", 1, 31_150_000)], scrap)
    yard.step("grind", 25, [Line("BIN-1", -1, 20_000_000), Line("RG-1", 1, 20_000_000)], regrind)
    yard.transfer("RG-1", "S1", 20, at=26)
    yard.mould("L1", at=40)

    found = {one.code: one for one in upstream(yard.no, "L1")}

    assert found["reclaim_in_block"].path == (
        "RG-1 into S1 2026-09-02 02:00, S1 into L1 2026-09-02 16:00"
    )


def test_a_concession_closes_a_nonconformity_and_stays_to_be_known() -> None:
    """With its reason; the lot may ship."""
    yard = good_yard("L0")
    yard.expand("B-1", "S1", at=30)
    yard.mould("L1", at=32)
    yard.weigh("L1", "24h", GOOD)
    held = the_lot(yard)
    (flaw,) = holds.nonconformities(yard.no)
    yard.concede(flaw.cause, [flaw.mark])

    lot = the_lot(yard)

    assert (held.answer, lot.answer) == ("may_not_ship", "may_ship")
    (reason,) = coded(lot, "conceded")
    assert reason.weight == "notes"
    assert reason.sentence.startswith("conceded: strength tested. It was: S1 was moulded 2.0 h")
    assert held.evidence != lot.evidence


def test_reasons_come_worst_first() -> None:
    """Wrong grade before a hold before too fresh before a limit before what is missing."""
    yard = Yard.open()
    yard.limit("A", "density", "min", "24.0 kg/m3")
    yard.limit("B", "length", "max", "48.1 in")
    yard.block_lot("L0")
    yard.bag("P-1", grade="PK1", at=1)
    yard.expand("P-1", "S1", at=21)
    yard.mould("L1", at=22)
    yard.weigh("L1", "24h", GOOD)
    yard.look_over("L1", 40, ties=1)
    yard.hold("H-1", "B-1")

    lot = the_lot(yard)

    assert [reason.code for reason in lot.reasons] == [
        "wrong_grade",
        "on_hold",
        "too_fresh",
        "limit_not_met",
        "not_measured",
        "defects",
    ]


def test_every_reason_has_a_code_that_is_explained() -> None:
    """Codes of reasons and of nonconformities do not clash in meaning."""
    shared = set(REASONS) & set(CODES)

    assert shared == {"on_hold", "unknown_product"}
    assert all(weight in {"stops", "asks", "notes"} for weight, _ in REASONS.values())
