"""The floor says what is where, what waits for whom, and what is held, as the record has it."""

import pytest

from beadwright.ledger.draft import Evidence, Line, Material, NewLot
from beadwright.plant.door import now_ms
from beadwright.plant.floor import Floor, Wait, floor
from beadwright.plant.release_queue import queue
from tests.plant.yard import Yard, ms

pytestmark = pytest.mark.django_db

KG = 1_000_000


def running() -> Yard:
    """A yard with an expander, a press behind a hopper, a dock, and one block lot made."""
    yard = Yard.open(silos=("S1",))
    yard.set("place", "S1", kind="silo", content=True, accepts=["F1"], feeds=["FP1"])
    yard.set("place", "E1", kind="expander", feeds=["S1"])
    yard.set("place", "DOCK", kind="dock")
    yard.bag("B-1", 1000)
    yard.bag("B-2", 500)
    yard.carton("T-1")
    lines = [Line("B-1", -1, 990 * KG), Line("S1", 1, 990 * KG)]
    yard.step("expand", 2, lines, place="E1", run="X-1")
    yard.mould("L1", good=40, at=20)
    return yard


def at(yard: Yard, hour: float) -> Floor:
    """Ask for the floor at an hour."""
    return floor(yard.no, ms(hour))


def test_bags_are_summed_by_grade_and_rests_are_told_apart() -> None:
    """A bag of which the books have one part in a hundred left is used up."""
    (beads,) = at(running(), 21).beads

    assert (beads.name, beads.lots, beads.mg) == ("F1", 1, 500 * KG)
    assert (beads.rests, beads.rest_mg) == (1, 10 * KG)


def test_beads_taken_into_a_run_are_no_bag_any_more() -> None:
    """They stand among what is in process, and are not counted twice."""
    yard = running()
    new = NewLot("X-2", Material.BEAD, "work in process", grades=("F1",))
    yard.step("draw", 22, [Line("B-2", -1, 200 * KG), Line("X-2", 1, 200 * KG)], new)
    found = at(yard, 23)

    assert [(one.lots, one.mg) for one in found.beads] == [(1, 300 * KG)]
    assert [(one.what, one.mg) for one in found.in_process] == [("work in process", 200 * KG)]


def test_a_machine_is_told_with_what_it_made_last_and_whether_that_is_now() -> None:
    """One hour after its last entry a press no longer counts as running."""
    yard = running()
    soon, later = at(yard, 20.5), at(yard, 21.5)

    (expander,), (press,) = soon.expanders, soon.presses
    assert expander.last is not None
    assert (expander.last.run, expander.last.into, expander.now) == ("X-1", "S1", False)
    assert press.last is not None
    assert (press.last.product, press.last.into, press.last.pieces) == ("FB6", "L1", 40)
    assert press.now
    assert press.next is not None
    assert press.next.place == "S1"
    assert not later.presses[0].now
    assert later.elsewhere is None


def test_an_expander_with_an_open_run_is_running() -> None:
    """Whatever it filled last; once the run is closed, it is as its last entry says."""
    yard = running()
    new = NewLot("X-2", Material.BEAD, "work in process")
    facts = {"silo": "S1", "grade": "F1"}
    yard.step("run_open", 30, [Line("X-2", 0, 0)], new, run="X-2", place="E1", facts=facts)
    (open_,) = at(yard, 35).expanders
    yard.step("run_close", 36, [Line("X-2", 0, 0)], run="X-2", place="E1")
    (closed,) = at(yard, 40).expanders

    assert open_.run is not None
    assert (open_.run.code, open_.now) == ("X-2", True)
    assert closed.run is None
    assert not closed.now
    assert closed.last is not None
    assert closed.last.run == "X-1"


def test_a_press_with_an_open_run_is_told_by_that_run() -> None:
    """By its product and lot before anything is counted; one forgotten for 16 hours no more."""
    yard = running()
    facts = {"product": "FB8", "lot": "L9", "mould": "M-8"}
    yard.step("run_open", 30, [], run="R-9", place="FP1", product="FB8", facts=facts)
    (soon,), (late,) = at(yard, 40).presses, at(yard, 47).presses

    assert soon.run is not None
    assert (soon.run.product, soon.run.facts["lot"], soon.now) == ("FB8", "L9", True)
    assert late.run is None
    assert not late.now


def test_a_lot_waits_by_the_rule_that_the_door_goes_by() -> None:
    """A rule that is in force today counts, however far back the plant is looked at from."""
    yard = running()
    yard.limit("D", "density", "min", "20 kg/m3")
    yard.weigh("L1", "24h", [3.14, 3.15, 3.13], at=60)
    yard.set("release", "rule", persons=1, since=62)
    found = at(yard, 61)

    assert [(one.stand, one.who) for one in found.lots] == [("to_release", "releaser")]
    assert [one.lot for one in queue(yard.no, now_ms()).ready] == ["L1"]


