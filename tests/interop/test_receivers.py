"""A receiver that looks like one that is known is asked about; the same one is not, nor another."""

import pytest

from beadwright.interop.importing import import_files
from beadwright.interop.keyed import read
from tests.interop.plant import Plant
from tests.interop.record import MemoryRecord

MOULDED = "1,M-1,2026-09-02 07:00,2026-09-02 09:00,FP1,tool 4,FB6S,H1,C-1,L-1,20,39,1,1.5,,W-1,,KR"
CYRILLIC = "M\u0410RL STREET"


def shipped(number: int, receiver: str) -> str:
    """A row of two blocks; hours go by with the number."""
    return f"{number},2026-09-04 {8 + number:02d}:00,SH-{number},{receiver},L-1,2,KR"


def shipping(ground: Plant, *receivers: str) -> Plant:
    """Blocks, and a shipment to each receiver."""
    ground.add("mould_runs", MOULDED)
    return ground.add("shipments", *(shipped(n, one) for n, one in enumerate(receivers, start=1)))


def asked(ground: Plant, record: MemoryRecord | None = None) -> list[tuple[str, str, str]]:
    """Code, where, and what it may be meant for."""
    questions = ground.read(record).questions if record else ground.read().questions
    return [(one.code, one.where, one.perhaps) for one in questions]


def test_a_letter_of_another_script_is_asked_about(ground: Plant) -> None:
    """With the letter by its number, for nobody can see it."""
    shipping(ground, "MARL STREET", CYRILLIC)
    (question,) = ground.read().questions

    assert (question.code, question.where) == ("receiver_alike", "shipments.csv:3:receiver")
    assert question.perhaps == "MARL STREET"
    assert "U+0410" in question.why


@pytest.mark.parametrize("other", ["Marl Street", "MARL-STREET", "MARL  STREET"])
def test_other_capitals_and_spaces_are_asked_about(ground: Plant, other: str) -> None:
    """Each makes a receiver of its own, and a recall of one misses the other."""
    shipping(ground, "MARL STREET", other)

    assert asked(ground) == [("receiver_alike", "shipments.csv:3:receiver", "MARL STREET")]


def test_the_same_and_others_are_not_asked_about(ground: Plant) -> None:
    """Twice to one, once to another."""
    shipping(ground, "MARL STREET", "MARL STREET", "MILL END")

    assert asked(ground) == []


def test_against_the_record_too_and_an_answer_is_kept(ground: Plant) -> None:
    """Said once that both are meant, both are known."""
    shipping(ground, "MARL STREET")
    intake = ground.read()
    record = MemoryRecord(intake.drafts, intake.people)
    ground.add("shipments", shipped(2, CYRILLIC))
    assert asked(ground, record) == [("receiver_alike", "shipments.csv:3:receiver", "MARL STREET")]

    kept = ground.read(record, keep=frozenset({"shipments.csv:3:receiver"}))
    assert not kept.questions
    record = MemoryRecord(kept.drafts, kept.people)
    ground.add("shipments", shipped(3, CYRILLIC), shipped(4, "MARL STREET"))
    assert asked(ground, record) == []


@pytest.mark.django_db
def test_a_form_asks_it_at_its_field(ground: Plant) -> None:
    """And takes the answer that it stands."""
    shipping(ground, "MARL STREET")
    assert not import_files([ground.write()]).refused
    texts = {"at": "2026-09-05 09:00", "shipment": "SH-9", "receiver": CYRILLIC, "what": "L-1",
             "pieces": "1", "by": "KR"}  # fmt: skip

    found = read("LARKHOLLOW", "shipments", texts, units={}, key="k", by="")
    assert [(one.field, one.code, one.perhaps) for one in found.questions] == [
        ("receiver", "receiver_alike", "MARL STREET")
    ]
    again = read("LARKHOLLOW", "shipments", texts, units={}, key="k", by="",
                 kept=frozenset({"receiver"}))  # fmt: skip
    assert again.questions == ()
    assert again.ready
