"""Which lots are assessed, where their pieces are, and what a release rests on."""

import json
from collections.abc import Callable

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from beadwright.errors import Misuse
from beadwright.ledger import lots
from beadwright.ledger.draft import Evidence, Line, Material, NewLot, Reversal
from beadwright.plant.assessment import LotAssessment
from beadwright.plant.opening import rebuild_plant
from beadwright.plant.release import as_json, assess
from tests.plant.asking import GOOD, coded, good_yard, the_lot
from tests.plant.yard import Yard, ms

pytestmark = pytest.mark.django_db


# -- where the pieces are ------------------------------------------------------------------------


def stands(lot: LotAssessment) -> dict[str, tuple[str, str]]:
    """Pieces and receiver by the lot they stand in."""
    where = lot.whereabouts
    return {one.lot: (one.pieces, one.receiver) for one in (*where.in_stock, *where.shipped)}


def test_pieces_are_followed_through_bundles_to_their_receivers() -> None:
    """Counted: exact where a bundle holds one lot."""
    yard = good_yard()
    yard.bundle("BU-1", "L1", 20)
    yard.bundle("BU-2", "L1", 12)
    yard.ship("SH-1", "BU-1", 20, "QUARRY LANE")
    yard.ship("SH-2", "BU-2", 5, "MILL END", at=72)

    lot = the_lot(yard)

    assert stands(lot) == {
        "L1": ("8", ""),
        "BU-2": ("7", ""),
        "SH-1": ("20", "QUARRY LANE"),
        "SH-2": ("5", "MILL END"),
    }
    assert (lot.whereabouts.made, lot.whereabouts.gone) == (40, 0)


def test_a_bundle_of_two_lots_gives_bounds() -> None:
    """25 of 20 + 20 were shipped: of each lot at least 5, at most 20."""
    yard = good_yard("L1", "L2")
    yard.bundle("BU-1", "L1", 20)
    yard.bundle("BU-1", "L2", 20)
    yard.ship("SH-1", "BU-1", 25)

    for lot in assess(yard.no).lots:
        assert stands(lot) == {
            lot.lot: ("20", ""),
            "BU-1": ("0 to 15", ""),
            "SH-1": ("5 to 20", "QUARRY LANE"),
        }


def test_what_was_put_in_later_was_not_taken_out_before() -> None:
    """15 of 20 were shipped; then 20 of another lot came to the 5 left, and 22 went: 2 to 5 of L1.

    At least 2, because 20 alone are of L2; at least 17 of L2, because 5 alone are of L1.
    """
    yard = good_yard("L1", "L2")
    yard.bundle("BU-1", "L1", 20)
    yard.ship("SH-1", "BU-1", 15, at=55)
    yard.bundle("BU-1", "L2", 20, at=60)
    yard.ship("SH-2", "BU-1", 22, at=70)

    one, other = assess(yard.no).lots

    assert stands(one) == {
        "L1": ("20", ""),
        "SH-1": ("15", "QUARRY LANE"),
        "BU-1": ("0 to 3", ""),
        "SH-2": ("2 to 5", "QUARRY LANE"),
    }
    assert stands(other) == {
        "L2": ("20", ""),
        "BU-1": ("0 to 3", ""),
        "SH-2": ("17 to 20", "QUARRY LANE"),
    }


def test_where_more_was_taken_than_was_there_its_times_say_nothing() -> None:
    """25 of 20 were shipped before the other lot came: some may have been of that."""
    yard = good_yard("L1", "L2")
    yard.bundle("BU-1", "L1", 20)
    yard.ship("SH-1", "BU-1", 25, at=55)
    yard.bundle("BU-1", "L2", 20, at=60)

    one, other = assess(yard.no).lots

    assert stands(one)["SH-1"] == stands(other)["SH-1"] == ("5 to 20", "QUARRY LANE")


def test_rejected_pieces_are_gone() -> None:
    """Three of forty went to the scrap bin."""
    yard = good_yard()
    scrap = NewLot("BIN-1", Material.SCRAP, "bin")
    lines = [
        Line("L1", -1, 3 * 3_115_000, 3, Evidence.COUNTED),
        Line("BIN-1", 1, 3 * 3_115_000, 0, Evidence.BACKFLUSHED),
    ]
    yard.step("inspect", 61, lines, scrap)

    where = the_lot(yard).whereabouts

    assert (where.made, where.gone, where.in_stock[0].pieces) == (40, 3, "37")


