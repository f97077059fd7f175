"""What is said again: corrections of what a lot is, of new lots, within one batch, undone."""

from __future__ import annotations

from dataclasses import replace

import pytest

from beadwright.errors import Refusal
from beadwright.ledger import holds, lots
from beadwright.ledger.draft import (
    Correction,
    Draft,
    Label,
    Lift,
    Line,
    Loss,
    Material,
    NewLot,
    Reversal,
    StepDraft,
)
from beadwright.plant.access import Role, Who
from tests.ledger.properties import rebuilt_equal
from tests.plant.yard import Yard, ms

pytestmark = pytest.mark.django_db

KG = 1_000_000


def bag(code: str, *grades: str) -> NewLot:
    """A bag of beads that nobody has seen."""
    return NewLot(code, Material.BEAD, "bag", grades=grades)


def receipt(key: str, new: NewLot, kg: int = 100) -> StepDraft:
    """A bag comes in."""
    return StepDraft(key, "receipt", ms(1), (Line(new.code, 1, kg * KG),), new_lots=(new,))


def expand(key: str, source: str, kg: int = 10, at: float = 2) -> StepDraft:
    """Beads go from a bag into silo S1."""
    lines = (Line(source, -1, kg * KG), Line("S1", 1, kg * KG))
    return StepDraft(key, "expand", ms(at), lines)


def correct(key: str, restated: StepDraft) -> Correction:
    """A step is said again."""
    return Correction(key, restated.key, restated, "mistyped", ms(30))


def view(yard: Yard, code: str) -> lots.LotView:
    """A lot as it stands."""
    found = lots.get(yard.no, code)
    assert found is not None
    return found


def codes_of(yard: Yard, draft: Draft) -> tuple[str, ...]:
    """Codes with which a draft is refused."""
    with pytest.raises(Refusal) as refused:
        yard.post(draft)
    return refused.value.codes


def test_a_grade_corrected_at_the_receipt_is_the_grade_everywhere() -> None:
    """A bag keyed with a wrong grade and put right is right in the silo and in the blocks."""
    yard = Yard.open()
    yard.post(receipt("in", bag("B-7", "PK1")))
    yard.post(expand("ex", "B-7"))
    yard.mould("L1", carton="", good=4, at=20)
    assert {one.code for one in holds.nonconformities(yard.no)} == {"wrong_grade"}

    yard.post(correct("c", receipt("in", bag("B-7", "F1"))))

    assert view(yard, "S1").grades == ("F1",)
    assert view(yard, "L1").causes == ()
    assert holds.nonconformities(yard.no) == []
    rebuilt_equal("P1")


def test_what_a_lot_is_may_be_said_anew_in_a_second_correction() -> None:
    """A lot that a correction brought in is that step's own, and can be corrected again."""
    yard = Yard.open()
    yard.post(receipt("in", bag("B-7", "F1")))
    yard.post(correct("c1", receipt("in", bag("B-8", "F1"))))
    yard.post(correct("c2", receipt("in", bag("B-8", "PK1"), kg=90)))

    assert (view(yard, "B-7").mg, view(yard, "B-8").mg) == (0, 90 * KG)
    assert view(yard, "B-8").grades == ("PK1",)
    rebuilt_equal("P1")


def test_a_step_and_its_correction_may_come_together() -> None:
    """A sheet and the sheet of its corrections, posted as one batch, give what two posts give."""
    yard = Yard.open()
    first, second = receipt("in", bag("B-7", "F1")), receipt("in", bag("B-7", "F1"), kg=60)
    yard.door.post_many([first, correct("c", second), expand("ex", "B-7")], yard.who)

    assert view(yard, "B-7").mg == 50 * KG
    rebuilt_equal("P1")


def test_a_lot_of_another_step_is_not_said_anew() -> None:
    """A correction may not bring in a lot that came with another step, nor one lot twice."""
    yard = Yard.open()
    yard.post(receipt("one", bag("B-7", "F1")))
    yard.post(receipt("two", bag("B-8", "F1")))
    twice = replace(receipt("two", bag("B-8", "F1")), new_lots=(bag("B-8"), bag("B-8")))

    assert codes_of(yard, correct("c", receipt("two", bag("B-7", "F1")))) == ("lot_exists",)
    assert codes_of(yard, correct("c", twice)) == ("lot_exists",)


def test_a_corrected_step_that_is_undone_is_absent_as_corrected() -> None:
    """The projections of a step corrected and then reversed are those that a rebuild makes."""
    yard = Yard.open()
    yard.post(receipt("in", bag("B-7", "F1")))
    yard.post(correct("c", replace(receipt("in", bag("B-7", "F1")), happened_at=ms(3), by="P-2")))
    yard.post(Reversal("r", "in", "never came", ms(31)))

    assert view(yard, "B-7").mg == 0
    rebuilt_equal("P1")


def test_losses_of_a_corrected_step_are_those_it_was_corrected_to() -> None:
    """A loss said again replaces the loss said first."""
    yard = Yard.open()
    yard.post(receipt("in", bag("B-7", "F1")))
    lossy = replace(
        expand("ex", "B-7"),
        lines=(Line("B-7", -1, 10 * KG), Line("S1", 1, 9 * KG)),
        losses=(Loss("pentane", KG),),
    )
    yard.post(lossy)
    yard.post(correct("c", expand("ex", "B-7")))

    rebuilt_equal("P1")


