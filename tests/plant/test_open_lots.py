"""Answers that are kept are those that would be worked out anew, whatever was entered meanwhile."""

from collections.abc import Iterator

import pytest

from beadwright.ledger.news import Tip, forget, reached, since
from beadwright.plant import open_lots
from beadwright.plant.assessment import LotAssessment
from tests.plant.asking import good_yard
from tests.plant.keeping import Asked, fresh
from tests.plant.planted_keeping import PLANTED, Scene
from tests.plant.yard import Yard, ms
from tests.strategies import seeded

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def nothing_kept() -> Iterator[None]:
    """Each begins with nothing kept, and leaves nothing that a fault had a part in."""
    forget()
    yield
    forget()


def kept(yard: Yard, hour: float) -> dict[str, LotAssessment]:
    """What is answered for the lots of a yard."""
    return {one.lot: one for one in open_lots.answered(yard.no, ms(hour))}


def differing(scene: Scene) -> list[str]:
    """Lots of which something else is kept than would be worked out anew, at any time asked."""
    found: list[str] = []
    for yard, hour in scene():
        answers, anew = kept(yard, hour), fresh(yard.no, ms(hour))
        found += [code for code in anew if answers.get(code) != anew[code]]
    return found


@pytest.mark.parametrize("seed", [2, 12, 31, 35, 39, 49])
def test_kept_answers_are_those_worked_out_anew(seed: int) -> None:
    """After every few entries of a generated plant each answer is the same, word for word."""
    asked = Asked(seeded(seed))
    for _ in range(60):
        asked.say()
        if not asked.pick.chance(3):
            asked.compare()
    asked.compare()

    assert asked.stood > 20, "hardly any answer was kept: nothing was tried"
    assert asked.renewed > 3, "hardly any answer was renewed for itself: nothing was tried"


@pytest.mark.parametrize("name", PLANTED)
def test_what_a_scene_tells_changes_an_answer(name: str) -> None:
    """Of a lot that was asked about before; else the scene would show nothing."""
    answers = [kept(yard, hour) for yard, hour in PLANTED[name][0]()]

    assert answers[0] != {code: answers[-1].get(code) for code in answers[0]}, "nothing changed"


@pytest.mark.parametrize("name", PLANTED)
def test_no_scene_leaves_an_old_answer(name: str) -> None:
    """Whatever a scene tells, what is kept is what would be worked out anew."""
    assert differing(PLANTED[name][0]) == []


@pytest.mark.parametrize("name", PLANTED)
def test_a_planted_fault_is_noticed(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Each thing that is looked at is looked at for something: without it an old answer stays."""
    scene, plant = PLANTED[name]
    plant(monkeypatch)
    assert differing(scene)


def test_a_receipt_leaves_every_answer_as_it_was() -> None:
    """It touches no lot that pieces are of: the very answers are given again."""
    yard = good_yard("L1", "L2")
    before = kept(yard, 62)
    yard.bag("B-9", at=61)
    after = kept(yard, 62)

    assert len(after) == 2
    assert all(after[code] is before[code] for code in after)


def test_a_reading_renews_the_answer_of_its_lot_alone() -> None:
    """The other lot's is the very same."""
    yard = good_yard("L1", "L2")
    before = kept(yard, 62)
    yard.weigh("L2", "24h", [2.5, 2.5, 2.5], at=61)
    after = kept(yard, 62)

    assert after["L1"] is before["L1"]
    assert before["L2"].answer == "may_ship"
    assert after["L2"].answer == "may_not_ship"


def test_of_an_entry_that_was_taken_back_nothing_is_presumed() -> None:
    """The head that answers were kept at is no entry of the record then."""
    yard = good_yard()
    tip = reached(yard.no)
    assert tip is not None
    yard.bag("B-9", at=61)
    now = reached(yard.no)
    assert now is not None

    assert since(tip, now) is not None
    assert since(Tip(tip.plant_no, tip.seq, "0" * 64), now) is None
    assert since(now, tip) is None
