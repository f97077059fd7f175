"""A recall: its scope by hand, whom to tell, what to hold, and its stages on record."""

from __future__ import annotations

import pytest

from beadwright.errors import Misuse, Refusal
from beadwright.ledger import holds, rebuild
from beadwright.ledger.draft import Decision, Evidence, Line, Material, NewLot
from beadwright.plant.access import Role, Who
from beadwright.plant.opening import open_plant
from beadwright.plant.recall.acts import (
    Done,
    finish_stage,
    stage_body,
    start_body,
    start_recall,
)
from beadwright.plant.recall.held import not_held
from beadwright.plant.recall.narrowed import WHOLE, Narrowing, narrowing
from beadwright.plant.recall.on_record import recall, recalls
from beadwright.plant.recall.scope import Scope, scope
from beadwright.plant.recall.stages import STAGES
from beadwright.plant.recall.starts import Begin, starts
from beadwright.plant.recall.told import scope_json, told_nobody
from tests.plant.yard import Yard, ms

pytestmark = pytest.mark.django_db

WHO = Who("P-13", Role.ENGINEER)


@pytest.fixture
def yard() -> Yard:
    """Bag B-1 and then bag B-2 into one silo, a lot of each blend, a bundle of the first sent."""
    yard = Yard.open()
    yard.bag("B-1", kg=400)
    yard.bag("B-2", kg=400)
    yard.carton("T-1", pieces=2000)
    yard.expand("B-1", "S1", kg=400, at=2)
    yard.mould("L1", good=40, at=20)
    yard.expand("B-2", "S1", kg=400, at=30)
    yard.mould("L2", good=40, at=40)
    yard.bundle("BN-1", "L1", 20, at=50)
    yard.ship("SH-1", "BN-1", 20, "NORTH YARD", at=60)
    return yard


def found(*lots: str, sources: bool = False) -> Scope:
    """The scope of some lots."""
    plant = open_plant("P1")
    return scope(plant.no, starts(plant, Begin(lots, sources=sources)))


def test_the_scope_is_every_lot_that_may_hold_any_of_it(yard: Yard) -> None:
    """B-2 came after L1: L2 alone. B-1 is in both, all the foam of L1 and a part of L2."""
    assert yard.no
    second = {one.lot.code: one for one in found("B-2").lots}
    first = {one.lot.code: one for one in found("B-1").lots}

    assert {"B-2", "S1", "L2"} == set(second)
    assert {"B-1", "S1", "L1", "L2", "BN-1", "SH-1"} == set(first)
    foam = 40 * 1.495
    into_l2 = (400 - foam) / (800 - foam)  # well mixed, by hand
    block = 1.495 + 6 * 0.27
    assert first["L2"].share == pytest.approx(into_l2 * 1.495 / block, rel=1e-3)
    assert first["L1"].share == pytest.approx(1.495 / block, rel=1e-6)
    assert first["L1"].most == pytest.approx(1.495 / block, rel=1e-6)


def test_who_has_it_and_what_is_here(yard: Yard) -> None:
    """Twenty of L1 at the receiver, twenty here; L2 whole; the silo's rest is stock."""
    assert yard.no
    its = found("B-1")

    ((name, some),) = its.receivers
    assert (name, [(one.lot, one.stand.at_most) for one in some]) == ("NORTH YARD", [("L1", 20)])
    assert sorted((code, stand.at_most) for code, stand in its.here) == [("L1", 20), ("L2", 40)]
    assert [one.lot.code for one in its.stock] == ["S1"]
    (closing,) = its.accounts
    assert closing.total == pytest.approx(closing.made, abs=1)


def test_stock_is_what_may_hold_some_now(yard: Yard) -> None:
    """By the share of what is there; a silo that was swept since holds none."""
    foam = 40 * 1.495
    (there,) = found("B-1").stock
    assert there.share == pytest.approx((400 - foam) / (800 - foam), rel=1e-3)
    assert (there.least, there.most) == (0, 1)

    yard.sweep("S1", at=61)
    yard.bag("B-3", kg=400, at=62)
    yard.expand("B-3", "S1", kg=400, at=63)

    assert found("B-1").stock == ()
    assert "S1" in {one.lot.code for one in found("B-1").lots}
    assert [one.lot.code for one in found("B-3").stock] == ["S1"]


