"""Whether a lot may ship: what reaches it from above, ties in doubt, where it is, its evidence."""

import json
from collections.abc import Callable

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from beadwright.errors import Misuse
from beadwright.ledger import holds
from beadwright.ledger.draft import Evidence, Line, Material, NewLot, Reversal
from beadwright.plant.assessment import REASONS, LotAssessment
from beadwright.plant.codes import CODES
from beadwright.plant.opening import rebuild_plant
from beadwright.plant.release import as_json, assess, upstream
from tests.plant.test_release_limits import block, coded, the_lot
from tests.plant.yard import Yard, ms

pytestmark = pytest.mark.django_db

GOOD = [block(23), block(23.1), block(22.9)]


def good_yard(*lots: str) -> Yard:
    """A plant with a density limit and lots that meet it."""
    yard = Yard.open()
    yard.limit("LIM", "density", "min", "22.0 kg/m3")
    for lot in lots or ("L1",):
        yard.block_lot(lot)
        yard.weigh(lot, "24h", GOOD)
    return yard


# -- what reaches a lot from above ---------------------------------------------------------------


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
        "no_reading",
        "defects",
    ]


def test_every_reason_has_a_code_that_is_explained() -> None:
    """Codes of reasons and of nonconformities do not clash in meaning."""
    shared = set(REASONS) & set(CODES)

    assert shared == {"on_hold", "unknown_product"}
    assert all(weight in {"stops", "asks", "notes"} for weight, _ in REASONS.values())


# -- ties in doubt -------------------------------------------------------------------------------


def test_a_piece_short_of_a_whole_tie_is_asked_about_before_it_is_called_light() -> None:
    """Its foam would be 18.9 kg/m3; 0.27 kg is one tie."""
    yard = good_yard("L0")
    yard.block_lot("L1", at=21)
    yard.weigh("L1", "24h", [*GOOD, block(23, ties=5)])

    lot = the_lot(yard)

    assert lot.answer == "not_enough_evidence"
    assert [one.finding for one in lot.limits] == ["met"]
    assert lot.limits[0].n == 3
    assert lot.reasons[0].code == "tie_missing"
    assert lot.reasons[0].sentence == (
        "piece D4 (a day old) weighs 0.27 kg too little, which fits 1 tie:"
        " count the ties before the foam is called light"
    )


def test_two_pieces_are_compared_with_the_target() -> None:
    """Too few for a median: the product's foam mass is the measure."""
    yard = good_yard("L0")
    yard.block_lot("L1", at=21)
    yard.weigh("L1", "24h", [block(23), block(23, ties=4)])

    lot = the_lot(yard)

    assert [(one.pieces, one.short) for one in lot.ties] == [(("D2",), 2)]


def test_light_foam_is_light() -> None:
    """0.13 kg too little fits no tie of 0.27 kg."""
    yard = good_yard("L0")
    yard.block_lot("L1", at=21)
    yard.weigh("L1", "24h", [*GOOD, block(21)])

    lot = the_lot(yard)

    assert lot.answer == "may_not_ship"
    assert lot.ties == ()
    assert coded(lot, "limit_not_met")[0].sentence.startswith("density 21.00 kg/m3 (least of 4")


def test_a_whole_lot_short_of_a_tie_is_light_and_asked_about() -> None:
    """Perhaps the ties weigh less than the carton says: the limit stands, the question too."""
    yard = good_yard("L0")
    yard.block_lot("L1", at=21)
    yard.weigh("L1", "24h", [block(23, ties=5), block(23.1, ties=5), block(22.9, ties=5)])

    lot = the_lot(yard)

    assert lot.answer == "may_not_ship"
    assert coded(lot, "limit_not_met")
    (reason,) = coded(lot, "tie_missing")
    assert reason.sentence.startswith("every piece (a day old) is about 0.27 kg short of FB6's")


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
    assert told["counts"] == {"may_ship": 1, "may_not_ship": 0, "not_enough_evidence": 0}
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
