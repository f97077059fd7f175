"""What cannot be meant is refused always, by its code, and leaves no trace."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from beadwright.errors import Refusal
from beadwright.ledger import lots, rebuild
from beadwright.ledger.draft import (
    Correction,
    Decision,
    Draft,
    Hold,
    Lift,
    Line,
    Reading,
    ReadingsDraft,
    Release,
    Reversal,
    SettingDraft,
    StepDraft,
)
from beadwright.plant.access import Role, Who
from beadwright.plant.codes import CODES
from tests.door.forbidden import FORBIDDEN, kg
from tests.door.refused import AT, REFUSED, fill
from tests.door.snapshot import everything
from tests.plant.yard import Yard, ms

ROOT = Path(__file__).resolve().parents[2]
SAID_ELSEWHERE = {"not_certifiable", "hold_not_reached", "setting_unsigned"}
"""Codes of refusals that are said before anything comes to the door, or of files alone."""
OF_A_READING = {"unknown_characteristic"}
"""Listed as a fault of a row, and refused at the door alike; the readings' own tests have more."""


def ready() -> Yard:
    """A yard with a bag of beads and a carton of ties, and beads in its silo."""
    yard = Yard.open()
    yard.bag("B-1")
    yard.carton("T-1")
    yard.expand("B-1", "S1")
    return yard


def refusal(yard: Yard, *drafts: Draft) -> tuple[str, ...]:
    """Codes with which the drafts are refused; nothing is written."""
    before = everything()
    with pytest.raises(Refusal) as refused:
        yard.door.post_many(drafts, yard.who)
    assert everything() == before
    return refused.value.codes


@pytest.mark.django_db
@pytest.mark.parametrize("code", REFUSED)
def test_it_is_refused_by_its_code_and_nothing_is_written(code: str) -> None:
    """Only this code; the whole store is as it was."""
    yard = ready()
    draft = REFUSED[code](yard)

    assert set(refusal(yard, draft)) == {code}


@pytest.mark.django_db
@pytest.mark.parametrize("code", [c for c in REFUSED if c != "time_missing"])
def test_it_is_refused_planned_as_well(code: str) -> None:
    """Nothing that cannot be meant becomes possible by being planned."""
    yard = ready()
    draft = REFUSED[code](yard)
    if not isinstance(draft, StepDraft):
        assert not yard.door.may(draft, yard.who).may
        return

    if code in {"time_ahead", "time_early"}:  # a planned step is timed by the record
        yard.post(replace(draft, planned=True))
        return
    assert code in refusal(yard, replace(draft, planned=True))


@pytest.mark.django_db
def test_the_sound_step_of_these_tests_is_taken() -> None:
    """What the refused drafts are made from is itself nothing to refuse."""
    assert ready().post(fill()).found == ()


def test_every_code_has_a_test_that_produces_it() -> None:
    """A code that nobody can produce, or that no test has produced, is not in the list."""
    kinds = {code: kind for code, (kind, _) in CODES.items()}

    assert {code for code, kind in kinds.items() if kind == "forbidden"} == set(FORBIDDEN)
    refusals = {code for code, kind in kinds.items() if kind == "refusal"}
    assert refusals - SAID_ELSEWHERE == set(REFUSED) - OF_A_READING
    assert {code for code, kind in kinds.items() if kind == "notice"} == {"count_differs"}


def test_every_code_that_is_said_is_in_the_list() -> None:
    """A code written anywhere between the door and the record stands in the list of codes."""
    said = {
        code
        for floor in ("ledger", "plant")
        for path in (ROOT / "beadwright" / floor).glob("*.py")
        for code in re.findall(r'(?:Fault|Flaw)\(\s*"([a-z_]+)"', path.read_text("utf-8"))
    }

    assert said
    assert said <= set(CODES)


# -- more ways to the same codes ---------------------------------------------------------------


@pytest.mark.django_db
@pytest.mark.parametrize(
    "draft",
    [
        Hold("x", ms(AT), "H1", "smell", ("B-9",)),
        Release("x", ms(AT), "L-9", "0" * 64),
        ReadingsDraft("x", ms(AT), (Reading("block_mass", "3", "kg", lot="L-9"),)),
        StepDraft("x", "move", ms(AT), (Line("B-9", 0, 0),)),
        StepDraft("x", "relabel", ms(AT), (), labels={"B-9": ()}),
    ],
    ids=lambda draft: type(draft).__name__,
)
def test_no_draft_may_name_a_lot_that_is_not_there(draft: Draft) -> None:
    """Steps, holds, releases, readings, labels: each names only what is in the record."""
    assert refusal(ready(), draft) == ("unknown_lot",)


@pytest.mark.django_db
@pytest.mark.parametrize(
    "draft",
    [
        SettingDraft("x", ms(2000), "product", "FB9", {"family": "form"}),
        Hold("x", ms(2000), "H1", "smell", ("B-1",)),
        Release("x", ms(2000), "B-1", "0" * 64),
        ReadingsDraft("x", ms(2000), (Reading("block_mass", "3", "kg", lot="B-1"),)),
        Decision("x", ms(2000), "signature", "B-1", {}),
    ],
    ids=lambda draft: type(draft).__name__,
)
def test_nothing_is_said_of_the_future(draft: Draft) -> None:
    """Decisions and readings, like steps, cannot have happened yet."""
    assert refusal(ready(), draft) == ("time_ahead",)


