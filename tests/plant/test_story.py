"""A lot's story: the answer first, then everything in the order in which it happened."""

import pytest

from beadwright.errors import Misuse
from beadwright.ledger import lots, people
from beadwright.ledger.draft import Decision, Reading
from beadwright.ledger.people import Person
from beadwright.plant import story as stories
from beadwright.plant.followed import followed
from beadwright.plant.opening import open_plant
from beadwright.plant.story import Story, story
from tests.plant.asking import the_lot
from tests.plant.yard import Yard, ms

pytestmark = pytest.mark.django_db


@pytest.fixture
def yard() -> Yard:
    """A block lot weighed wet and a day old, of which ten blocks are shipped."""
    yard = Yard.open()
    yard.limit("DENSITY", "density", "min", "21.6 kg/m3")
    yard.block_lot("L1")
    yard.weigh("L1", "press", [3.2, 3.21], at=20.3)
    yard.weigh("L1", "24h", [3.13, 3.135, 3.14], at=46)
    yard.bundle("BU-1", "L1", 20)
    yard.ship("SH-1", "BU-1", 10)
    return yard


def told(yard: Yard, code: str = "L1", before: int | None = None) -> Story:
    """The story of a lot."""
    del yard
    return story(open_plant(), code, before=before)


def test_the_answer_comes_with_the_one_thing_that_stands_before_it(yard: Yard) -> None:
    """Worst first; where it may ship, that its limits are met."""
    may = told(yard).verdict
    yard.hold("SMELL", "B-1")
    may_not = told(yard).verdict

    assert may is not None
    assert may_not is not None
    assert (may.words, may.first.code) == ("may ship", "limits_met")
    assert (may_not.words, may_not.first.code) == ("may not ship", "on_hold")
    assert may_not.first not in may_not.others
    assert [one.code for one in told(yard).upstream] == ["on_hold"]


def test_it_says_of_what_with_shares_and_bounds(yard: Yard) -> None:
    """Of the foam's silo and bag, and of the ties' carton; the nearest first."""
    found = {one.lot.code: one for one in told(yard).sources.named}

    assert set(found) == {"S1", "B-1", "T-1"}
    assert sum(found[code].share for code in ("S1", "T-1")) == pytest.approx(1)


def test_its_bounds_are_those_of_its_trace(yard: Yard) -> None:
    """As wide as weighings may be off, on both pages."""
    yard.set("tolerance", "mould", u="1 %", since=1)
    plant = open_plant()
    lot = lots.get(plant.no, "L1")
    assert lot is not None

    found = told(yard).sources.named

    traced = {one.lot.code: one for one in followed(plant, lot, "back").trace.lots}
    assert all(one == traced[one.lot.code] for one in found)
    assert any(one.most > one.share for one in found)


def test_it_says_what_was_measured_state_by_state(yard: Yard) -> None:
    """Blocks a day old are judged; wet ones screen and are never pooled with them."""
    density = next(one for one in told(yard).measured if one.characteristic == "density")

    assert [(one.state, len(one.values), one.judged) for one in density.pieces] == [
        ("24h", 3, True), ("press", 2, False),
    ]  # fmt: skip
    lot = the_lot(yard)
    assert [one.limit.name for one in density.limits] == [one.limit.name for one in lot.limits]
    assert min(v.si for v in density.pieces[0].values) == pytest.approx(lot.limits[0].value_si)


def test_a_voided_reading_is_told_and_not_drawn(yard: Yard) -> None:
    """It stays in the story, struck out, and is in no picture."""
    yard.void(yard.weigh("L1", "24h", [2.0], at=47))

    found = told(yard)

    density = next(one for one in found.measured if one.characteristic == "density")
    assert len(density.pieces[0].values) == 3
    assert [one.view.stands for one in found.events if one.at_ms == ms(47)] == [False]