def test_evidence_narrows_and_says_what_it_assumes(yard: Yard) -> None:
    """By the most a lot can hold, and by what was read of it; what was packed of it goes with it.

    B-1 was in the silo with as much of B-2 when L2 was moulded; all foam of L1 is of B-1.
    """
    plant = open_plant("P1")
    yard.limit("DEN", "density", "min", "22.0 kg/m3")
    whole = scope(plant.no, ["B-1"])
    assert (whole.narrowing.assumes, whole.out) == ((), ())
    (most,) = [one.most for one in scope(plant.no, ["B-2"]).lots if one.lot.code == "L2"]
    for below, stays in ((most * 0.99, True), (most, False)):
        its = scope(plant.no, ["B-2"], Narrowing(below=below))
        assert ("L2" in {one.lot.code for one in its.lots}) is stays
    none = scope(plant.no, ["B-1"], Narrowing(below=0.99))
    assert {code for code, _ in none.out} == {"L1", "L2"}
    assert {one.lot.code for one in none.lots} == {"B-1", "S1"}
    assert (none.receivers, none.here) == ((), ())
    assert none.accounts == whole.accounts
    assert (none.out_sent, whole.out_sent) == (whole.receivers, ())
    assert told_nobody(none)[1].endswith("told nothing: NORTH YARD (20 pieces).")
    assert told_nobody(whole) == ()

    yard.weigh("L1", "24h", [3.2])  # 24.1 kg/m3: it meets its limit; L2 was not weighed
    tested = scope(plant.no, ["B-1"], Narrowing(tested="density"))
    assert {code for code, _ in tested.out} == {"L1"}
    assert {"BN-1", "SH-1", "L1"}.isdisjoint(one.lot.code for one in tested.lots)
    assert "L2" in {one.lot.code for one in tested.lots}
    assert len(tested.narrowing.assumes) == 1

    yard.bundle("BN-1", "L2", 5, at=75)
    mixed = scope(plant.no, ["B-1"], Narrowing(tested="density"))
    assert "BN-1" in {one.lot.code for one in mixed.lots}


@pytest.mark.parametrize(("below", "tested"), [("100", ""), ("-1", ""), ("x", ""), ("", "charm")])
def test_what_narrows_nothing_that_can_be_meant_is_refused(below: str, tested: str) -> None:
    """A share beyond all, and what nobody reads."""
    with pytest.raises(Misuse, match=r"per cent|is read under"):
        narrowing(below, tested)


def test_two_starts_add_and_a_start_within_another_is_not_counted_twice(yard: Yard) -> None:
    """Both bags are all the foam of L2; L1 named beside B-1 is reached by it already."""
    assert yard.no
    both = {one.lot.code: one for one in found("B-1", "B-2").lots}
    block = 1.495 + 6 * 0.27
    assert both["L2"].share == pytest.approx(1.495 / block, rel=1e-6)
    alone = [{one.lot.code: one for one in found(bag).lots}["L2"].most for bag in ("B-1", "B-2")]
    assert both["L2"].most == pytest.approx(sum(alone))

    nested, plain = found("B-1", "L1"), found("B-1")
    assert nested.within == ("L1",)
    assert {one.lot.code for one in nested.lots} == {one.lot.code for one in plain.lots}
    shares = {one.lot.code: one.share for one in plain.lots}
    assert {one.lot.code: one.share for one in nested.lots} == {**shares, "L1": 1.0, "BN-1": 1.0,
                                                                  "SH-1": 1.0}  # fmt: skip


def test_starts_that_reach_each_other_lose_no_lot(yard: Yard) -> None:
    """Foam goes from silo to silo and back; what each gave on before stays in the scope."""
    yard.expand("B-2", "S2", kg=0.5, at=45)
    yard.transfer("S1", "S2", 50, at=46)
    yard.mould("L3", "S2", good=5, at=47)
    yard.transfer("S2", "S1", 10, at=48)
    yard.mould("L4", "S1", good=5, at=49)
    every = found("S1", "S2", "B-2")

    assert set(every.within) == {"S1", "S2"}
    assert {"L1", "L2", "L3", "L4", "S1", "S2", "B-2"} <= {one.lot.code for one in every.lots}
    both = {one.lot.code for one in found("S1", "S2").lots}
    assert {one.lot.code for start in ("S1", "S2") for one in found(start).lots} == both


