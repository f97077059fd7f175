"""Traces of small plants, reckoned by hand: who is in whom, how much, and within which bounds.

Bags of 1000 kg, silos that mix, blocks of 1.495 kg of foam and 1.62 kg of ties. What holds of any
plant is asked in ``tests.ledger.traced``; here each figure can be followed with a pencil.
"""

from __future__ import annotations

from typing import get_args

import networkx as nx
import pytest

from beadwright.errors import Misuse
from beadwright.ledger import lots, trace, walk
from beadwright.ledger.draft import Line, Reversal
from beadwright.ledger.traced import RESIDUE_MG, TraceLot
from tests.ledger.genealogy import Touch, touches
from tests.ledger.player import play
from tests.plant.yard import Yard, ms
from tests.strategies import seeded

pytestmark = pytest.mark.django_db

KG = 1_000_000


def listed(yard: Yard, code: str, way: trace.Direction, cut_mg: float = 0) -> dict[str, TraceLot]:
    """A trace, by code."""
    return {one.lot.code: one for one in trace.trace(yard.no, code, way, cut_mg=cut_mg).lots}


def masses(yard: Yard, code: str, way: trace.Direction) -> dict[str, float]:
    """Kilograms of a trace, by code."""
    return {code: one.mg / KG for code, one in listed(yard, code, way).items()}


def bounds(one: TraceLot) -> tuple[float, float, float]:
    """Share of a lot, with its bounds."""
    return (one.least, one.share, one.most)


def key_of(yard: Yard, kind: str, lot: str) -> str:
    """Client key of the step of that kind that draws on a lot."""
    return next(
        key
        for key, step in yard.steps.items()
        if step.kind == kind and any(x.lot == lot and x.sign < 0 for x in step.lines)
    )


@pytest.fixture
def two_bags() -> Yard:
    """300 kg of B-1 and 100 kg of B-2 in silo S1, of which L1 takes 59.8 kg of foam."""
    yard = Yard.open()
    yard.bag("B-1")
    yard.bag("B-2")
    yard.carton("T-1")
    yard.expand("B-1", "S1", 300, at=2)
    yard.expand("B-2", "S1", 100, at=3)
    yard.mould("L1", at=20)
    return yard


def test_a_place_mixes_what_is_in_it(two_bags: Yard) -> None:
    """A draw holds the bags in the ratio of what came in; ties come whole from their carton."""
    found = masses(two_bags, "L1", "back")

    assert found == pytest.approx({"B-1": 44.85, "B-2": 14.95, "S1": 59.8, "T-1": 64.8})


def test_what_a_draw_may_hold_lies_between_nothing_and_all_that_came_in(two_bags: Yard) -> None:
    """No order of discharge is assumed: 59.8 kg may be all of one bag, or none of it."""
    one = listed(two_bags, "L1", "back")["B-2"]

    assert bounds(one) == pytest.approx((0, 14.95 / 124.6, 59.8 / 124.6))


def test_no_more_of_a_lot_can_be_there_than_came_in() -> None:
    """Of a bag that gave 10 kg, no more than 10 kg are in the blocks."""
    yard = Yard.open()
    yard.bag("B-1")
    yard.bag("B-2")
    yard.expand("B-1", "S1", 390, at=2)
    yard.expand("B-2", "S1", 10, at=3)
    yard.mould("L1", carton="", at=20)

    assert bounds(listed(yard, "L1", "back")["B-2"]) == pytest.approx((0, 0.025, 10 / 59.8))


def test_ties_are_there_for_certain(two_bags: Yard) -> None:
    """What goes straight in has one share: least, expected and most are the same."""
    share = 64.8 / 124.6
    for one in (listed(two_bags, "L1", "back")["T-1"], listed(two_bags, "T-1", "forward")["L1"]):
        assert bounds(one) == pytest.approx((share, share, share))


def test_forward_is_the_same_from_the_other_end(two_bags: Yard) -> None:
    """B-1 is in the silo with all of its 300 kg, and in the blocks with what its back says."""
    found = masses(two_bags, "B-1", "forward")

    assert found == pytest.approx({"S1": 300, "L1": 44.85})


