"""A pre-expander as it stands: targets, leave or change, the silo, the bag, the next run."""

import pytest

from beadwright.ledger.draft import Line, Material, NewLot, Reading, StepDraft
from beadwright.plant.expanding import Expanding, expanding
from tests.plant.yard import Yard, ms

pytestmark = pytest.mark.django_db

KG = 1_000_000
TARGET = {"hot": "23.4 kg/m3", "dried": "22.2 kg/m3", "band": "0.6 kg/m3"}


@pytest.fixture
def yard() -> Yard:
    """Two expanders, two silos of form beads, a bag of each grade; E1 has a cup of 10 L."""
    yard = Yard.open()
    for silo in ("S1", "S2"):
        yard.set("place", silo, kind="silo", content=True, accepts=["F1"], capacity="450 kg")
    yard.set("place", "E1", kind="expander", feeds=["S1", "S2"], cup_volume="10 L")
    yard.set("place", "E2", kind="expander", feeds=["S1", "S2"])
    yard.set("cup", "FB6", TARGET)
    yard.bag("B-1", 800)
    yard.bag("B-2", 800, at=1)
    yard.bag("PK-1", 800, grade="PK1")
    return yard


def opened(yard: Yard, run: str = "X-1", at: float = 10, **facts: str) -> None:
    """Open a run at E1 into S1, with all of the beads of bag B-1 in it."""
    new = NewLot(run, Material.BEAD, "work in process")
    said = {"silo": "S1", "grade": "F1", **facts}
    yard.step("run_open", at, [Line(run, 0, 0)], new, run=run, place="E1", facts=said)
    lines = [Line("B-1", -1, 800 * KG), Line(run, 1, 800 * KG)]
    yard.step("draw", at + 0.1, lines, run=run, place="E1", facts={"bag": "B-1"})


def cups(yard: Yard, where: str, *grams: str, run: str = "X-1", at: float = 11) -> None:
    """Weigh cups of 10 L one after the other, six minutes apart."""
    facts = {"place": where, "cup_volume": "10 L", "run": run}
    for n, mass in enumerate(grams):
        yard.read([Reading("cup_weight", mass, "g", lot="S1", facts=facts)], at + n / 10)


def stands(yard: Yard, at: float = 15, place: str = "E1") -> Expanding:
    """How a machine stands at an hour."""
    return expanding(yard.no, place, ms(at))


@pytest.mark.parametrize(
    ("grams", "word", "side", "count"),
    [
        (("234.0",), "leave", "inside", 1),
        (("240.0",), "leave", "inside", 1),
        (("228.0",), "leave", "inside", 1),
        (("234", "235", "233"), "leave", "inside", 3),
        (("234", "240.1"), "again", "above", 1),
        (("234", "227.9"), "again", "below", 1),
        (("241", "241"), "change", "above", 2),
        (("234", "227", "226", "225"), "change", "below", 3),
        (("241", "227"), "again", "below", 1),
        (("241", "241", "234"), "leave", "inside", 1),
    ],
)
def test_leave_or_change_by_a_plain_dead_band(
    yard: Yard, grams: tuple[str, ...], word: str, side: str, count: int
) -> None:
    """23.4 ± 0.6, edges within: one cup outside is not enough, two in a row on one side are."""
    opened(yard)
    cups(yard, "hot", *grams)
    advice = stands(yard).advice

    assert advice.last is not None
    assert (advice.word, advice.last.side, advice.count) == (word, side, count)


def test_places_of_cups_are_never_pooled(yard: Yard) -> None:
    """One hot cup above and one dried cup above are no two in a row; each has its own target."""
    opened(yard)
    cups(yard, "hot", "241")
    cups(yard, "dried", "229", at=12)
    found = stands(yard)

    assert [(one.where, one.side) for one in found.cups] == [("hot", "above"), ("dried", "above")]
    assert found.advice.word == "again"
    cups(yard, "dried", "234", at=13)
    assert stands(yard).advice.word == "change"


def test_a_cup_at_a_hopper_changes_nothing(yard: Yard) -> None:
    """It is another machine's, hours later."""
    yard.set("cup", "FB6", {**TARGET, "hopper": "22.7 kg/m3"}, since=1)
    opened(yard)
    cups(yard, "hopper", "250", "250", "250")

    assert stands(yard).advice.word == "no_cup"


def test_another_runs_cups_say_nothing_of_this_one(yard: Yard) -> None:
    """They are drawn beside it while their target is the same; the advice rests on this run's."""
    opened(yard)
    cups(yard, "hot", "241", "241")
    yard.step("expand", 12, [Line("X-1", -1, 800 * KG), Line("S1", 1, 800 * KG)], run="X-1",
              place="E1", facts={"silo": "S1"})  # fmt: skip
    yard.step("run_close", 12.1, [Line("X-1", 0, 0)], run="X-1", place="E1")
    assert stands(yard).run is None
    assert stands(yard).advice.word == "no_cup"
    new = NewLot("X-2", Material.BEAD, "work in process")
    facts = {"silo": "S1", "grade": "F1"}
    yard.step("run_open", 13, [Line("X-2", 0, 0)], new, run="X-2", place="E1", facts=facts)
    cups(yard, "hot", "241", run="X-2", at=14)
    found = stands(yard)

    assert [one.run for one in found.cups] == ["X-1", "X-1", "X-2"]
    assert (found.advice.word, found.advice.count) == ("again", 1)