def test_what_comes_back_does_not_go_round_for_ever() -> None:
    """A shipment returned into the bundle it came from."""
    yard = good_yard()
    yard.bundle("BU-1", "L1", 20)
    yard.ship("SH-1", "BU-1", 20)
    back = [
        Line("SH-1", -1, 5 * 3_115_000, 5, Evidence.COUNTED),
        Line("BU-1", 1, 5 * 3_115_000, 5, Evidence.COUNTED),
    ]
    yard.step("return", 75, back)

    found = stands(the_lot(yard))

    assert found["L1"] == ("20", "")
    assert set(found) == {"L1", "BU-1", "SH-1"}


def test_a_lot_that_may_not_ship_says_who_has_it_already() -> None:
    """After the causes, as their consequence."""
    yard = good_yard()
    yard.ship("SH-1", "L1", 30, "MILL END")
    yard.hold("H-1", "B-1")

    lot = the_lot(yard)

    assert [reason.code for reason in lot.reasons[:2]] == ["on_hold", "already_shipped"]
    assert coded(lot, "already_shipped")[0].weight == "notes"
    assert coded(lot, "already_shipped")[0].sentence == (
        "pieces are already with MILL END: 30 in SH-1"
    )


# -- which lots are assessed ---------------------------------------------------------------------


def test_all_lots_that_mould_runs_made_are_assessed_in_their_order() -> None:
    """Shipped ones too; bundles and shipments are not lots of their own."""
    yard = good_yard("L2", "L1")
    yard.bundle("BU-1", "L1", 20)
    yard.ship("SH-1", "BU-1", 20)

    found = assess(yard.no, at_ms=ms(100))

    assert [lot.lot for lot in found.lots] == ["L2", "L1"]
    assert (found.plant, found.zone, found.at_ms) == ("P1", "America/Chicago", ms(100))
    assert found.count("may_ship") == 2


def test_a_shipment_is_answered_by_the_worst_lot_it_holds_pieces_of() -> None:
    """Through the bundle, to both block lots."""
    yard = good_yard("L1", "L2")
    yard.bundle("BU-1", "L1", 10)
    yard.bundle("BU-1", "L2", 10)
    yard.ship("SH-1", "BU-1", 20)
    yard.hold("H-1", "L2", at=76)

    found = assess(yard.no, ["SH-1", "L1"])

    assert [lot.lot for lot in found.lots] == ["L1", "L2"]
    assert [(one.code, one.lots, one.answer) for one in found.asked] == [
        ("SH-1", ("L1", "L2"), "may_not_ship"),
        ("L1", ("L1",), "may_ship"),
    ]


def test_a_hold_on_a_bundle_is_the_bundles_own() -> None:
    """Its block lots may ship, the bundle may not."""
    yard = good_yard()
    yard.bundle("BU-1", "L1", 20)
    yard.hold("H-1", "BU-1")

    found = assess(yard.no, ["BU-1"])

    assert found.lots[0].answer == "may_ship"
    assert found.asked[0].answer == "may_not_ship"
    assert [one.lot for one in found.asked[0].upstream] == ["BU-1"]


@pytest.mark.parametrize(
    ("code", "words"), [("L9", "lot L9 is not in the record"), ("B-1", "B-1 is bead; only blocks")]
)
def test_what_is_no_block_lot_is_misuse(code: str, words: str) -> None:
    """With what to do."""
    yard = good_yard()

    with pytest.raises(Misuse, match=words):
        assess(yard.no, [code])


def test_a_lot_that_another_was_merged_into_answers_for_both() -> None:
    """Pieces of another lot came into it: it holds both, and both must be released."""
    yard = good_yard("L1", "L2")
    unit = lots.get(yard.no, "L2").unit_mg  # type: ignore[union-attr]
    moved = [
        Line("L2", -1, 5 * unit, 5, Evidence.COUNTED),
        Line("L1", 1, 5 * unit, 5, Evidence.COUNTED),
    ]
    yard.step("merge", 62, moved)
    yard.hold("H-1", "L2", at=63)

    (asked,) = assess(yard.no, ["L1"]).asked

    assert asked.lots == ("L1", "L2")
    assert asked.answer == "may_not_ship"


def test_a_reversed_mould_run_made_nothing() -> None:
    """It is in no list; asked for, it says so."""
    yard = good_yard("L1")
    posted = yard.block_lot("L2", at=22)
    yard.post(Reversal("undo", posted.key, "never ran", ms(80)))

    assert [lot.lot for lot in assess(yard.no).lots] == ["L1"]
    assert the_lot(yard, "L2").reasons[0].code == "nothing_made"


# -- evidence and release ------------------------------------------------------------------------