@pytest.mark.django_db
@pytest.mark.parametrize("key", ["", "k" * 161])
@pytest.mark.parametrize(
    "draft",
    [
        fill(),
        SettingDraft("x", ms(1), "product", "FB9", {"family": "form"}),
        Hold("x", ms(AT), "H1", "smell", ("B-1",)),
        Release("x", ms(AT), "B-1", "0" * 64),
        ReadingsDraft("x", ms(AT), (Reading("block_mass", "3", "kg", lot="B-1"),)),
        Decision("x", ms(AT), "signature", "B-1", {}),
        Reversal("x", "expand/3", "mistaken", ms(AT)),
    ],
    ids=lambda draft: type(draft).__name__,
)
def test_every_draft_needs_a_key(draft: Draft, key: str) -> None:
    """Without a client key of 1 to 160 characters a draft could post twice."""
    assert "key_missing" in refusal(ready(), replace(draft, key=key))


@pytest.mark.django_db
def test_every_fault_is_said_at_once() -> None:
    """A batch with three bad drafts names all three, each by its key."""
    yard = ready()
    bad = [
        replace(fill("a"), kind="melt"),
        replace(fill("b"), happened_at=None),
        fill("c"),
        replace(fill("d"), lines=(Line("B-1", -1, 5), Line("S1", 1, 4))),
    ]

    with pytest.raises(Refusal) as refused:
        yard.door.post_many(bad, yard.who)

    assert [(fault.where, fault.code) for fault in refused.value.faults] == [
        ("a", "unknown_kind"), ("b", "time_missing"), ("d", "not_added_up"),
    ]  # fmt: skip


@pytest.mark.django_db
def test_a_clock_five_minutes_ahead_is_still_now() -> None:
    """Tablets run ahead a little; six minutes is a wrong date."""
    yard = ready()

    yard.post(replace(fill("a"), happened_at=ms(1440) + 300_000))
    assert refusal(yard, replace(fill("b"), happened_at=ms(1440) + 300_001)) == ("time_ahead",)


@pytest.mark.django_db
def test_a_correction_of_a_reversed_step_is_refused() -> None:
    """What has been undone is posted anew, not restated."""
    yard = ready()
    yard.post(fill())
    yard.post(Reversal("r", "x", "mistaken", ms(AT)))

    assert refusal(yard, Correction("c", "x", fill(mass=kg(6)), "mistyped", ms(AT))) == (
        "already_reversed",
    )


@pytest.mark.django_db
def test_a_reversed_step_leaves_the_stock_as_it_was() -> None:
    """After a reversal both lots stand where they stood, and the record still verifies."""
    yard = ready()
    before = lots.get_many(yard.no, ["B-1", "S1"])
    yard.post(fill())
    yard.post(Reversal("r", "x", "mistaken", ms(AT)))

    assert lots.get_many(yard.no, ["B-1", "S1"]) == before
    assert rebuild.broken("P1") == []


@pytest.mark.django_db
def test_a_lift_clears_only_a_hold_that_is_there() -> None:
    """A hold's id must be one that was placed; a placed one lifts."""
    yard = ready()
    yard.hold("H1", "B-1", at=AT)

    assert refusal(yard, Lift("x", ms(AT), "H2", "looked into", ("B-1",))) == ("unknown_hold",)
    yard.lift("H1", "B-1")
    assert yard.facts("B-1")["causes"] == ()


@pytest.mark.django_db
def test_a_plant_needs_a_code_as_a_lot_does() -> None:
    """The first entry of a plant with an impossible code makes no plant."""
    yard = ready()
    yard.door = replace(yard.door, plant="plant one")

    assert refusal(yard, fill()) == ("bad_code",)
    assert lots.plants() == ("P1",)


@pytest.mark.django_db
def test_nobody_posts_nothing() -> None:
    """An account without a role may do nothing; the message says who."""
    yard = ready()
    yard.who = Who("stranger", None)

    with pytest.raises(Refusal, match=r"not_allowed: stranger \(no role\)"):
        yard.post(fill())
    yard.who = Who("ann", Role.OPERATOR)
    yard.post(fill())


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("topic", "body"),
    [
        ("ageing", {}),
        ("ageing", {"min_h": "eight", "max_h": "96"}),
        ("ageing", {"min_h": 8.5, "max_h": "96"}),
        ("approved", {"revision": "R2"}),
        ("approved", {"revision": "R2", "grades": "F1"}),
        ("product", {"title": "Block"}),
        ("role", {"role": "owner"}),
        ("place", {"content": True, "accepts": "F1"}),
        ("tolerance", {"shortage": "some"}),
        ("tolerance", {"remainder_floor": "2"}),
        ("tolerance", {"u": "0.4 kg"}),
    ],
)
def test_a_setting_that_nobody_could_read_later_is_refused(
    topic: str, body: dict[str, object]
) -> None:
    """A setting is never taken back, so one that would stop every later step does not get in."""
    yard = ready()

    draft = SettingDraft("x", ms(AT), topic, "F1", body)

    assert set(refusal(yard, draft)) == {"bad_setting"}
    assert not yard.door.may(draft, yard.who).may


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("ahead_ms", "says"),
    [
        (10 * 60_000, "the time lies 10 minutes in the future"),
        (365 * 86_400_000, "the time lies 365 days in the future"),
    ],
)
def test_a_time_is_refused_as_people_write_it(ahead_ms: int, says: str) -> None:
    """Never as milliseconds; a year is told in days."""
    yard = ready()
    with pytest.raises(Refusal) as refused:
        yard.post(replace(fill("late"), happened_at=ms(1440) + ahead_ms))

    (fault,) = refused.value.faults
    assert fault.what == says
    assert re.fullmatch(r"\d{4}-\d{2}-\d{2} \d{2}:\d{2} UTC", fault.value)