def test_what_came_in_after_a_draw_is_not_in_it(two_bags: Yard) -> None:
    """Genealogy goes from step to step: a later filling of the silo is in later blocks only."""
    two_bags.bag("B-3")
    two_bags.expand("B-3", "S1", 100, at=21)
    two_bags.mould("L2", at=40)

    assert "B-3" not in listed(two_bags, "L1", "back")
    assert set(listed(two_bags, "B-3", "forward")) == {"S1", "L2"}
    # 340.2 kg and 100 kg fresh: the old content goes on by what was left of it.
    left = 59.8 * 340.2 / 440.2
    assert masses(two_bags, "L2", "back") == pytest.approx(
        {"B-1": left * 0.75, "B-2": left * 0.25, "B-3": 59.8 - left, "S1": 59.8, "T-1": 64.8}
    )


@pytest.mark.parametrize("fillings", [3, 40])
def test_a_silo_of_many_fillings_joins_only_what_met_in_it(fillings: int) -> None:
    """Each filling is drawn and swept before the next: no bag meets the blocks of another."""
    yard = Yard.open()
    for i in range(fillings):
        yard.bag(f"B-{i}", at=0)
        yard.expand(f"B-{i}", "S1", 59.8, at=10 * i + 1)
        yard.mould(f"L{i}", carton="", at=10 * i + 9)
        yard.sweep("S1", at=10 * i + 10)

    for i in (0, fillings // 2, fillings - 1):
        assert masses(yard, f"L{i}", "back") == pytest.approx({f"B-{i}": 59.8, "S1": 59.8})
        assert masses(yard, f"B-{i}", "forward") == pytest.approx({f"L{i}": 59.8, "S1": 59.8})


def test_only_swept_empty_cuts_the_scope(two_bags: Yard) -> None:
    """After ran empty a residue of 1 kg of the old content stays; after a sweep nothing does."""
    two_bags.bag("B-3")
    two_bags.step("ran_empty", 25, [Line("S1", 0, 0)])
    two_bags.expand("B-3", "S1", 100, at=26)
    two_bags.mould("L2", at=40)
    two_bags.sweep("S1", at=41)
    two_bags.expand("B-3", "S1", 100, at=42)
    two_bags.mould("L3", at=60)

    residue = RESIDUE_MG / KG * 0.75 * 59.8 / 100
    assert masses(two_bags, "L2", "back")["B-1"] == pytest.approx(residue)
    assert masses(two_bags, "B-1", "forward")["L2"] == pytest.approx(residue)
    assert set(masses(two_bags, "L3", "back")) == {"B-3", "S1", "T-1"}
    assert "L3" not in listed(two_bags, "B-1", "forward")


def test_a_late_filling_is_in_what_was_drawn_after_it(two_bags: Yard) -> None:
    """A filling posted today, and dated before the blocks, is in them from now on."""
    two_bags.bag("B-3")
    two_bags.expand("B-3", "S1", 400, at=10)

    assert masses(two_bags, "L1", "back")["B-3"] == pytest.approx(59.8 / 2)
    assert masses(two_bags, "B-1", "forward")["L1"] == pytest.approx(59.8 * 300 / 800)


def test_a_correction_moves_a_draw_from_one_silo_to_another(two_bags: Yard) -> None:
    """The newest version counts: no block of it came from the silo first written."""
    two_bags.bag("B-3")
    two_bags.expand("B-3", "S2", 200, at=4)
    old = two_bags.steps[key_of(two_bags, "mould", "S1")]
    lines = (Line("S2", -1, old.lines[0].mg), *old.lines[1:])
    two_bags.correct(old.key, lines=lines)

    assert masses(two_bags, "L1", "back") == pytest.approx({"B-3": 59.8, "S2": 59.8, "T-1": 64.8})
    assert set(listed(two_bags, "B-1", "forward")) == {"S1"}


def test_a_correction_moves_a_filling_past_a_draw(two_bags: Yard) -> None:
    """A filling that turns out to be later than the blocks is no longer in them."""
    filling = key_of(two_bags, "expand", "B-2")
    two_bags.correct(filling, happened_at=ms(21))

    assert set(listed(two_bags, "L1", "back")) == {"B-1", "S1", "T-1"}
    assert set(listed(two_bags, "B-2", "forward")) == {"S1"}


def test_an_undone_step_joins_nothing(two_bags: Yard) -> None:
    """After a reversal neither end knows the other."""
    mould = key_of(two_bags, "mould", "S1")
    two_bags.post(Reversal("undo", mould, "never happened", ms(30)))

    assert listed(two_bags, "L1", "back") == {}
    assert set(listed(two_bags, "B-1", "forward")) == {"S1"}


def test_a_trace_ends_beyond_the_gate(two_bags: Yard) -> None:
    """10 of 40 blocks in a bundle, 4 of those shipped: 1.12125 kg of B-1 in each block."""
    two_bags.bundle("BU-1", "L1", 10)
    two_bags.ship("SH-1", "BU-1", 4)

    found = listed(two_bags, "B-1", "forward")
    assert found["BU-1"].mg / KG == pytest.approx(11.2125)
    assert found["SH-1"].mg / KG == pytest.approx(4.485)
    assert found["SH-1"].lot.place == "outside:QUARRY LANE"
    assert masses(two_bags, "SH-1", "back")["B-1"] == pytest.approx(4.485)


def test_foam_blown_back_and_forth_comes_to_an_end(two_bags: Yard) -> None:
    """A silo blown into another and back is no endless way, and is not made of itself."""
    two_bags.transfer("S1", "S2", 100, at=22)
    two_bags.transfer("S2", "S1", 100, at=23)
    two_bags.transfer("S1", "S2", 100, at=24)

    assert masses(two_bags, "S1", "forward")["L1"] == pytest.approx(59.8)
    assert "S1" not in listed(two_bags, "S1", "forward")
    assert "S2" not in listed(two_bags, "S2", "back")
    assert masses(two_bags, "B-1", "forward")["S2"] == pytest.approx(150)


def test_what_a_lot_is_made_of_has_the_shares_of_its_trace(two_bags: Yard) -> None:
    """Of bags to the last digit, whatever went round in the silos meanwhile."""
    two_bags.transfer("S1", "S2", 100, at=21)
    two_bags.transfer("S2", "S1", 100, at=22)
    two_bags.mould("L9", at=23)
    found = {one.code: share for one, share in trace.made_of(two_bags.no, "L9")}
    traced = listed(two_bags, "L9", "back", trace.BEAD_MG)
    assert found.keys() == traced.keys()
    assert all(found[bag] == traced[bag].share for bag in ("B-1", "B-2"))


def test_two_lines_of_one_lot_are_one_way(two_bags: Yard) -> None:
    """A run drawn in two weighings from one bag holds the sum, and lists the bag once."""
    lines = [Line("B-1", -1, 10 * KG), Line("B-1", -1, 30 * KG), Line("S2", 1, 40 * KG)]
    two_bags.step("expand", 30, lines)

    assert masses(two_bags, "S2", "back") == pytest.approx({"B-1": 40})
    assert masses(two_bags, "B-1", "forward")["S2"] == pytest.approx(40)


def test_what_is_out_of_the_list_is_said_as_a_sum(two_bags: Yard) -> None:
    """A share below the cut ends the listed trace, and the mass cut off is told."""
    two_bags.bundle("BU-1", "L1", 10)
    two_bags.bundle("BU-2", "L1", 1)

    full = trace.trace(two_bags.no, "B-1", "forward", cut_mg=0)
    short = trace.trace(two_bags.no, "B-1", "forward", cut_mg=5 * KG)

    assert full.cut_mg == 0
    assert {one.lot.code for one in full.lots} == {"S1", "L1", "BU-1", "BU-2"}
    assert {one.lot.code for one in short.lots} == {"S1", "L1", "BU-1"}
    assert short.cut_mg / KG == pytest.approx(1.12125)


def test_the_steps_of_a_trace_are_those_that_join(two_bags: Yard) -> None:
    """Each listed lot is reached at a step that is listed, and the steps stand in order."""
    two_bags.bundle("BU-1", "L1", 10)
    for told in (
        trace.trace(two_bags.no, "B-1", "forward", cut_mg=0),
        trace.trace(two_bags.no, "BU-1", "back", cut_mg=0),
    ):
        keys = [step.key for step in told.steps]
        assert {one.step for one in told.lots} <= set(keys)
        assert [s.at_ms for s in told.steps] == sorted(s.at_ms for s in told.steps)
        assert len(keys) == len(set(keys))


def test_a_step_from_which_nothing_came_is_not_listed() -> None:
    """Foam blown from S1 into S2 after S2 gave to S1 is in no block moulded from S1.

    S1 holds 300 kg of B-1 and 50 kg of B-2 when 70 kg of it go to S2 for good; L1 takes 59.8 kg of
    the other 280 kg. Both silos are in L1, and still that step joins nothing to it.
    """
    yard = Yard.open()
    yard.bag("B-1")
    yard.bag("B-2")
    yard.expand("B-1", "S1", 300, at=2)
    yard.expand("B-2", "S2", 100, at=3)
    yard.transfer("S2", "S1", 50, at=4)
    yard.transfer("S1", "S2", 70, at=6)
    yard.mould("L1", carton="", at=20)

    told = trace.trace(yard.no, "L1", "back", cut_mg=0)

    assert [(s.kind, s.at_ms) for s in told.steps] == [
        ("expand", ms(2)), ("expand", ms(3)), ("fill", ms(4)), ("mould", ms(20)),
    ]  # fmt: skip
    assert {one.lot.code: one.mg / KG for one in told.lots} == pytest.approx(
        {"B-1": 59.8 * 6 / 7, "B-2": 59.8 / 7, "S2": 59.8 / 7, "S1": 59.8}
    )


def test_a_step_that_is_cut_off_is_not_listed_beside_the_sum() -> None:
    """S2 gives S1 1 kg and, before, 50 kg: cut at 1 kg, of the first 0.17 kg are in the sum alone.

    S1 then holds 300 + 50 + 1 kg, of which L1 takes 59.8 kg.
    """
    yard = Yard.open()
    yard.bag("B-1")
    yard.bag("B-2")
    yard.expand("B-1", "S1", 300, at=2)
    yard.expand("B-2", "S2", 100, at=3)
    yard.transfer("S2", "S1", 50, at=4)
    yard.transfer("S2", "S1", 1, at=5)
    yard.mould("L1", carton="", at=20)

    told = trace.trace(yard.no, "L1", "back", cut_mg=KG)

    assert [s.at_ms for s in told.steps] == [ms(2), ms(3), ms(4), ms(20)]
    assert told.cut_mg / KG == pytest.approx(59.8 / 351)
    assert {one.lot.code: one.mg / KG for one in told.lots} == pytest.approx(
        {"B-1": 59.8 * 300 / 351, "B-2": 59.8 * 50 / 351, "S2": 59.8 * 50 / 351, "S1": 59.8}
    )


@pytest.mark.parametrize("pieces", [0, 10])
def test_what_others_bring_into_a_lot_counts_in_its_share(two_bags: Yard, pieces: int) -> None:
    """L1 goes on with foam of B-3 from S2: B-1 is in no part of it for certain, and less of all.

    59.8 kg of S1, of which three quarters are B-1's, and 64.8 kg of ties; then 59.8 kg of S2.
    """
    two_bags.bag("B-3")
    two_bags.expand("B-3", "S2", 100, at=4)
    two_bags.mould("L1", "S2", "", at=21)
    if pieces:
        two_bags.bundle("BU-1", "L1", pieces)

    told = trace.trace(two_bags.no, "B-1", "forward", cut_mg=0)

    one = next(one for one in told.lots if one.lot.code == "L1")
    assert bounds(one) == pytest.approx((0, 44.85 / 184.4, 59.8 / 124.6))
    assert one.share == pytest.approx(listed(two_bags, "L1", "back")["B-1"].share)
    kinds = ["expand", "mould", "bundle"] if pieces else ["expand", "mould"]
    assert [step.kind for step in told.steps] == kinds


def joining(lines: list[Touch], code: str, way: trace.Direction, *, drained: bool) -> set[int]:
    """Steps on a way into a lot, or out of it, with something going in: the graph said again.

    Where ``drained`` is false a way ends where the books stood at nothing, as it does at a sweep.
    What comes back into the lot asked about is not followed a second time.
    """
    graph: nx.DiGraph[tuple[str, object]] = nx.DiGraph()
    open_: dict[str, list[tuple[str, object]]] = {}
    ends: dict[int, set[int]] = {-1: set(), 1: set()}
    for line in lines:
        if not line.sign:
            if line.kind == "swept_empty":
                open_[line.lot] = []
        elif line.mg and not (line.lot == code and line.sign == (-1 if way == "back" else 1)):
            ends[line.sign].add(line.step)
            step: tuple[str, object] = ("step", line.step)
            if line.sign < 0:
                graph.add_edges_from((into, step) for into in open_.get(line.lot, ()))
                graph.add_edge(("from", line.lot), step)
            else:
                into = ("into", (line.step, line.lot))
                graph.add_edges_from([(step, into), (into, ("to", line.lot))])
                open_.setdefault(line.lot, []).append(into)
        if not (drained or line.after):
            open_[line.lot] = []
    end: tuple[str, object] = ("to" if way == "back" else "from", code)
    found = (nx.ancestors if way == "back" else nx.descendants)(graph, end) if end in graph else ()
    return {int(str(node[1])) for node in found if node[0] == "step"} & ends[-1] & ends[1]


@pytest.mark.usefixtures("small_windows")
@pytest.mark.parametrize("seed", range(4))
def test_the_steps_listed_are_those_of_the_graph(seed: int) -> None:
    """Of any plant, a trace lists the steps that lie on a way, and no others.

    A step from which nothing is expected, because the books stood at nothing, may be listed.
    """
    play("G", seeded(seed), 60)
    no = lots.plant_number("G")
    lines = touches(no)
    for code in {line.lot for line in lines}:
        for way in get_args(trace.Direction):
            listed = {step.no for step in trace.trace(no, code, way, cut_mg=0).steps}
            expected, possible = (
                joining(lines, code, way, drained=drained) for drained in (False, True)
            )
            assert expected <= listed <= possible, (code, way)


@pytest.mark.parametrize("window", [4, 16, 4096])
def test_the_window_of_a_walk_changes_nothing(window: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """A busy silo is read in windows: whichever their size, every draw on a bag is found."""
    monkeypatch.setattr(walk, "_WINDOW", window)
    yard = Yard.open()
    yard.bag("B-1")
    yard.expand("B-1", "S1", 1000, at=1)
    for i in range(30):
        yard.bag(f"C-{i}", kg=1)
        yard.expand(f"C-{i}", "S1", 1, at=2 + i)
        yard.mould(f"L{i}", carton="", good=1, at=2.5 + i)

    assert set(listed(yard, "B-1", "forward")) == {"S1", *(f"L{i}" for i in range(30))}
    assert set(listed(yard, "C-20", "forward")) == {"S1", *(f"L{i}" for i in range(20, 30))}
    assert set(listed(yard, "L9", "back")) == {"B-1", "S1", *(f"C-{i}" for i in range(10))}


def test_a_lot_that_is_not_there_is_said_to_be_missing(two_bags: Yard) -> None:
    """A mistyped code is named in the refusal."""
    with pytest.raises(Misuse, match="NO-SUCH"):
        trace.trace(two_bags.no, "NO-SUCH", "back")
