"""To ask and to try give one answer: what `may` allows is posted, what is refused was foretold."""

from __future__ import annotations

from dataclasses import replace

import pytest
from django.db import transaction
from hypothesis import event, given, settings

from beadwright.errors import Refusal
from beadwright.ledger.body import KINDS
from beadwright.ledger.draft import (
    Correction,
    Draft,
    Line,
    Reading,
    ReadingsDraft,
    Reversal,
    StepDraft,
    Void,
)
from beadwright.plant.codes import CODES
from tests.door.drafts import busy, drafts
from tests.door.forbidden import FORBIDDEN, kg, planned
from tests.door.refused import AT, REFUSED, fill
from tests.door.snapshot import everything
from tests.door.test_refused import ready
from tests.plant.yard import Yard, ms

pytestmark = pytest.mark.django_db


def asked(yard: Yard, draft: Draft) -> tuple[str, ...]:
    """Codes of why not, by `may`."""
    answer = yard.door.may(draft, yard.who)
    assert answer.may is (not answer.faults)
    return tuple(fault.code for fault in answer.faults)


def tried(yard: Yard, draft: Draft) -> tuple[str, ...]:
    """Codes of why not, by `post`; what it wrote is taken back."""
    with transaction.atomic():
        try:
            yard.door.post(draft, yard.who)
        except Refusal as refusal:
            codes = refusal.codes
        else:
            codes = ()
        transaction.set_rollback(True)
    return codes


def agree(yard: Yard, draft: Draft) -> tuple[str, ...]:
    """Ask, then try: the same codes in the same order."""
    foretold, refused = asked(yard, draft), tried(yard, draft)
    if isinstance(draft, StepDraft) and not draft.planned and not refused:
        # What has happened is recorded; asked about, it is told what is forbidden about it.
        assert all(CODES[code][0] == "forbidden" for code in foretold), draft
    else:
        assert foretold == refused, draft
    return refused


@pytest.mark.parametrize("kind", KINDS)
def test_to_ask_and_to_try_give_one_answer(kind: str) -> None:
    """Of right drafts and wrong ones, about a yard in which everything was done once."""
    yard = busy()
    before = everything()
    answers: set[bool] = set()

    @settings(max_examples=80)
    @given(drafts(yard, kind))
    def both(draft: Draft) -> None:
        codes = agree(yard, draft)
        answers.add(not codes)
        for code in codes or ("taken",):
            event(code)

    both()

    assert answers == {True, False}
    assert everything() == before


@pytest.mark.parametrize("code", REFUSED)
def test_what_cannot_be_meant_is_foretold(code: str) -> None:
    """Each code of the list, of what has happened and of what is planned."""
    yard = ready()
    draft = REFUSED[code](yard)

    assert set(agree(yard, draft)) == {code}
    if isinstance(draft, StepDraft):
        agree(yard, replace(draft, planned=True))


@pytest.mark.parametrize("code", FORBIDDEN)
def test_what_is_forbidden_is_foretold(code: str) -> None:
    """Each code of the list, of the step before it happens."""
    yard = Yard.open()
    broken = FORBIDDEN[code](yard)

    assert set(agree(yard, planned(broken.draft))) == {code}
    agree(yard, broken.draft)


MASS = Reading("block_mass_24h", "3.1", "kg", lot="B-1", facts={"state": "24h", "age_h": "26"})


