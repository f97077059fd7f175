"""What a plant forbids: refused while it is planned, recorded once it has happened."""

from __future__ import annotations

from dataclasses import replace

import pytest

from beadwright.errors import Refusal
from beadwright.ledger import holds, lots, rebuild
from beadwright.ledger.draft import Line, StepDraft
from tests.door.forbidden import FORBIDDEN, NOW_H, kg, planned
from tests.door.snapshot import everything
from tests.plant.yard import Yard, ms

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("code", FORBIDDEN)
def test_planned_it_is_refused_and_nothing_is_written(code: str) -> None:
    """The refusal names the code, the lot or step, and every table is as it was."""
    yard = Yard.open()
    broken = FORBIDDEN[code](yard)
    before = everything()

    with pytest.raises(Refusal) as refused:
        yard.post(planned(broken.draft))

    assert set(refused.value.codes) == {code}
    assert refused.value.faults[0].where == broken.draft.key
    assert everything() == before


@pytest.mark.parametrize("code", FORBIDDEN)
def test_asked_for_it_may_not_and_nothing_is_written(code: str) -> None:
    """To ask gives the same code as to try, and writes nothing."""
    yard = Yard.open()
    broken = FORBIDDEN[code](yard)
    before = everything()

    answer = yard.door.may(planned(broken.draft), yard.who)

    assert not answer.may
    assert {fault.code for fault in answer.faults} == {code}
    assert everything() == before


@pytest.mark.parametrize("code", FORBIDDEN)
def test_happened_it_is_recorded_and_holds_what_came_out(code: str) -> None:
    """It stands in the record as keyed, with a nonconformity, and its outputs carry the cause."""
    yard = Yard.open()
    broken = FORBIDDEN[code](yard)

    posted = yard.post(broken.draft)

    assert not posted.repeated
    assert {found.code for found in posted.found} == {code}
    listed = holds.nonconformities(yard.no)
    assert [(one.step, one.code, one.closed) for one in listed] == [(broken.draft.key, code, False)]
    for line in broken.draft.lines:
        if line.sign > 0:
            view = lots.get(yard.no, line.lot)
            assert view is not None
            assert broken.cause in view.causes
    assert rebuild.broken("P1") == []


@pytest.mark.parametrize("code", FORBIDDEN)
def test_what_is_wrong_is_said_in_a_sentence_with_its_names(code: str) -> None:
    """The message of a refusal names the lot or the product, for a person to act on."""
    yard = Yard.open()
    broken = FORBIDDEN[code](yard)

    answer = yard.door.may(planned(broken.draft), yard.who)

    names = {line.lot for line in broken.draft.lines} | {broken.draft.product} - {""}
    said = " ".join(fault.what for fault in answer.faults)
    assert any(name in said for name in names) or "kg" in said


def test_within_the_rules_it_may_and_is_posted() -> None:
    """The step that breaks no rule is taken, planned, and timed by the record."""
    yard = Yard.open()
    draft = FORBIDDEN["too_fresh"](yard).draft
    yard.set("ageing", "F1", min_h="7", max_h="96", since=2)

    assert yard.door.may(planned(draft), yard.who).may
    assert yard.post(planned(draft)).found == ()
    assert [touch.at_ms for touch in lots.touches(yard.no, "L1")] == [ms(NOW_H)]


def test_a_count_that_differs_is_noticed_and_holds_nothing() -> None:
    """A count off by more than is tolerated is a nonconformity of its own; the lot stays free."""
    yard = Yard.open()
    yard.bag("B-1", 1000)

    posted = yard.step("stocktake", 5, [Line("B-1", 0, kg(900))])

    assert [found.code for found in posted.found] == ["count_differs"]
    assert yard.facts("B-1")["causes"] == ()
    yard.expand("B-1", "S1", at=6)
    assert yard.facts("S1")["causes"] == ()


def test_a_planned_count_that_differs_is_not_refused() -> None:
    """A notice forbids nothing: to count is never refused because of what was counted."""
    yard = Yard.open()
    yard.bag("B-1", 1000)
    count = StepDraft("count", "stocktake", None, (Line("B-1", 0, kg(900)),), planned=True)

    assert yard.door.may(count, yard.who).may
    assert [found.code for found in yard.post(count).found] == ["count_differs"]


def test_the_last_forty_kilograms_go_once() -> None:
    """Of two planned draws of the same 40 kg the second is told more_than_held."""
    yard = Yard.open()
    yard.bag("B-1", 40)
    draw = StepDraft("a", "expand", None, (Line("B-1", -1, kg(40)), Line("S1", 1, kg(40))),
                     planned=True)  # fmt: skip

    yard.post(draw)
    with pytest.raises(Refusal) as refused:
        yard.post(replace(draw, key="b"))

    assert refused.value.codes == ("more_than_held",)


def test_a_planned_step_among_others_takes_all_back() -> None:
    """In a batch, one planned step that is forbidden leaves nothing of the batch."""
    yard = Yard.open()
    broken = FORBIDDEN["too_fresh"](yard).draft
    fine = StepDraft("fine", "expand", ms(NOW_H), (Line("B-1", -1, 5), Line("S2", 1, 5)))
    before = everything()

    with pytest.raises(Refusal):
        yard.door.post_many([fine, planned(broken)], yard.who)

    assert everything() == before
