"""A sample put by is a lot of its own: pieces, unit mass and product are those of its lot."""

from pathlib import Path

import pytest

from beadwright.ledger.draft import Evidence, Line, Material, NewLot, StepDraft
from tests.interop.plant import Plant, codes

MOULD = "1,M-1,2026-09-02 07:00,2026-09-02 09:00,FP1,tool 4,FB6S,H1,C-1,L-1,25,97,3,1.5,604,W-1,,KR"
GOOD = "1,2026-09-03 09:00,L-1,SA-1,2,test,2026-09-03 10:00,room 1,EI"


@pytest.fixture
def plant(tmp_path: Path) -> Plant:
    """A plant with a block lot, and an empty sheet of samples."""
    plant = Plant(tmp_path).ground().add("mould_runs", MOULD)
    plant.headers["samples"] = "at,lot,sample,pieces,fate,conditioning_from,kept_at,by"
    return plant


def test_a_sample_takes_pieces_of_its_lot_and_says_since_when_it_is_conditioned(
    plant: Plant,
) -> None:
    """The step balances; its facts keep the time as the record does."""
    intake = plant.add("samples", GOOD).read()
    assert [str(fault) for fault in intake.faults] == []
    (draft,) = (one for one in intake.drafts if one.key == "samples/1")
    assert isinstance(draft, StepDraft)
    (born,) = draft.new_lots
    mg = 2 * born.unit_mg

    assert draft.kind == "sample"
    assert draft.lines == (
        Line("L-1", -1, mg, 2, Evidence.COUNTED, "2 pieces"),
        Line("SA-1", 1, mg, 2, Evidence.COUNTED, "2 pieces", place="room 1"),
    )
    assert born == NewLot(
        "SA-1", Material.BLOCK, "sample", "FB6S", unit_mg=born.unit_mg, unit_source="that of L-1"
    )
    assert born.unit_mg > 1_500_000
    assert draft.facts["fate"] == "test"
    assert int(draft.facts["conditioning_from"]) == (draft.happened_at or 0) + 3_600_000


@pytest.mark.parametrize(
    ("row", "expected"),
    [
        (GOOD.replace("10:00", "07:59"), ["time_backwards"]),
        (GOOD.replace(",2,test", ",0,test"), ["not_positive"]),
        (GOOD.replace(",test,", ",burnt,"), ["choice_unknown"]),
        (GOOD.replace("L-1,", "B-1,"), ["wrong_kind"]),
        (GOOD.replace("L-1,", "L-9,"), ["unknown_lot"]),
    ],
)
def test_what_cannot_be_meant_is_a_bad_row(plant: Plant, row: str, expected: list[str]) -> None:
    """With the place of its cell."""
    assert codes(plant.add("samples", row).read()) == expected


def test_a_retained_piece_is_in_no_conditioning(plant: Plant) -> None:
    """Its time may be left out."""
    row = "1,2026-09-03 09:00,L-1,SA-2,1,retained,,shelf 3,EI"
    intake = plant.add("samples", row).read()
    (draft,) = (one for one in intake.drafts if one.key == "samples/1")

    assert [str(fault) for fault in intake.faults] == []
    assert isinstance(draft, StepDraft)
    assert "conditioning_from" not in draft.facts
