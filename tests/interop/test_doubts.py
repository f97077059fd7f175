"""Values that fit their layout and cannot be are asked about; ordinary ones are not."""

import pytest

from beadwright.interop.sheets import EmptyRecord, Question
from beadwright.ledger.draft import ReadingsDraft, StepDraft
from tests.interop.plant import Plant
from tests.interop.record import MemoryRecord

CUBES = [
    "1,2026-09-03 08:00,,K-1,150,150,149,,7985,",
    "2,2026-09-03 08:05,,K-2,150,150,149.5,,7892,",
    "3,2026-09-03 08:10,,K-3,1148,150,150,,8025,",
    "4,2026-09-03 08:15,,K-4,148.5,150,150,,7966,",
]
MOULD = "FP1,tool 4,FB6S,H1,C-1"


def mould(number: int, foam: str) -> str:
    """A row of 20 blocks; hours go by with the number."""
    hour = f"{number:02d}"
    times = f"2026-09-02 {hour}:00,2026-09-02 {hour}:50"
    return f"{number},M-1,{times},{MOULD},L-{number},5,20,0,{foam},,,,KR"


def asked(questions: tuple[Question, ...]) -> list[tuple[str, str, str]]:
    """Where, value and what it may be."""
    return [(each.where, each.value, each.perhaps) for each in questions]


def test_a_specimen_that_cannot_be_is_asked_about(plant: Plant) -> None:
    """By file, row, field and value, with what one slip would make of it."""
    intake = plant.add("specimens", *CUBES).read()

    (question,) = intake.questions
    assert (question.where, question.value) == ("specimens.csv:4:length", "1148 mm")
    assert question.perhaps.startswith("148 mm (one digit too many)")
    assert not intake.faults


def test_a_value_kept_is_marked_and_not_asked_again(plant: Plant) -> None:
    """The reading says that a person kept it; read again from the record, it stands."""
    plant.add("specimens", *CUBES)
    intake = plant.read(keep=frozenset({"specimens.csv:4:length"}))
    draft = next(d for d in intake.drafts if d.key == "specimens/3/readings")

    assert not intake.questions
    assert isinstance(draft, ReadingsDraft)
    assert [one.characteristic for one in draft.readings if "kept" in one.facts] == [
        "specimen_length"
    ]
    assert draft.readings[1].facts == {"kept": "as keyed"}
    again = plant.read(MemoryRecord(intake.drafts, intake.people))
    assert not again.questions
    assert again.drafts == intake.drafts


def test_an_answer_about_another_value_answers_nothing(plant: Plant) -> None:
    """The place must be the one asked about."""
    plant.add("specimens", *CUBES)

    assert plant.read(keep=frozenset({"specimens.csv:3:length"})).questions


def test_a_slipped_point_in_a_mass_is_asked_about(ground: Plant) -> None:
    """Against the product's own target, one row is enough."""
    ground.add("mould_runs", mould(7, "15.0"))
    intake = ground.read()

    assert asked(intake.questions) == [("mould_runs.csv:2:foam_per_block", "15.0 kg", "1.50 kg")]
    assert "10 times the target" in intake.questions[0].why


def test_a_step_kept_as_keyed_says_so(ground: Plant) -> None:
    """Its facts carry the mark."""
    ground.add("mould_runs", mould(7, "15.0"))
    intake = ground.read(keep=frozenset({"mould_runs.csv:2:foam_per_block"}))
    step = next(d for d in intake.drafts if d.key == "mould_runs/7")

    assert isinstance(step, StepDraft)
    assert step.facts["kept"] == "as keyed"
    assert not ground.read(MemoryRecord(intake.drafts, intake.people)).questions


def expansions(*masses: str) -> list[str]:
    """Rows of ten batches each."""
    return [
        f"{n},E-{n},2026-09-01 1{n}:00,2026-09-01 1{n}:50,B-1,{mass},10,12,S1,,1.8,DS"
        for n, mass in enumerate(masses, 1)
    ]