@pytest.mark.parametrize(
    ("code", "reading"),
    [
        ("unknown_characteristic", replace(MASS, characteristic="charm")),
        ("unknown_lot", replace(MASS, lot="B-9")),
        ("unit_missing", replace(MASS, unit="")),
        ("unit_unknown", replace(MASS, unit="furlong")),
        ("not_a_number", replace(MASS, value="some")),
        ("amount_negative", replace(MASS, value="-3.1")),
        ("uncertainty_negative", replace(MASS, uncertainty="-0.1")),
        ("fact_missing", Reading("cup_weight", "212", "g", lot="S1", facts={"place": "hot"})),
        ("subject_missing", replace(MASS, lot="")),
        ("bad_reference", replace(MASS, parents=(3,))),
        ("not_whole", Reading("checked", "2.5", "pcs", lot="B-1")),
        ("bad_text", replace(MASS, specimen="x" * 61)),
        ("no_reading", None),
    ],
)
def test_a_reading_s_fault_is_foretold(code: str, reading: Reading | None) -> None:
    """And a draft of readings that holds none is refused, as a row without any is."""
    readings = (MASS, reading) if reading is not None else ()

    assert agree(ready(), ReadingsDraft("x", ms(AT), readings)) == (code,)


def test_sound_readings_may_be_posted_and_voided_twice() -> None:
    """The first void is the one that is kept; the second is no mistake."""
    yard = ready()
    assert agree(yard, ReadingsDraft("x", ms(AT), (MASS,))) == ()
    yard.post(ReadingsDraft("x", ms(AT), (MASS,)))

    for key in ("v1", "v2"):
        assert agree(yard, Void(key, ms(AT), "x", "wrong block")) == ()
        yard.post(Void(key, ms(AT), "x", "wrong block"))


@pytest.mark.parametrize("step", ["never", "H", "setting/1"])
def test_only_a_step_is_restated(step: str) -> None:
    """Neither what was never posted nor a hold or a setting; it is foretold of both drafts."""
    yard = ready()
    yard.hold("H1", "B-1", at=AT)
    key = next(iter(yard.steps)) if step == "H" else step
    key = key.replace("receipt", "hold") if step == "H" else key

    assert agree(yard, Reversal("r", key, "mistaken", ms(AT))) == ("unknown_step",)
    assert agree(yard, Correction("c", key, fill(key), "mistyped", ms(AT))) == ("unknown_step",)


def test_a_reversal_is_foretold_by_what_came_after() -> None:
    """What went out since stands in its way; what came in does not; and it is undone once."""
    yard = ready()
    yard.post(fill("a"))
    yard.post(fill("b"))
    assert agree(yard, Reversal("r", "a", "mistaken", ms(AT))) == ()
    yard.post(Reversal("r", "a", "mistaken", ms(AT)))

    assert agree(yard, Reversal("r2", "a", "mistaken", ms(AT))) == ("already_reversed",)
    again = Correction("c", "a", fill("a", kg(6)), "mistyped", ms(AT))
    assert agree(yard, again) == ("already_reversed",)
    yard.mould("L1", good=2, at=AT + 9)
    assert agree(yard, Reversal("r3", "b", "mistaken", ms(AT + 10))) == ("already_moved_on",)
    assert agree(yard, Correction("c", "b", fill("b", kg(6)), "mistyped", ms(AT + 10))) == ()


def test_the_same_draft_again_may_come_again() -> None:
    """It is no fault to send a draft twice: a planned step whose time was given among them."""
    yard = busy()
    step = StepDraft("a", "expand", None, (Line("B-1", -1, kg(1)), Line("S2", 1, kg(1))),
                     planned=True)  # fmt: skip
    yard.post(step)
    yard.door = replace(yard.door, clock=lambda: ms(1450))

    assert agree(yard, step) == ()
    assert agree(yard, replace(step, by="KR")) == ("key_reused",)
    for draft in (Reversal("undone", "never", "mistaken", ms(34)), fill("undone")):
        assert agree(yard, draft) == ("key_reused",)


def test_a_plant_that_cannot_be_is_foretold() -> None:
    """Of a plant that is not there yet, too, and nothing is made by asking."""
    yard = ready()
    step = StepDraft("x", "receipt", ms(1), ())
    for plant, codes in (("plant one", ("bad_code",)), ("P2", ())):
        yard.door = replace(yard.door, plant=plant)
        assert agree(yard, step) == codes