def test_a_complaint_begins_at_what_the_block_was_made_of(yard: Yard) -> None:
    """L2 goes back to both bags and the carton, and forward to L1."""
    assert yard.no
    its = found("L2", sources=True)
    assert set(its.starts) == {"B-1", "B-2", "T-1"}
    assert "L1" in {one.lot.code for one in its.lots}


def test_a_press_and_a_time_begin_at_what_was_moulded(yard: Yard) -> None:
    """The second day's lot alone."""
    yard.set("place", "FP1", kind="press")
    plant = open_plant("P1")
    begin = Begin(press="FP1", since_ms=ms(35), until_ms=ms(45))
    assert starts(plant, begin) == ("L2",)
    with pytest.raises(Misuse, match="nothing was moulded"):
        starts(plant, Begin(press="FP1", since_ms=ms(100)))
    with pytest.raises(Misuse, match="no bag and no carton is known of S2"):
        starts(plant, Begin(("S2",), sources=True))
    assert starts(plant, Begin(("B-1",), sources=True)) == ("B-1",)
    with pytest.raises(Misuse, match="no lot"):
        starts(plant, Begin(("NONE",)))
    with pytest.raises(Misuse, match="starts from something"):
        starts(plant, Begin())


def test_a_run_that_lasts_into_a_time_belongs_to_it(yard: Yard) -> None:
    """Keyed at its beginning, ended six hours later; of a packaging press as well."""
    yard.set("place", "PP1", kind="press")
    facts = {"good": "10", "scrap": "0", "ended": str(ms(76))}
    lines = [Line("S1", -1, 5_000_000, 0, Evidence.BACKFLUSHED),
             Line("K1", 1, 5_000_000, 10, Evidence.COUNTED)]  # fmt: skip
    new = NewLot("K1", Material.PACKAGING, "mould run", "PK", unit_mg=500_000)
    yard.step("mould", 70, lines, new, product="PK", place="PP1", facts=facts)
    plant = open_plant("P1")
    begin = Begin(press="PP1", since_ms=ms(72), until_ms=ms(80))
    assert starts(plant, begin) == ("K1",)
    with pytest.raises(Misuse, match="nothing was moulded"):
        starts(plant, Begin(press="PP1", since_ms=ms(77), until_ms=ms(80)))


def test_two_started_under_one_name_are_one_with_both_starts(yard: Yard) -> None:
    """As two people at one moment can: neither's lots are lost, and a recall is no rehearsal."""
    for key, lots, rehearsed in (("a", ["B-1"], True), ("b", ["B-2"], False)):
        body = start_body("smell", lots, WHOLE, rehearsed=rehearsed)
        yard.post(Decision(f"recall/{key}", ms(80), "recall", "R-01", body, by="P-13"))
    (one,) = recalls(yard.no)
    assert (one.starts, one.rehearsed, one.next) == (("B-1", "B-2"), False, "scope known")


def test_an_instrument_begins_at_what_it_read(yard: Yard) -> None:
    """A balance that weighed L2 only."""
    yard.weigh("L2", "24h", [3.1], at=70)
    plant = open_plant("P1")
    assert starts(plant, Begin(instrument="BAL-1")) == ("L2",)
    with pytest.raises(Misuse, match="read no lot"):
        starts(plant, Begin(instrument="BAL-2"))


def test_stages_are_recorded_in_order_and_timed(yard: Yard) -> None:
    """Each once, none before its turn; a rehearsal says that it is one."""
    assert yard.no
    plant = open_plant("P1")
    about = ("smell of solvent", ("B-1",), Narrowing(0.005, "density"))
    name = start_recall(plant, WHO, about, "k1", rehearsed=True)
    assert (name, start_recall(plant, WHO, about, "k1", rehearsed=True)) == ("R-01", "R-01")
    with pytest.raises(Misuse, match="next comes 'scope known'"):
        finish_stage(plant, WHO, name, Done("stock held"), "k0")
    for number, stage in enumerate(STAGES[1:], 2):
        for _ in range(2):
            finish_stage(plant, WHO, name, Done(stage, "n", hold=True), f"k{number}")
    assert not holds.placed(plant.no)
    (one,) = recalls(plant.no)

    assert (one.name, one.rehearsed, one.starts, one.next) == ("R-01", True, ("B-1",), "")
    assert one.narrowing == Narrowing(0.005, "density")
    kept = {stage.name: stage.found for stage in one.stages}
    assert kept["scope known"] == "6 lots in scope, 0 block lots left out"
    assert kept["stock held"].startswith("60 pieces and ")
    assert kept["stock held"].endswith("; a rehearsal: nothing was held for it")
    assert kept["receivers ready"] == "to tell: NORTH YARD 20 pieces"
    assert kept["account closed"].startswith("B-1: came in 400.0 kg, ")
    assert [stage.name for stage in one.stages] == list(STAGES)
    assert one.minutes(one.stages[-1]) >= 0
    with pytest.raises(Misuse, match="is closed"):
        stage_body(plant, name, "account closed", "")
    with pytest.raises(Misuse, match="no recall"):
        recall(plant.no, "R-9")
    with pytest.raises(Misuse, match="needs a reason"):
        start_body(" ", ("B-1",), WHOLE, rehearsed=False)