@pytest.mark.parametrize(("mass", "perhaps"), [("1210", "121.0 kg"), ("12.1", "121 kg")])
def test_a_mass_off_by_ten_is_asked_about(ground: Plant, mass: str, perhaps: str) -> None:
    """Against what a batch weighs in the other rows."""
    masses = ["120", "118", "121", "119", "122", mass]
    ground.sheets["expansion_runs"] = expansions(*masses)

    assert ("expansion_runs.csv:7:mass", f"{mass} kg", perhaps) in asked(ground.read().questions)


def test_a_small_rest_of_a_bag_is_ordinary(ground: Plant) -> None:
    """One batch weighs what every batch weighs."""
    rows = expansions("120", "118", "121", "119", "122")
    rest = "6,E-6,2026-09-01 16:00,2026-09-01 16:10,B-1,12.3,1,12,S1,,0.2,DS"
    ground.sheets["expansion_runs"] = [*rows, rest]

    assert not ground.read().questions


def test_small_transfers_and_bags_are_ordinary(ground: Plant) -> None:
    """A top-up or a part bag is no slip; only what is far too large is asked about."""
    rows = [f"{n},2026-09-02 0{n}:30,transfer,S1,H1,60,,,DS" for n in range(2, 9)]
    ground.sheets["silo_moves"] = [*rows, "9,2026-09-02 09:30,transfer,S1,H1,5,,,DS"]
    assert not ground.read().questions

    ground.sheets["silo_moves"][-1] = "9,2026-09-02 09:30,transfer,S1,H1,600,,,DS"
    assert asked(ground.read().questions) == [("silo_moves.csv:9:mass", "600 kg", "60.0 kg")]


def test_a_row_that_is_corrected_is_asked_about_no_more(ground: Plant) -> None:
    """Its correction is what is looked at: a wrong correction is asked about in its place."""
    ground.add("mould_runs", mould(7, "15.0"))
    row = "1,2026-09-03 08:00,mould_runs,7,foam_per_block,{},point slipped,EI"
    ground.sheets["corrections"] = [row.format("1.5")]
    assert not ground.read().questions

    ground.sheets["corrections"] = [row.format("0.15")]
    assert asked(ground.read().questions) == [
        ("corrections.csv:2:foam_per_block", "0.15 kg", "1.5 kg")
    ]


def test_blocks_are_compared_by_product_and_state(ground: Plant) -> None:
    """A packaging piece is not a light form block."""
    ground.add("mould_runs", mould(7, "1.5"))
    packaging = "FP1,tool 9,PKC,H1,,L-9,5,20,0,0.31,,,,KR"
    ground.add("mould_runs", f"9,M-2,2026-09-02 09:00,2026-09-02 09:50,{packaging}")
    masses = {"L-7": ["3.19", "3.21", "3.20", "3.18"], "L-9": ["0.32", "0.31", "0.33", "0.32"]}
    rows = [(lot, mass) for lot, held in masses.items() for mass in held]
    ground.add(
        "inspections",
        *(
            f"{n},2026-09-02 10:{n:02d},{lot},,1,press,{mass},,,,,,,,,,,,KR"
            for n, (lot, mass) in enumerate(rows, 1)
        ),
    )
    assert not ground.read().questions

    ground.sheets["inspections"][1] = ground.sheets["inspections"][1].replace("3.21", "32.1")
    (question,) = ground.read().questions
    assert (question.where, question.value) == ("inspections.csv:3:mass", "32.1 kg")
    assert question.perhaps.startswith("3.21 kg (ten times too large)")


def test_without_rows_to_compare_nothing_is_asked(ground: Plant) -> None:
    """One row has no siblings, and no column."""
    assert not ground.read(EmptyRecord()).questions


def test_what_came_in_unasked_is_not_asked_about_when_rows_join_it(ground: Plant) -> None:
    """Five rows later the column has a middle; the row in the record stands."""
    ground.sheets["expansion_runs"] = expansions("12.1")
    first = ground.read()
    assert not first.questions

    ground.sheets["expansion_runs"] = expansions("12.1", "120", "118", "121", "119", "122")
    assert len(ground.read().questions) == 1
    again = ground.read(MemoryRecord(first.drafts, first.people))
    assert not again.questions
    assert set(map(repr, first.drafts)) <= set(map(repr, again.drafts))
