"""A specimen called as one of another lot is asked about; a number that each lot has is not."""

import pytest

from beadwright.interop.sheets import Intake
from beadwright.ledger.draft import ReadingsDraft
from tests.interop.plant import Plant
from tests.interop.record import MemoryRecord

MOULD = "FP1,tool 4,FB6S,H1,C-1"
CODE = "specimen_of_another_lot"


@pytest.fixture
def plant(ground: Plant) -> Plant:
    """A plant with the lots L-7, L-8 and L-70."""
    for number, lot in ((7, "L-7"), (8, "L-8"), (9, "L-70")):
        times = f"2026-09-02 0{number}:00,2026-09-02 0{number}:50"
        ground.add("mould_runs", f"{number},M-{number},{times},{MOULD},{lot},5,20,0,1.5,,,,KR")
    ground.headers["results"] = "at,lot,specimen,fusion [%],method"
    return ground


def broken(lot: str, specimen: str, number: int = 1) -> str:
    """A row of a broken face."""
    return f"{number},2026-09-03 08:00,{lot},{specimen},85,own"


def asked(intake: Intake) -> list[tuple[str, str, str]]:
    """Where, value and what it may be."""
    assert not intake.faults
    return [(one.where, one.value, one.perhaps) for one in intake.questions if one.code == CODE]


@pytest.mark.parametrize(
    ("lot", "specimen", "other"),
    [
        ("L-7", "L-8-B5", "L-8"),
        ("L-7", "l-8-b5", "L-8"),
        ("L-7", "L-70-B5", "L-70"),
        ("L-70", "L-7-B5", "L-7"),
        ("L-7", "L-7-B5", ""),
        ("L-70", "L-70-B5", ""),
        ("L-7", "L-9-B5", ""),
        ("L-7", "B5", ""),
        ("L-7", "A-7731", ""),
    ],
)
def test_a_code_that_begins_as_another_lots_is_asked_about(
    plant: Plant, lot: str, specimen: str, other: str
) -> None:
    """The longest code of a lot that it begins with decides; none is no question."""
    found = asked(plant.add("results", broken(lot, specimen)).read())

    assert found == ([("results.csv:2:specimen", specimen, f"lot {other}")] if other else [])


def test_a_piece_that_is_known_of_another_lot_is_asked_about(plant: Plant) -> None:
    """By the record or a row above; a short number is one of each lot."""
    plant.add("results", broken("L-7", "A-7731"), broken("L-7", "B1", 2))
    first = plant.read()
    assert asked(first) == []

    rows = [broken("L-8", "A-7731", 3), broken("L-8", "B1", 4), broken("L-7", "A-7731", 5)]
    plant.sheets["results"] = rows
    record = MemoryRecord(first.drafts, first.people)
    assert asked(plant.read(record)) == [("results.csv:2:specimen", "A-7731", "lot L-7")]
    plant.sheets["results"] = [broken("L-7", "A-7731"), *rows]
    assert asked(plant.read()) == [("results.csv:3:specimen", "A-7731", "lot L-7")]


def test_an_answer_holds_and_is_not_asked_for_again(plant: Plant) -> None:
    """A person may know better: what is kept as keyed is read, and read again."""
    plant.add("results", broken("L-7", "L-8-B5"))
    assert len(asked(plant.read())) == 1

    kept = plant.read(keep=frozenset({"results.csv:2:specimen"}))
    assert asked(kept) == []
    (draft,) = [one for one in kept.drafts if one.key == "results/1/readings"]
    assert isinstance(draft, ReadingsDraft)
    assert [one.facts["kept"] for one in draft.readings] == ["as keyed"]
    assert asked(plant.read(MemoryRecord(kept.drafts, kept.people))) == []


def test_an_answer_stands_with_every_measure_of_the_piece(plant: Plant) -> None:
    """Of a weighed and gauged block; of one that nobody asked about, nothing does."""
    plant.headers["inspections"] = "at,lot,specimen,state,age [h],mass [kg],length [mm],by"
    plant.add(
        "inspections",
        "1,2026-09-03 08:00,L-7,L-8-B5,24h,24,3.2,1219,KR",
        "2,2026-09-03 08:05,L-7,B6,24h,24,3.2,1219,KR",
    )
    made = plant.read(keep=frozenset({"inspections.csv:2:specimen"}))
    assert asked(made) == []
    found = {
        one.key: [each.facts.get("kept") for each in one.readings]
        for one in made.drafts
        if isinstance(one, ReadingsDraft) and one.key.startswith("inspections/")
    }
    assert found == {
        "inspections/1/readings": ["as keyed", "as keyed"], "inspections/2/readings": [None, None],
    }  # fmt: skip
    assert asked(plant.read(MemoryRecord(made.drafts, made.people))) == []
