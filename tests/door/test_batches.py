"""One draft at a time or many at once: the same record; and each client key once."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import pytest
from django.db import transaction
from hypothesis import given, settings
from hypothesis import strategies as st

from beadwright.errors import Refusal
from beadwright.ledger import rebuild
from beadwright.ledger.chain import Break, Chained
from beadwright.ledger.draft import (
    Concession,
    Correction,
    Draft,
    Evidence,
    Hold,
    Label,
    Lift,
    Line,
    Loss,
    Material,
    NewLot,
    Reading,
    ReadingsDraft,
    Reversal,
    SettingDraft,
    StepDraft,
    Void,
)
from beadwright.ledger.record import Posted
from beadwright.plant.access import Role, Who
from beadwright.plant.door import Door
from beadwright.plant.opening import RULES
from tests.door.forbidden import kg
from tests.door.snapshot import Tables, everything
from tests.plant.yard import FORM, Yard, ms

pytestmark = pytest.mark.django_db
ENGINEER = Who("import", Role.ENGINEER)
"""Who brings history in: its people need no roles here."""


def day() -> list[Draft]:
    """A day of every kind of draft, corrections and a reversal of its own steps among them."""
    bag = NewLot("B-1", Material.BEAD, "bag", grades=("F1",), labels=(Label("SUPPLIER", "4711"),))
    blocks = NewLot("L1", Material.BLOCK, "mould run", "FB6", unit_mg=kg(1.495))
    expand = StepDraft(
        "e1", "expand", ms(2), (Line("B-1", -1, kg(400), keyed="400 kg"), Line("S1", 1, kg(392))),
        (Loss("pentane", kg(6), "6 kg"),), kg(2), facts={"batches": "40"}, by="P-2",
    )  # fmt: skip
    mould = StepDraft(
        "m1", "mould", ms(7),
        (Line("S1", -1, kg(59.8), 0, Evidence.BACKFLUSHED), Line("L1", 1, kg(59.8), 40)),
        new_lots=(blocks,), product="FB6", place="FP1", run="R1",
    )  # fmt: skip
    return [
        SettingDraft("s1", ms(0), "product", "FB6", FORM),
        SettingDraft("s2", ms(0), "approved", "FB6", {"revision": "R1", "grades": ["F1"]}),
        SettingDraft("s3", ms(0), "ageing", "F1", {"min_h": "8", "max_h": "96"}),
        SettingDraft("s4", ms(0), "place", "S1", {"kind": "silo", "content": True}),
        StepDraft("r1", "receipt", ms(1), (Line("B-1", 1, kg(1000)),), new_lots=(bag,)),
        expand,
        ReadingsDraft("q1", ms(2), (Reading("cup_weight", "212", "g", lot="S1", step="e1",
                      facts={"place": "hot", "cup_volume": "10 L"}),)),
        mould,
        Hold("h1", ms(8), "H1", "smell", ("S1",), by="P-13"),
        Correction("c1", "m1", replace(mould, happened_at=ms(20)), "wrong time", ms(21)),
        Lift("l1", ms(22), "H1", "looked into", ("S1",)),
        StepDraft("x1", "expand", ms(23), (Line("B-1", -1, kg(9)), Line("S1", 1, kg(9)))),
        Reversal("v1", "x1", "typed twice", ms(24)),
        Void("w1", ms(25), "q1", "wrong cup"),
        SettingDraft("s5", ms(26), "ageing", "F1", {"min_h": "20", "max_h": "96"}, ms(0)),
        Concession("k1", ms(27), "too_fresh:S1", "strength tested", ("m1|too_fresh|S1|x",)),
    ]  # fmt: skip


@dataclass(frozen=True)
class Outcome:
    """What a store holds and what was answered after drafts were posted in batches."""

    entries: list[Chained]
    tables: Tables
    answers: list[Posted]
    broken: list[Break]


def outcome(*batches: Sequence[Draft]) -> Outcome:
    """Post to a plant of which nothing was said yet, look at everything, and take it all back."""
    door = Door("P1", RULES, clock=lambda: ms(1440))
    answers: list[Posted] = []
    with transaction.atomic():
        for batch in batches:
            answers += door.post_many(batch, ENGINEER)
        found = Outcome(list(rebuild.entries("P1")), everything(), answers, rebuild.broken("P1"))
        transaction.set_rollback(True)
    return found


def cut(drafts: Sequence[Draft], cuts: Sequence[int]) -> list[Sequence[Draft]]:
    """The drafts in batches."""
    marks = sorted({0, *cuts, len(drafts)})
    return [drafts[a:b] for a, b in pairwise(marks)]


def test_one_by_one_and_all_at_once_write_the_same_bytes() -> None:
    """`post` and `post_many` give equal entries, hashes and projections."""
    singly = outcome(*cut(day(), range(len(day()))))
    at_once = outcome(day())

    assert at_once.entries == singly.entries
    assert at_once.tables == singly.tables
    assert at_once.broken == []
    assert len(at_once.entries) == len(day())


@settings(max_examples=15)
@given(st.lists(st.integers(1, 15), max_size=4))
def test_wherever_a_batch_is_cut_the_same_is_written(cuts: list[int]) -> None:
    """Entries and projections do not depend on how drafts were gathered into batches."""
    whole, parts = outcome(day()), outcome(*cut(day(), cuts))

    assert parts.entries == whole.entries
    assert parts.tables == whole.tables


def test_the_fixed_clock_and_the_account_stand_in_every_entry() -> None:
    """Who keyed it and when it was recorded are in the body, under the hash."""
    for entry in outcome(day()).entries:
        body = json.loads(entry.body)
        assert (body["account"], body["recorded_at"]) == ("import", ms(1440))


# -- the same key again ------------------------------------------------------------------------


@pytest.mark.parametrize("number", range(len(day())), ids=lambda n: day()[n].key)
def test_the_same_draft_again_posts_once(number: int) -> None:
    """The second time is answered `repeated`, with the entry of the first; nothing is written."""
    drafts = day()
    once = outcome(drafts)
    again = outcome(drafts, [drafts[number]])

    assert again.entries == once.entries
    assert again.tables == once.tables
    assert again.answers[-1].repeated
    assert again.answers[-1].seq == once.answers[number].seq
    assert not any(answer.repeated for answer in once.answers)


def test_a_whole_batch_again_posts_nothing() -> None:
    """All the same drafts once more, at once: every one is `repeated`."""
    once, again = outcome(day()), outcome(day(), day())

    assert again.entries == once.entries
    assert again.tables == once.tables
    assert [answer.repeated for answer in again.answers] == [False] * 16 + [True] * 16


def test_the_same_draft_twice_in_one_batch_posts_once() -> None:
    """A list with a draft in it twice is as good as the list without."""
    drafts = day()
    doubled = [draft for draft in drafts for _ in range(2)]

    assert outcome(doubled).entries == outcome(drafts).entries


@pytest.mark.parametrize("number", range(len(day())), ids=lambda n: day()[n].key)
def test_other_content_under_a_used_key_is_refused(number: int) -> None:
    """Said differently under the same key, in a later post, it is key_reused."""
    drafts = day()
    other = replace(drafts[number], by="somebody else")

    with pytest.raises(Refusal) as refused:
        outcome(drafts, [other])
    assert refused.value.codes == ("key_reused",)


def test_another_draft_under_a_used_key_is_refused_in_the_same_batch() -> None:
    """Within one batch as well, and of another kind as well; nothing is kept."""
    drafts = [*day(), Void("x1", ms(25), "q1", "wrong cup")]

    with pytest.raises(Refusal) as refused:
        outcome(drafts)
    assert refused.value.codes == ("key_reused",)


def test_a_planned_step_repeated_keeps_the_time_it_was_given() -> None:
    """A planned step sent twice (the answer was lost) is one step, though its time is now."""
    yard = Yard.open()
    yard.bag("B-1", 40)
    draw = StepDraft("a", "expand", None, (Line("B-1", -1, kg(40)), Line("S1", 1, kg(40))),
                     planned=True)  # fmt: skip
    first = yard.post(draw)

    later = replace(yard.door, clock=lambda: ms(1450)).post(draw, yard.who)

    assert (first.repeated, later.repeated) == (False, True)
    assert later.seq == first.seq
