"""After a change at the press a lot waits for its first piece."""

from __future__ import annotations

from typing import Any

import pytest

from beadwright.ledger import settings
from beadwright.ledger.draft import Evidence, Line, Material, NewLot, Reversal
from beadwright.ledger.pressed import PressStep
from beadwright.plant.first_pieces import SIGNED as SIGNED_ALL
from beadwright.plant.first_pieces import Awaited, awaited
from tests.plant.asking import GOOD, coded, good_yard, the_lot
from tests.plant.yard import Yard, ms

pytestmark = pytest.mark.django_db

OK = dict.fromkeys(("mass", "ties", "fusion", "dimensions", "code"), "ok")


def ruled(*after: str, **more: Any) -> Yard:
    """A yard whose press must have a first piece after some changes, and lot L0 moulded before."""
    yard = good_yard("L0")
    yard.set("first_piece", "rule", {"after": list(after), **more}, since=1)
    yard.set("ageing", "F1", min_h="0", max_h="2000")
    return yard


def mould(yard: Yard, lot: str, at: float, **more: Any) -> None:
    """Mould a lot at a time, and weigh it well."""
    yard.mould(lot, at=at, **more)
    yard.weigh(lot, "24h", GOOD, at=at + 30)


def sign(yard: Yard, lot: str, at: float, place: str = "", **facts: str) -> None:
    """Sign a first piece of a lot."""
    yard.step("first_piece", at, [Line(lot, 0, 0)], place=place, by="P-13", facts={**OK, **facts})


def found(yard: Yard, lot: str) -> tuple[str, list[str]]:
    """The answer, and the codes that are about first pieces."""
    told = the_lot(yard, lot)
    about = [one.code for one in told.reasons if "first_piece" in one.code]
    return told.answer, about


MISSING = ("not_enough_evidence", ["no_first_piece"])
SIGNED = ("may_ship", ["first_piece"])


def test_without_a_rule_nothing_is_asked() -> None:
    """A plant that has not set it is asked for nothing."""
    assert found(good_yard("L1"), "L1") == ("may_ship", [])


def test_a_press_that_stood_starts() -> None:
    """The first lot after the rest waits; one that follows at once does not."""
    yard = ruled("start")
    mould(yard, "L1", at=40)
    mould(yard, "L2", at=42)

    assert found(yard, "L1") == found(yard, "L2") == MISSING
    sign(yard, "L1", at=40.2)
    assert found(yard, "L1") == found(yard, "L2") == SIGNED
    (reason,) = coded(the_lot(yard, "L1"), "first_piece")
    assert "FP1" in reason.sentence
    assert "after a start" in reason.sentence
    assert "by P-13" in reason.sentence


@pytest.mark.parametrize(("still_h", "told"), [("19.9", MISSING), ("20.1", ("may_ship", []))])
def test_how_long_it_must_have_stood_is_the_plant_s(still_h: str, told: object) -> None:
    """Twenty hours lie between the lots."""
    yard = ruled("start", still_h=still_h)
    sign(yard, "L0", at=20.5)
    mould(yard, "L1", at=40)

    assert found(yard, "L1") == (told if told == MISSING else ("may_ship", ["first_piece"]))


@pytest.mark.parametrize("missing", OK)
def test_all_five_are_signed_or_it_is_none(missing: str) -> None:
    """Mass, ties, fusion, dimensions, code."""
    yard = ruled("start")
    mould(yard, "L1", at=40)
    sign(yard, "L1", at=40.2, **{missing: "not ok"})

    assert found(yard, "L1") == MISSING


def test_a_mould_change_or_another_product_asks() -> None:
    """A change that was keyed, or that the product tells."""
    yard = ruled("mould")
    mould(yard, "L1", at=22)
    assert found(yard, "L1") == ("may_ship", [])
    yard.step("mould_change", 23, [], place="FP2")
    mould(yard, "L2", at=24)
    assert found(yard, "L2") == ("may_ship", [])
    yard.step("mould_change", 25, [], place="FP1")
    mould(yard, "L3", at=26)
    assert found(yard, "L3") == MISSING
    sign(yard, "L3", at=26.1)
    assert found(yard, "L3") == SIGNED


def test_other_beads_and_other_ties_ask() -> None:
    """By grade; a new bag or carton of the same grade is no change."""
    yard = ruled("bead", "tie")
    yard.set("approved", "FB6", revision="R2", grades=["F1", "F2", "T6", "T7"])
    yard.set("ageing", "F2", min_h="0", max_h="2000")
    yard.bag("B-2")
    yard.expand("B-2", "S1", at=21)
    mould(yard, "L1", at=22)
    yard.bag("B-3", grade="F2")
    yard.expand("B-3", "S2", at=21)
    mould(yard, "L2", at=24, silo="S2")
    unit = 270_000
    new = NewLot("T-2", Material.TIE, "carton", grades=("T7",), unit_mg=unit)
    yard.step("receipt", 3, [Line("T-2", 1, 1000 * unit, 1000, Evidence.COUNTED)], new)
    mould(yard, "L3", at=26, silo="S2", carton="T-2")

    assert found(yard, "L1") == ("may_ship", [])
    assert found(yard, "L2") == found(yard, "L3") == MISSING
    sign(yard, "L2", at=24.1)
    assert (found(yard, "L2"), found(yard, "L3")) == (SIGNED, MISSING)