def test_what_is_restated_needs_a_time() -> None:
    """A planned step restated without a time would stand at the beginning of all time."""
    yard = Yard.open()
    yard.post(receipt("in", bag("B-7", "F1")))
    planned = replace(expand("ex", "B-7"), planned=True, happened_at=None)
    yard.post(planned)

    assert codes_of(yard, correct("c", planned)) == ("time_missing",)


def test_a_hold_is_no_step_to_correct_or_undo() -> None:
    """A hold ends by a lift, with a reason, and by nothing else."""
    yard = Yard.open()
    yard.post(receipt("in", bag("B-7", "F1")))
    yard.hold("H1", "B-7")
    held = next(touch.step for touch in lots.touches(yard.no, "B-7") if touch.kind == "hold")

    assert codes_of(yard, Reversal("r", held, "no need", ms(80))) == ("unknown_step",)
    assert codes_of(yard, correct("c", expand(held, "B-7"))) == ("unknown_step",)
    assert view(yard, "B-7").causes != ()


def test_a_batch_sees_what_it_has_changed_itself() -> None:
    """After a correction in a batch, the next step of that batch draws on the corrected stock."""
    yard = Yard.open()
    yard.post(receipt("in", bag("B-7", "F1")))
    smaller = receipt("in", bag("B-7", "F1"), kg=30)
    yard.door.post_many([correct("c", smaller), expand("ex", "B-7", kg=20)], yard.who)

    assert view(yard, "B-7").mg == 10 * KG
    rebuilt_equal("P1")


def test_a_lot_drawn_in_two_lines_is_wrong_once() -> None:
    """A nonconformity is one step, one code, one lot, however many lines name the lot."""
    yard = Yard.open()
    yard.post(receipt("in", bag("B-7", "PK1")))
    yard.post(expand("ex", "B-7"))
    lines = (Line("S1", -1, KG), Line("S1", -1, 2 * KG), Line("L1", 1, 3 * KG, 2))
    new = NewLot("L1", Material.BLOCK, "mould run", "FB6", unit_mg=3 * KG // 2)
    yard.post(StepDraft("m", "mould", ms(20), lines, new_lots=(new,), product="FB6"))

    found = [(one.code, one.lot) for one in holds.nonconformities(yard.no)]
    assert found == [("wrong_grade", "S1")]


def test_a_lot_ends_as_its_last_line_leaves_it() -> None:
    """A step that draws a lot and states its stock leaves the stock stated, late entry or not."""
    yard = Yard.open()
    yard.post(receipt("in", bag("B-7", "F1")))
    lines = (Line("B-7", -1, 10 * KG), Line("B-7", 0, 80 * KG), Line("S1", 1, 10 * KG))
    yard.post(StepDraft("w", "weigh", ms(5), lines))
    yard.post(expand("late", "B-7", kg=5, at=3))

    assert view(yard, "B-7").mg == 80 * KG
    rebuilt_equal("P1")


@pytest.mark.parametrize("key", ["row 3|b", "row 3#2"])
def test_a_client_key_with_a_bar_or_a_number_sign_makes_one_cause(key: str) -> None:
    """Causes are parted by a bar: a key of a sheet that holds one does not part its own cause."""
    yard = Yard.open()
    yard.post(receipt("in", bag("B-7", "F1")))
    lines = (Line("B-7", -1, 50 * KG), Line("S1", 1, 30 * KG))
    yard.post(StepDraft(key, "expand", ms(2), lines, remainder_mg=20 * KG))
    (found,) = holds.nonconformities(yard.no)

    assert view(yard, "S1").causes == (found.cause,)
    yard.concede(found.cause, [found.mark])
    assert holds.open_causes(yard.no, found.cause) == ()


def test_asking_about_a_draft_that_was_posted_answers_as_posting_it_does() -> None:
    """A planned draft sent again is allowed; with other content it is not."""
    yard = Yard.open()
    yard.post(receipt("in", bag("B-7", "F1"), kg=10))
    planned = replace(expand("ex", "B-7"), planned=True, happened_at=None)
    yard.post(planned)

    assert yard.door.may(planned, yard.who).may
    other = yard.door.may(replace(planned, product="FB6"), yard.who)
    assert [fault.code for fault in other.faults] == ["key_reused"]


def test_a_lift_ends_the_hold_it_names_and_no_other() -> None:
    """Two holds on one bag: each has its own lift."""
    yard = Yard.open()
    yard.post(receipt("in", bag("B-7", "F1")))
    yard.hold("H1", "B-7")
    yard.hold("H10", "B-7")
    yard.door.post(Lift("l", ms(79), "H1", "smelt again", ("B-7",)), Who("ann", Role.ENGINEER))

    assert [cause.partition("@")[0] for cause in view(yard, "B-7").causes] == ["hold:H10"]


def test_foreign_labels_follow_a_correction_and_a_reversal() -> None:
    """A label that was mistyped is found no longer; one step's labels never outlive the step."""
    yard = Yard.open()
    new = replace(bag("B-7"), labels=(Label("maker", "0815"),))
    yard.post(receipt("in", new))
    yard.post(receipt("other", replace(bag("B-8"), labels=(Label("maker", "0815"),))))
    assert [view.code for view in lots.find(yard.no, "0815")] == ["B-7", "B-8"]
    again = replace(new, labels=(Label("maker", "0816"),))
    yard.post(correct("c", receipt("in", again)))
    assert [view.code for view in lots.find(yard.no, "0816")] == ["B-7"]
    assert [view.code for view in lots.find(yard.no, "0815")] == ["B-8"]
    rebuilt_equal("P1")
    yard.post(Reversal("r", "other", "never came", ms(31)))
    assert lots.find(yard.no, "0815") == []
    rebuilt_equal("P1")
