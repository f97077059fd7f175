"""A product's inspection plan in the record: which plan, what each lot came to, and switching."""

from __future__ import annotations

import pytest

from beadwright.errors import Refusal
from beadwright.plant.inspection_plans.standing import Standing, asked_of, standing
from beadwright.plant.inspection_plans.told import lot_told, protects, standing_json, told
from beadwright.plant.opening import open_plant, rebuild_plant
from beadwright.plant.release import assess
from beadwright.statistics.sampling import Severity
from tests.plant.yard import Yard, ms

pytestmark = pytest.mark.django_db


@pytest.fixture
def yard() -> Yard:
    """A product whose lots of 120 are inspected by AQL 1.0, level II, with switching."""
    yard = Yard.open()
    yard.set("inspection", "FB6", aql="1.0", level="II", switching=True, since=1)
    yard.bag("B-1", kg=20_000)
    yard.carton("T-1", pieces=30_000)
    yard.expand("B-1", "S1", kg=15_000)
    return yard


def made(yard: Yard, number: int, bad: int = 0, looked: int = 80) -> str:
    """A lot of 120 blocks, the number of its day, with what was found of so many looked over."""
    lot = f"L{number}"
    yard.mould(lot, "S1", "T-1", good=120, at=20 + number)
    if looked:
        yard.look_over(lot, looked, at=100 + number, ties=bad)
    return lot


def found() -> Standing:
    """Where inspection stands."""
    return standing(open_plant("P1"), "FB6")


def test_the_published_plan_of_a_lot_is_asked(yard: Yard) -> None:
    """[mil-std-105e] Lot of 120, level II: letter F, whose arrow at 1.0 leads to E: 13, Ac 0.

    The tables themselves are checked with the outside checks.
    """
    made(yard, 1, 0)
    (one,) = found().lots

    assert (one.plan.size, one.plan.accept, one.pieces) == (13, 0, 120)
    assert one.accepted is True
    asked = asked_of(open_plant("P1"), "L1")
    assert asked is not None
    assert len(asked.which.pieces) == 13
    assert asked_of(open_plant("P1"), "L1") == asked
    assert lot_told(asked)[0] == "Look at 13 pieces drawn at random. Accept if none is bad."


def test_two_of_five_lots_tighten_and_five_accepted_go_back(yard: Yard) -> None:
    """[iso-2859-1] 9.3.1 and 9.3.2."""
    for number, bad in enumerate([0, 1, 0, 1, 0, 0, 0, 0, 0, 0], 1):
        made(yard, number, bad)
    seen = found().lots

    assert [str(one.severity) for one in seen] == [
        *["normal"] * 4, *["tightened"] * 5, "normal"
    ]  # fmt: skip
    assert seen[3].changed == "tightened: 2 of the last 3 lots were not accepted"
    assert seen[8].changed == "normal: 5 lots in a row were accepted"
    assert seen[4].plan.size > seen[3].plan.size
    assert found().state.severity is Severity.NORMAL
    assert told(found()) == "Inspection is normal, after lot L9: 5 lots in a row were accepted."


def test_five_lots_not_accepted_stop_it_until_the_plan_is_set_anew(yard: Yard) -> None:
    """[iso-2859-1] 9.4: on tightened inspection; taken up again tightened."""
    for number in range(1, 9):
        made(yard, number, 2)
    stopped = found()

    assert stopped.state.severity is Severity.DISCONTINUED
    assert told(stopped).startswith("Stopped, after lot L7: five lots")
    made(yard, 9, 0)
    assert found().state.severity is Severity.DISCONTINUED
    yard.set("inspection", "FB6", aql="1.0", level="II", switching=True, since=29.5)
    assert found().state.severity is Severity.TIGHTENED
    made(yard, 10, 0)
    assert found().lots[-1].severity is Severity.TIGHTENED


def test_what_is_entered_late_is_counted_where_it_belongs(yard: Yard) -> None:
    """A lot that nobody had looked over is, weeks later: inspection had to be tightened."""
    for number, bad in enumerate([1, 0, 0, 0], 1):
        made(yard, number, bad, looked=0 if number == 2 else 80)
    assert [one.accepted for one in found().lots] == [False, None, True, True]
    assert found().state.severity is Severity.NORMAL

    yard.look_over("L2", 80, at=300, ties=1)
    assert [str(one.severity) for one in found().lots] == ["normal", "normal", *["tightened"] * 2]


def test_too_few_looked_over_decide_only_what_is_too_bad(yard: Yard) -> None:
    """Twelve of thirteen without a bad one say nothing yet; one bad one is enough."""
    made(yard, 1, 0, looked=12)
    made(yard, 2, 1, looked=12)
    assert [one.accepted for one in found().lots] == [None, False]


def test_a_plan_of_two_points_has_no_switching(yard: Yard) -> None:
    """The lot decides; refused lots tighten nothing."""
    yard.set("inspection", "FB6", good="1 %", bad="10 %", since=2)
    for number in range(1, 5):
        made(yard, number, 9)
    seen = found()
    assert {one.accepted for one in seen.lots} == {False}
    assert seen.state.severity is Severity.NORMAL
    assert "at most 10 times" in str(standing_json(open_plant("P1"), seen)["plan"])