def test_a_signature_before_the_change_or_at_another_press_is_none() -> None:
    """It approves what it was taken from."""
    yard = ruled("start")
    mould(yard, "L1", at=40)
    sign(yard, "L1", at=39)
    sign(yard, "L0", at=41, place="FP2")

    assert found(yard, "L1") == MISSING
    sign(yard, "L0", at=41, place="FP1")
    assert found(yard, "L1") == SIGNED


def test_a_reversed_mould_change_asks_nothing() -> None:
    """What is undone never was."""
    yard = ruled("mould")
    posted = yard.step("mould_change", 25, [], place="FP1")
    mould(yard, "L1", at=26)
    assert found(yard, "L1") == MISSING
    yard.post(Reversal("undo", posted.key, "never", ms(70)))
    assert found(yard, "L1") == ("may_ship", [])


def test_pieces_counted_good_before_the_signature_count_as_scrap() -> None:
    """A run that ended before its first piece was signed made only scrap."""
    yard = ruled("start")
    mould(yard, "L1", at=40)
    key = next(key for key, step in yard.steps.items() if step.lines[-1].lot == "L1")
    yard.correct(key, facts={"ended": str(ms(41))})
    sign(yard, "L1", at=40.5)
    assert found(yard, "L1") == SIGNED

    yard.correct(key, facts={"ended": str(ms(40.4))}, at=82)

    answer, codes = found(yard, "L1")
    assert (answer, codes) == ("not_enough_evidence", ["before_first_piece", "first_piece"])
    assert coded(the_lot(yard, "L1"), "before_first_piece")[0].sentence.startswith("40 pieces")


def test_runs_before_the_rule_s_day_are_not_asked() -> None:
    """The rule in force at the change decides."""
    yard = good_yard("L1")
    yard.set("first_piece", "rule", {"after": ["start"]}, since=30)

    assert found(yard, "L1") == ("may_ship", [])


def test_the_evidence_changes_with_the_signature() -> None:
    """Who signed when is part of what a release approves."""
    yard = ruled("start")
    mould(yard, "L1", at=40)
    before = the_lot(yard, "L1").evidence
    sign(yard, "L1", at=40.2)
    after = the_lot(yard, "L1").evidence
    yard.correct(list(yard.steps)[-1], by="P-14")

    assert len({before, after, the_lot(yard, "L1").evidence}) == 3


# -- before a count: what a press is set to make next -------------------------------------------


def ahead(at: float, beads: str = "F1", mould: str = "") -> PressStep:
    """What FP1 is set to make from a time on."""
    return PressStep(
        "", "mould", ms(at), "FP1", "R-9", "FB6", {"mould": mould}, "", {}, frozenset({beads}),
        frozenset({"T6"}),
    )  # fmt: skip


def waits(yard: Yard, at: float, step: PressStep | None) -> Awaited:
    """What is asked of FP1 at a time."""
    return awaited(yard.no, settings.load(yard.no), "FP1", step, ms(at))


def test_a_run_that_counted_nothing_yet_waits_for_its_first_piece() -> None:
    """Told before anything is counted; signed, it waits no more."""
    yard = ruled("start", "bead")
    yard.mould("L1", at=40)
    assert waits(yard, 40.5, None).after == ("start",)
    sign(yard, "L1", at=40.5)
    assert not waits(yard, 41, None).waits
    assert not waits(yard, 41, ahead(41)).waits
    other = waits(yard, 42, ahead(41, beads="F2"))
    assert (other.waits, other.after, other.words) == (True, ("bead",), "other beads")
    assert other.missing == SIGNED_ALL
    sign(yard, "L1", at=41.5, place="FP1")
    assert not waits(yard, 42, ahead(41, beads="F2")).waits


def test_what_was_not_ok_is_named() -> None:
    """Fusion failed: it alone is missing, and what was counted good before is counted."""
    yard = ruled("start")
    yard.mould("L1", at=40, good=7)
    sign(yard, "L1", at=40.2, place="FP1", fusion="not ok")
    found = waits(yard, 41, None)
    assert (found.missing, found.refused, found.good) == (("fusion",), ("fusion",), 7)


def test_without_a_rule_no_first_piece_is_awaited() -> None:
    """Nothing waits."""
    assert waits(good_yard("L1"), 100, None) == Awaited()


def test_only_who_must_sign_signs() -> None:
    """A plant may ask for an engineer: a technician's signature is recorded and is none."""
    yard = ruled("start", signed_by=["engineer"])
    yard.set("role", "P-77", role="technician")
    yard.mould("L1", at=40)
    yard.weigh("L1", "24h", GOOD, at=70)
    line = [Line("L1", 0, 0)]
    yard.step("first_piece", 40.2, line, place="FP1", by="P-77", facts=OK)
    assert found(yard, "L1") == MISSING
    assert waits(yard, 41, None).missing == SIGNED_ALL
    yard.step("first_piece", 40.3, line, place="FP1", by="P-13", facts=OK)
    assert found(yard, "L1") == SIGNED


def test_packaging_waits_for_no_first_piece() -> None:
    """It has no ties to be looked at; what its press made counts all the same."""
    yard = ruled("start")
    lines = [Line("S1", -1, 10_000, 0, Evidence.BACKFLUSHED), Line("PK", 1, 10_000, 7)]
    new = NewLot("PK", Material.PACKAGING, "mould run", "FB6", unit_mg=1_429)
    yard.step("mould", 40, lines, new, product="FB6", place="FP1")

    assert found(yard, "PK")[1] == []
    assert waits(yard, 41, None).good == 7