def test_events_stand_in_the_order_in_which_they_happened(yard: Yard) -> None:
    """A late entry takes its place; each says what it did to the lot, and who did it."""
    people.match("P1", [Person("EI", "P-13", "Edda Ivesworth")])
    yard.read([Reading("length", "1.219", "m", lot="L1")], at=21)
    yard.hold("SMELL", "L1", at=75)

    found = told(yard).events

    assert [one.at_ms for one in found] == sorted(one.at_ms for one in found)
    assert [one.group for one in found] == [
        "made", "measured", "measured", "measured", "went", "held",
    ]  # fmt: skip
    assert found[-1].by == "P-13 (Edda Ivesworth)"
    assert [one.seq for one in found if one.may_be_corrected] == [found[0].seq, found[4].seq]


def test_a_correction_stands_beside_what_it_restates(yard: Yard) -> None:
    """Both versions are told, and of the later one what it changed."""
    key = next(key for key, step in yard.steps.items() if step.kind == "mould")
    yard.correct(key, product="FB6", place="FP2")

    found = {one.group: one for one in told(yard).events if one.group in {"made", "corrected"}}

    assert not found["made"].view.stands
    assert not found["made"].may_be_corrected
    assert [one.field for one in found["corrected"].view.changes] == ["place"]
    assert found["corrected"].may_be_corrected


def test_it_says_where_its_pieces_are_and_which_papers_there_are(yard: Yard) -> None:
    """Loose, in a bundle, with a receiver; and the certificate."""
    paper = {"lot": "L1", "content": "{}", "sha256": "a" * 64, "set_by": "T 1"}
    yard.release("L1", the_lot(yard).evidence)
    yard.post(Decision("c", ms(81), "certificate", "C-1", paper, by="P-13"))

    found = told(yard)

    assert found.where is not None
    assert [(one.lot, one.pieces) for one in found.where.in_stock] == [("L1", "20"), ("BU-1", "10")]
    assert [(one.receiver, one.pieces) for one in found.where.shipped] == [("QUARRY LANE", "10")]
    assert [one.number for one in found.papers] == ["C-1"]


def test_a_bundle_has_the_answer_of_its_lots_and_a_bag_has_none(yard: Yard) -> None:
    """Beads are not assessed; that they are held is told all the same."""
    yard.hold("SMELL", "B-1")
    bundle, bag = told(yard, "BU-1"), told(yard, "B-1")

    assert bundle.verdict is not None
    assert bundle.verdict.asked.lots == ("L1",)
    assert bundle.verdict.words == "may not ship"
    assert (bag.verdict, bag.measured, bag.where) == (None, (), None)
    assert [one.code for one in bag.upstream] == ["on_hold"]


def test_a_silo_shows_the_cups_of_what_is_in_it(yard: Yard) -> None:
    """By the place they were taken at; those of an earlier filling are no longer shown."""
    yard.cup("S1", "hot", "190", at=3)
    yard.sweep("S1", at=30)
    yard.expand("B-1", "S1", 100, at=31)
    yard.cup("S1", "hot", "200", at=32)
    yard.cup("S1", "hopper", "180", at=33)

    (density,) = told(yard, "S1").measured

    assert [one.state for one in density.pieces] == ["hot", "hopper"]
    assert [v.si for one in density.pieces for v in one.values] == pytest.approx([20.0, 18.0])


def test_a_long_story_is_told_in_parts(yard: Yard, monkeypatch: pytest.MonkeyPatch) -> None:
    """The newest first to be read; what comes before is counted, and is asked for by an entry."""
    whole = [one.seq for one in told(yard).events]
    monkeypatch.setattr(stories, "_MOST", 2)

    late = told(yard)
    early = told(yard, before=late.events[0].seq)

    assert [one.seq for one in late.events] == whole[-2:]
    assert late.earlier == len(whole) - 2
    assert [one.seq for one in early.events] == whole[-4:-2]


def test_a_lot_that_is_not_there_is_misuse(yard: Yard) -> None:
    """Its code is said again."""
    with pytest.raises(Misuse, match="NOPE"):
        told(yard, "NOPE")