def test_without_a_plan_nothing_is_asked(yard: Yard) -> None:
    """Neither of a product without one nor of a lot made before it was set."""
    yard.set("product", "FB8", family="form", title="Other", ties=6, bundle=20)
    assert standing(open_plant("P1"), "FB8").plan is None
    yard.mould("N1", good=5, product="NOT-SET-UP", at=30)
    assert asked_of(open_plant("P1"), "N1") is None
    yard.mould("E1", good=5, at=0.5)
    assert asked_of(open_plant("P1"), "E1") is None
    assert "E1" not in {one.lot for one in found().lots}


def test_what_was_looked_over_later_was_not_known_before(yard: Yard) -> None:
    """Asked as of an hour, an assessment says what was known then."""
    made(yard, 1, 0)
    said = []
    for hour in (90, 110):
        (lot,) = assess(yard.no, ["L1"], at_ms=ms(hour)).lots
        said.append([one.sentence for one in lot.reasons if one.code == "plan_inspected"])
    assert ["none looked over" in " ".join(some) for some in said] == [True, False]
    assert "80 looked over, 0 bad" in said[1][0]


@pytest.mark.parametrize(
    "body",
    [
        {}, {"aql": "1.2"}, {"aql": "1.0", "good": "1 %", "bad": "6 %"}, {"good": "1 %"},
        {"good": "6 %", "bad": "1 %"}, {"good": "1 %", "bad": "6 %", "switching": True},
        {"aql": "1.0", "level": "IV"}, {"aql": "1.0", "reduced": True},
    ],
)  # fmt: skip
def test_a_plan_that_cannot_be_is_refused(yard: Yard, body: dict[str, object]) -> None:
    """Neither way, both, points turned round, an AQL or a level of no table."""
    with pytest.raises(Refusal):
        yard.set("inspection", "FB6", body, since=3)


@pytest.fixture
def waiting(yard: Yard) -> Yard:
    """The same plan, for which release waits."""
    yard.set("inspection", "FB6", aql="1.0", level="II", switching=True, for_release=True, since=2)
    return yard


def codes(yard: Yard, lot: str) -> dict[str, str]:
    """Reasons of the plan for a lot by their codes, and their weights."""
    (one,) = assess(yard.no, [lot]).lots
    return {why.code: why.weight for why in one.reasons if why.code.startswith("plan_")}


def test_it_is_a_note_unless_release_waits_for_it(yard: Yard) -> None:
    """What it came to is told; the lot's answer is its limits' matter."""
    made(yard, 1, 3)
    (one,) = assess(yard.no, ["L1"]).lots
    (why,) = [why for why in one.reasons if why.code == "plan_inspected"]
    assert why.weight == "notes"
    assert why.sentence == (
        "by the inspection plan, inspection normal: asks 13 pieces, at most 0 bad (0 of 80);"
        " 80 looked over, 3 bad: not accepted"
    )


def test_a_release_waits_for_it_where_the_plant_says_so(waiting: Yard) -> None:
    """Not looked over: not enough evidence. Not accepted: may not ship. Accepted: a note."""
    for number, (bad, looked) in enumerate([(0, 0), (1, 80), (0, 80)], 1):
        made(waiting, number, bad, looked)
    assert codes(waiting, "L1") == {"plan_not_inspected": "asks"}
    assert codes(waiting, "L2") == {"plan_not_accepted": "stops"}
    assert codes(waiting, "L3") == {"plan_inspected": "notes"}
    assert assess(waiting.no, ["L2"]).lots[0].answer == "may_not_ship"


def test_a_count_taken_back_folds_again_and_a_rebuild_says_the_same(waiting: Yard) -> None:
    """The second bad lot was a slip of the pen: inspection was never tightened."""
    made(waiting, 1, 1)
    waiting.mould("L2", "S1", "T-1", good=120, at=22)
    slip = waiting.look_over("L2", 80, at=102, ties=1)
    made(waiting, 3, 0)
    assert found().lots[2].severity is Severity.TIGHTENED
    waiting.void(slip, at=310)
    after = found()
    assert [one.accepted for one in after.lots] == [False, None, True]
    assert after.state.severity is Severity.NORMAL

    rebuild_plant("P1")
    assert found() == after


def test_the_order_of_entry_does_not_matter() -> None:
    """Lots of one hour, entered one way round and the other: the same lots, the same state."""
    seen = []
    for plant, order in (("P1", (1, 2, 3)), ("P2", (3, 2, 1))):
        yard = Yard.open(plant)
        yard.set("inspection", "FB6", aql="1.0", switching=True, since=1)
        yard.bag("B-1", kg=2000)
        yard.carton("T-1", pieces=3000)
        yard.expand("B-1", "S1", kg=1500)
        for number in order:
            yard.mould(f"L{number}", "S1", "T-1", good=120, at=20)
            yard.look_over(f"L{number}", 80, at=100, ties=number % 2)
        seen.append(standing(open_plant(plant), "FB6"))
    assert seen[0] == seen[1]
    assert seen[0].state.severity is Severity.TIGHTENED


def test_what_goes_out_at_worst_is_told(yard: Yard) -> None:
    """[nist-handbook] AOQL = (1/n - 1/N) y with y = 0.3679 for Ac 0, by Poisson.

    The plan is 13 of 120: 2.52 %. The binomial, which is told, lies below the Poisson's.
    """
    made(yard, 1, 0)
    poisson = (1 / 13 - 1 / 120) * 0.3679
    *_, words = protects(found().lots[0])
    told_share = float(words.partition("most ")[2].partition(" %")[0]) / 100
    assert told_share == pytest.approx(poisson, rel=0.05)  # 1/(2n): 4 %, and two digits