def test_a_target_is_dated(yard: Yard) -> None:
    """From its day on; what is judged is judged by what is in force when it is looked at."""
    yard.set("cup", "FB6", {**TARGET, "hot": "20 kg/m3"}, since=14)
    opened(yard)
    cups(yard, "hot", "234", "234")

    assert stands(yard, 13).advice.word == "leave"
    assert stands(yard, 15).advice.word == "change"


def test_without_a_target_nothing_is_advised(yard: Yard) -> None:
    """Of a place of cups none is set for."""
    yard.set("cup", "FB6", {"dried": "22.2 kg/m3", "band": "0.6 kg/m3"}, since=1)
    opened(yard)
    cups(yard, "hot", "300", "300")
    found = stands(yard)

    assert found.advice.word == "no_target"
    assert [one.side for one in found.cups] == ["", ""]


def test_a_run_that_names_no_product_has_what_its_products_share(yard: Yard) -> None:
    """Two products with one target: that, and the narrower band; with two targets: none."""
    yard.set("product", "FB8", family="form")
    yard.set("approved", "FB8", revision="R1", grades=["F1"])
    yard.set("cup", "FB8", {**TARGET, "band": "0.4 kg/m3"})
    opened(yard)
    shared = stands(yard).aims
    assert shared.by_place["hot"].band_kg_m3 == pytest.approx(0.4)
    assert shared.by_place["hot"].products == ("FB6", "FB8")

    yard.set("cup", "FB8", {"hot": "17.5 kg/m3", "band": "0.4 kg/m3"}, since=1)
    unclear = stands(yard).aims
    assert unclear.by_place == {}
    assert unclear.unclear == ("FB6", "FB8")


def test_a_run_that_names_its_product_has_its_target(yard: Yard) -> None:
    """Whatever its beads would do for."""
    yard.set("product", "FB8", family="form")
    yard.set("cup", "FB8", {"hot": "17.5 kg/m3", "band": "0.4 kg/m3"})
    opened(yard, product="FB8")

    assert stands(yard).aims.by_place["hot"].density_kg_m3 == pytest.approx(17.5)
    assert stands(yard).product == "FB8"


def test_the_silo_and_what_is_on_its_way(yard: Yard) -> None:
    """By the books nothing is in it until it is told; the run holds the bag's beads."""
    opened(yard)
    found = stands(yard)

    assert found.run is not None
    assert found.filling is not None
    assert (found.filling.silo.place, found.filling.silo.mg) == ("S1", 0)
    assert (found.filling.coming_mg, found.filling.capacity_mg) == (800 * KG, 450 * KG)
    assert found.bag is not None
    assert (found.bag.code, found.bag.grades, found.bag.opened_ms) == ("B-1", ("F1",), ms(10.1))
    assert found.bag.received_ms == ms(0)
    assert found.next is None
    assert found.next_bag == "B-2"
    assert stands(yard, place="E2").run is None


def test_a_bag_that_was_taken_off_is_in_no_more(yard: Yard) -> None:
    """Its rest was weighed back."""
    opened(yard)
    lines = (Line("X-1", -1, 10 * KG), Line("B-1", 1, 10 * KG))
    draft = StepDraft(
        "bag_off/1", "draw", ms(12), lines, run="X-1", place="E1", facts={"bag": "B-1"}
    )
    yard.post(draft)

    assert stands(yard).bag is None


def test_the_next_run_is_as_the_last_one_into_a_silo_that_is_free(yard: Yard) -> None:
    """Same product and grade, the bag to take next; why a silo is free, or that none is."""
    opened(yard, product="FB6")
    yard.step("expand", 12, [Line("X-1", -1, 800 * KG), Line("S1", 1, 800 * KG)], run="X-1",
              place="E1", facts={"silo": "S1"})  # fmt: skip
    yard.step("run_close", 12.1, [Line("X-1", 0, 0)], run="X-1", place="E1")
    found = stands(yard).next

    assert found is not None
    assert (found.product, found.grade, found.silo, found.bag) == ("FB6", "F1", "S2", "B-2")
    assert found.why == "it is free: empty"

    yard.expand("B-2", "S2", 100, at=13)
    none = stands(yard).next
    assert none is not None
    assert (none.silo, none.why) == ("", "no silo it feeds is free for F1")


def test_a_held_bag_or_silo_is_not_proposed(yard: Yard) -> None:
    """The next one is; of the machine that never ran nothing else is known."""
    yard.expand("B-1", "S1", 10, at=2)
    yard.sweep("S1", at=3)
    free = stands(yard, 4, "E2").next
    yard.hold("H-1", "B-1", at=4)
    yard.hold("H-2", "S1", at=4)
    found = stands(yard, 5, "E2").next

    assert free is not None
    assert (free.silo, free.bag) == ("S1", "B-1")
    assert found is not None
    assert (found.silo, found.bag) == ("S2", "B-2")