def test_a_release_stands_until_its_grounds_change() -> None:
    """A hold suspends it; lifting the hold lets it stand again."""
    yard = good_yard()
    yard.release("L1", the_lot(yard).evidence)
    released = the_lot(yard)
    yard.hold("H-1", "B-1", at=80)
    suspended = the_lot(yard)
    yard.lift("H-1", "L1", at=81)
    again = the_lot(yard)

    assert released.released
    assert released.approval is not None
    assert released.approval.evidence == released.evidence
    assert suspended.suspended
    assert not suspended.released
    assert coded(suspended, "release_suspended")[0].sentence.startswith("the release by P-13")
    assert again.released
    assert again.evidence == released.evidence


def test_the_evidence_does_not_change_with_where_the_pieces_are() -> None:
    """Nor with the time of asking, nor with other lots."""
    yard = good_yard("L1", "L2")
    before = the_lot(yard)
    yard.ship("SH-1", "L1", 20)
    yard.weigh("L2", "24h", GOOD, at=66)

    assert the_lot(yard).evidence == before.evidence
    assert assess(yard.no, ["L1"], at_ms=ms(2000)).lots[0].evidence == before.evidence


@pytest.mark.parametrize(
    "change",
    [
        lambda yard: yard.weigh("L1", "24h", GOOD, at=66),
        lambda yard: yard.limit("LIM", "density", "min", "21.0 kg/m3", since=1),
        lambda yard: yard.hold("H-1", "B-1"),
        lambda yard: yard.set("product", "FB6", since=1, family="form", ties=6),
    ],
)
def test_the_evidence_changes_with_what_the_answer_rests_on(
    change: Callable[[Yard], object],
) -> None:
    """Readings, limits, causes, the product."""
    yard = good_yard()
    before = the_lot(yard).evidence
    change(yard)

    assert the_lot(yard).evidence != before


def test_the_evidence_changes_with_each_cause() -> None:
    """A second hold leaves the answer as it is, and is new evidence all the same."""
    yard = good_yard()
    yard.hold("H-1", "B-1")
    before = the_lot(yard)
    yard.hold("H-2", "B-1", at=76)

    after = the_lot(yard)

    assert before.answer == after.answer
    assert before.evidence != after.evidence


def test_a_rebuild_changes_no_answer() -> None:
    """Everything asked is a projection."""
    yard = good_yard("L1", "L2")
    yard.expand("B-1", "S1", at=30)
    yard.mould("L3", at=32)
    yard.bundle("BU-1", "L1", 20)
    yard.hold("H-1", "L2")
    before = as_json(assess(yard.no, at_ms=ms(99)))

    rebuild_plant(yard.door.plant)

    assert as_json(assess(yard.no, at_ms=ms(99))) == before


def test_the_json_holds_what_the_assessment_says() -> None:
    """It can be written, and its times are the plant's."""
    yard = good_yard()
    yard.ship("SH-1", "L1", 20)

    told = json.loads(json.dumps(as_json(assess(yard.no, ["L1"], at_ms=ms(100)))))

    assert told["at"] == "2026-09-05T04:00:00-05:00"
    assert told["counts"] == {
        "may_ship": 1, "may_not_ship": 0, "not_enough_evidence": 0, "may_leave": 1,
        "look_back_first": 0,
    }  # fmt: skip
    (lot,) = told["lots"]
    assert lot["made_at"] == "2026-09-01T20:00:00-05:00"
    assert lot["shipped"][0]["receiver"] == "QUARRY LANE"
    assert lot["limits"][0]["finding"] == "met"
    assert lot["limits"][0]["readings"]
    assert lot["evidence"] == the_lot(yard).evidence
    documented = as_json.__doc__ or ""
    fields = {*told, *lot, *lot["limits"][0], *lot["shipped"][0], *lot["reasons"][0]}
    assert not [field for field in fields if f"``{field}``" not in documented]


def test_many_lots_cost_as_many_questions_as_one() -> None:
    """Asked in batches, not lot by lot."""
    yard = good_yard("A1")
    yard.hold("H-1", "A1")
    with CaptureQueriesContext(
        connection,
    ) as few:
        assess(yard.no)
    for number in range(12):
        yard.block_lot(f"L{number}", good=5, at=20)
        yard.weigh(f"L{number}", "24h", GOOD)
        yard.bundle(f"BU-{number}", f"L{number}", 3)
        yard.ship(f"SH-{number}", f"BU-{number}", 2)
    yard.hold("H-2", "B-1")

    with CaptureQueriesContext(connection) as many:
        found = assess(yard.no)

    assert len(found.lots) == 13
    # Four more: a level of bundles, one of shipments, and the bag behind the silo.
    assert len(many) <= len(few) + 8