def test_stock_is_said_to_be_held_only_where_all_of_it_is_on_hold(yard: Yard) -> None:
    """Refused with what is free, a part on hold or stopped otherwise; a hold on the start is all.

    By hand: of B-1 there are 40 blocks of L1 made, 20 of them packed and sent in BN-1, and 40 of
    L2; beads of it are in silo S1. BN-1 is empty, and B-1 too.
    """
    plant = open_plant("P1")
    name = start_recall(plant, WHO, ("smell", ("B-1",), WHOLE), "k1", rehearsed=False)
    finish_stage(plant, WHO, name, Done("scope known"), "k2")
    before = record_of(yard)
    with pytest.raises(Refusal, match="3 lots of its scope in the plant are not on hold") as told:
        finish_stage(plant, WHO, name, Done("stock held"), "k3")
    (fault,) = told.value.faults
    assert (fault.code, fault.value) == ("stock_not_held", "R-01")
    assert fault.what.endswith("not on hold: L1, L2, S1")
    assert "hold B-1 --id HOLD" in fault.remedy
    assert record_of(yard) == before

    yard.hold("H1", "L1")
    with pytest.raises(Refusal, match="2 lots of its scope in the plant are not on hold: L2, S1"):
        finish_stage(plant, WHO, name, Done("stock held"), "k3")
    finish_stage(plant, WHO, name, Done("stock held", hold=True), "k3")
    (one,) = recalls(plant.no)
    assert one.stages[-1].note == "H-01"
    assert one.stages[-1].found.endswith("; all of it on hold")
    assert not_held(plant.no, scope(plant.no, ["B-1"])) == ()


def test_what_is_lifted_is_held_no_more(yard: Yard) -> None:
    """One lot cleared of the hold on the start: the stage is refused for it, and for it alone."""
    yard.hold("H1", "B-1")
    yard.lift("H1", "L2")
    plant = open_plant("P1")
    name = start_recall(plant, WHO, ("smell", ("B-1",), WHOLE), "k1", rehearsed=False)
    finish_stage(plant, WHO, name, Done("scope known"), "k2")
    with pytest.raises(Refusal, match="is not on hold: L2"):
        finish_stage(plant, WHO, name, Done("stock held"), "k3")


def record_of(yard: Yard) -> tuple[int, str]:
    """Where the record ends."""
    assert yard.no
    return rebuild.head("P1")


def test_what_is_entered_late_widens_the_scope(yard: Yard) -> None:
    """A lot that was moulded between and entered after the recall was started."""
    plant = open_plant("P1")
    start_recall(plant, WHO, ("smell", ("B-1",), WHOLE), "k1", rehearsed=False)
    before = {one.lot.code for one in scope(plant.no, recall(plant.no, "R-01").starts).lots}
    yard.mould("L9", good=10, at=25)
    after = {one.lot.code for one in scope(plant.no, recall(plant.no, "R-01").starts).lots}
    assert after - before == {"L9"}
    assert scope_json(plant, scope(plant.no, ("B-1",)))["starts"] == ["B-1"]


def test_a_stage_that_is_none_is_refused_at_the_door(yard: Yard) -> None:
    """Whoever posts it."""
    draft = Decision("recall/x", ms(80), "recall", "R-01", {"stage": "done"}, by="P-13")
    with pytest.raises(Refusal, match="must be one of started"):
        yard.post(draft)
