"""The same files again give the same drafts, whatever else is imported with them."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from beadwright.interop.sheets import EmptyRecord, Intake, read
from beadwright.interop.sheets.kinds import FIELDS
from beadwright.ledger.draft import Draft, StepDraft
from tests.interop.plant import Plant
from tests.interop.record import MemoryRecord
from tests.interop.test_two_hands import SHEETS, typed

KINDS = [kind for kind in FIELDS if (SHEETS / "american" / f"{kind}.csv").exists()]
"""In the order in which their lots build on each other."""


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A shift's sheets."""
    return typed(tmp_path_factory.mktemp("shift") / "sheets", "american")


@pytest.fixture(scope="module")
def whole(folder: Path) -> Intake:
    """All of them at once, into an empty record."""
    return read([folder], EmptyRecord())


@settings(max_examples=40)
@given(parts=st.lists(st.sets(st.sampled_from(KINDS), min_size=1), max_size=4))
def test_any_part_again_gives_the_drafts_it_gave(
    parts: list[set[str]], folder: Path, whole: Intake
) -> None:
    """Onto a record that has them all: each sheet alone, or with any others."""
    record = MemoryRecord(whole.drafts, whole.people)
    before = {draft.key: draft for draft in whole.drafts}
    for kinds in parts:
        intake = read([folder / f"{kind}.csv" for kind in sorted(kinds)], record)

        assert not intake.faults
        assert all(before[draft.key] == draft for draft in intake.drafts)


def test_sheets_one_after_the_other_give_the_same_drafts(folder: Path, whole: Intake) -> None:
    """In the order of the plant; settings first, corrections last."""
    record = MemoryRecord()
    drafts: list[Draft] = []
    for name in ["plant.toml", *(f"{kind}.csv" for kind in KINDS)]:
        intake = read([folder / name], record)
        assert not intake.faults
        for draft in intake.drafts:
            record.post(draft)
        record.people |= {person.initials: person.id for person in intake.people}
        drafts += intake.drafts

    assert {draft.key: draft for draft in drafts} == {draft.key: draft for draft in whole.drafts}


def test_a_row_found_later_does_not_take_a_lot_from_the_one_that_brought_it(ground: Plant) -> None:
    """An earlier row of the same run, typed a day late, is a late entry and nothing else."""
    made = "2026-09-02 09:00,FP1,tool 4,FB6S,H1,C-1,L-1,9,40,0,1.5,,,,KR"
    ground.add("mould_runs", f"1,M-1,2026-09-02 08:00,{made}")
    first = ground.read()
    ground.add("mould_runs", f"2,M-1,2026-09-02 07:00,{made}")
    later = ground.read(MemoryRecord(first.drafts, first.people))
    steps = {draft.key: draft for draft in later.drafts if isinstance(draft, StepDraft)}

    assert not later.faults
    assert [draft for draft in later.drafts if draft.key in {d.key for d in first.drafts}] == list(
        first.drafts
    )
    assert [lot.code for lot in steps["mould_runs/1"].new_lots] == ["L-1"]
    assert steps["mould_runs/2"].new_lots == ()


def test_a_code_received_before_is_refused(ground: Plant) -> None:
    """In this intake or any earlier one."""
    first = ground.read()
    row = ground.sheets["bead_receipts"][0]
    ground.sheets["bead_receipts"] = [row.replace("1,", "2,", 1)]
    faults = ground.read(MemoryRecord(first.drafts, first.people)).faults

    assert [fault.code for fault in faults] == ["lot_repeated"]


def test_settings_of_the_record_serve_the_sheets(ground: Plant) -> None:
    """A folder without plant.toml reads against what the record holds; the newest day counts."""
    first = ground.read()
    record = MemoryRecord(first.drafts, first.people)
    ground.settings = ground.settings.replace("2026-09-01", "2026-09-02").replace(
        "ties = 6", "ties = 5"
    )
    ground.add(
        "mould_runs",
        "1,M-1,2026-09-02 07:00,2026-09-02 09:00,FP1,tool 4,FB6S,H1,C-1,L-1,9,10,0,1.5,,,,KR",
    )
    assert ground.read(record, only=["mould_runs"]).drafts[0].lines[1].pieces == 60  # type: ignore[union-attr]

    newer = ground.read(record)
    step = next(draft for draft in newer.drafts if draft.key == "mould_runs/1")
    assert not newer.faults
    assert isinstance(step, StepDraft)
    assert step.lines[1].pieces == 50