def test_an_expansion_on_no_said_machine_is_told_beside_them() -> None:
    """The record does not say on which expander it ran, so none is made to have run it."""
    yard = running()
    yard.expand("B-2", "S1", 100, at=22)

    found = at(yard, 23)

    assert found.elsewhere is not None
    assert found.elsewhere.into == "S1"
    assert found.expanders[0].last is not None
    assert found.expanders[0].last.run == "X-1"


def test_a_run_older_than_two_weeks_is_not_looked_for() -> None:
    """The machine says nothing then."""
    found = at(running(), 24 * 20)

    assert found.presses[0].last is None
    assert found.presses[0].next is None


def test_lots_wait_for_the_laboratory_until_they_are_measured() -> None:
    """Then they may ship; with a rule of release, once released."""
    yard = running()
    yard.limit("D", "density", "min", "20 kg/m3")
    pending = at(yard, 50)
    yard.weigh("L1", "24h", [3.14, 3.15, 3.13], at=60)
    measured = at(yard, 61)
    yard.set("release", "rule", persons=1, since=62)
    ruled = at(yard, 63)

    assert [(one.stand, one.who, one.lots, one.pieces) for one in pending.lots] == [
        ("pending", "laboratory", ("L1",), 40)
    ]
    assert pending.waits == (Wait("laboratory", "1 block lot to measure or test", ("L1",)),)
    assert [(one.stand, one.who) for one in measured.lots] == [("may_ship", "")]
    assert measured.waits == ()
    assert [(one.stand, one.who) for one in ruled.lots] == [("to_release", "releaser")]
    assert ruled.waits[0].what == "1 block lot that may ship, once released"


def test_a_hold_is_told_with_what_it_reaches_and_waits_for_the_engineer() -> None:
    """A lot made of held beads is held, and the press is told to draw of nothing."""
    yard = running()
    yard.hold("H-7", "S1", at=15, reason="smell of fuel")

    found = at(yard, 21)

    (hold,) = found.holds
    assert (hold.hold, hold.reason, hold.reach.places) == ("H-7", "smell of fuel", ("S1",))
    assert hold.reach.pieces == 40
    assert [(one.stand, one.who) for one in found.lots] == [("held", "engineer")]
    assert found.waits[0] == Wait("engineer", "1 hold to look into or lift", holds=("H-7",))
    assert found.presses[0].next is not None
    assert found.presses[0].next.place == ""


def test_an_open_nonconformity_waits_for_the_engineer_until_it_is_conceded() -> None:
    """Beads were moulded two hours after they were filled; F1 is signed for eight."""
    yard = running()
    yard.expand("B-2", "S1", 100, at=22)
    yard.mould("L2", good=10, at=24)

    found = at(yard, 25)

    assert found.flaws == ("too_fresh:S1",)
    assert "1 nonconformity open" in {one.what for one in found.waits}


def test_bundles_dock_and_shipments_of_the_day_are_told() -> None:
    """What left yesterday is not of today."""
    yard = running()
    yard.bundle("BN-1", "L1", 20, at=50)
    yard.bundle("BN-2", "L1", 20, at=50)
    bundle = Line("BN-1", 0, 0, 0, Evidence.COUNTED, place="DOCK")
    yard.step("move", 51, [bundle])
    yard.ship("SH-1", "BN-2", 20, at=52)
    today, tomorrow = at(yard, 53), at(yard, 75)

    (bundles,) = today.bundles
    assert (bundles.name, bundles.lots, bundles.pieces) == ("FB6", 1, 20)
    (dock,) = today.dock
    assert (dock.name, dock.lots) == ("FB6", 1)
    (shipment,) = today.shipped
    assert (shipment.shipment, shipment.receiver, shipment.pieces) == ("SH-1", "QUARRY LANE", 20)
    assert tomorrow.shipped == ()


def test_scrap_is_summed_by_its_sort() -> None:
    """Whatever grade it is of."""
    yard = running()
    new = NewLot("BIN-1", Material.SCRAP, "bin")
    lines = [Line("S1", -1, 5 * KG), Line("BIN-1", 1, 5 * KG)]
    yard.step("scrap", 30, lines, new)

    (bin_,) = at(yard, 31).reclaim

    assert (bin_.name, bin_.lots, bin_.mg) == ("bin", 1, 5 * KG)


def test_beads_too_old_wait_for_somebody_to_decide() -> None:
    """96 h after the first bead came in."""
    found = at(running(), 99)

    assert found.waits[-1] == Wait("engineer", "beads too old in S1", places=("S1",))
