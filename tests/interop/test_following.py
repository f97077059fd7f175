"""What was recorded of a lot's pieces follows when a correction says that they weigh otherwise."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import replace

import pytest

from beadwright.interop import importing
from beadwright.interop.importing import import_files
from beadwright.interop.sheets import Intake
from beadwright.ledger import lots, rebuild
from beadwright.ledger.account import account
from beadwright.ledger.draft import Correction, StepDraft
from tests.interop.plant import Plant
from tests.interop.record import MemoryRecord

RUN = "M-1,2026-09-02 07:00,2026-09-02 09:00,FP1,tool 4,FB6S,H1,C-1,L-1,25,97,3"
FOAM, TIES = 1_500_000, 6 * 272_155
BLOCK = FOAM + TIES


@pytest.fixture
def packed(ground: Plant) -> Plant:
    """A run with its foam typed ten times too heavy; of it two bundles, a shipment, a reject."""
    ground.add("mould_runs", f"1,{RUN},15,,W-1,,KR")
    ground.add(
        "bundles",
        "1,2026-09-03 08:00,U-1,L-1,20,KR",
        "2,2026-09-03 08:05,U-2,L-1,20,KR",
    )
    ground.add("shipments", "1,2026-09-03 09:00,SH-1,Yard 4,U-1,20,KR")
    ground.add("inspections", "1,2026-09-02 09:30,L-1,9,1.5,press,,,,,20,1,0,0,2,1,W-1,scale 3,KR")
    return ground


def recorded(plant: Plant) -> MemoryRecord:
    """A record of all that the sheets say by now."""
    intake = plant.read(keep=frozenset({"mould_runs.csv:2:foam_per_block"}))
    assert not intake.faults, "\n".join(map(str, intake.faults))
    return MemoryRecord(intake.drafts, intake.people)


def corrected(plant: Plant, row: str = "mould_runs,1,foam_per_block,1.5") -> None:
    """Add a correction, numbered on."""
    number = len(plant.sheets.get("corrections", ())) + 1
    plant.add("corrections", f"{number},2026-09-04 1{number}:00,{row},typed wrong,EI")


def restated(intake: Intake) -> dict[str, Correction]:
    """Corrections of an intake by the step that they restate, the last for each."""
    assert not intake.faults, "\n".join(map(str, intake.faults))
    return {draft.step: draft for draft in intake.drafts if isinstance(draft, Correction)}


def masses(step: StepDraft) -> list[int]:
    """Masses of a step's lines."""
    return [line.mg for line in step.lines]


@pytest.mark.parametrize("only", [["corrections"], []], ids=["alone", "with all sheets"])
def test_what_was_made_of_a_corrected_lot_is_restated(packed: Plant, only: list[str]) -> None:
    """Bundles, the shipment of one, the rejected block: each by a correction that says why."""
    record = recorded(packed)
    corrected(packed)
    found = restated(packed.read(record, only=only))

    assert list(found) == ["mould_runs/1", "inspections/1", "bundles/1", "bundles/2", "shipments/1"]
    for key in ("bundles/1", "bundles/2", "shipments/1"):
        assert masses(found[key].restated) == [20 * BLOCK, 20 * BLOCK]
        assert found[key].restated.new_lots[0].unit_mg == BLOCK
    assert masses(found["inspections/1"].restated) == [BLOCK, BLOCK]
    bundle = found["bundles/1"]
    assert (bundle.key, bundle.by) == ("corrections/1/bundles/1", "P-13")
    assert bundle.reason == "follows corrections/1: typed wrong"
    assert bundle.restated.facts == record.steps["bundles/1"][0][1].facts


def test_what_has_followed_follows_once(packed: Plant) -> None:
    """Imported again, alone or with all sheets, nothing is restated a second time."""
    record = recorded(packed)
    corrected(packed)
    for draft in packed.read(record).drafts:
        record.post(draft)

    for only in (["corrections"], []):
        assert list(restated(packed.read(record, only=only))) == ["mould_runs/1"]


def test_a_tie_that_weighs_otherwise_goes_through_to_the_shipment(packed: Plant) -> None:
    """The carton's ties, the run that used them, its blocks, their bundles, what was shipped."""
    packed.sheets["mould_runs"] = [f"1,{RUN},1.5,,W-1,,KR"]
    record = recorded(packed)
    corrected(packed, "tie_receipts,1,unit_mass,0.5")
    found = restated(packed.read(record, only=["corrections"]))
    unit = FOAM + 6 * 226_796

    assert set(found) == {
        "tie_receipts/1", "mould_runs/1", "inspections/1", "bundles/1", "bundles/2", "shipments/1",
    }  # fmt: skip
    assert masses(found["mould_runs/1"].restated)[2] == 97 * unit
    assert masses(found["shipments/1"].restated) == [20 * unit, 20 * unit]


def test_corrections_one_after_the_other_are_each_followed(packed: Plant) -> None:
    """Over several imports, each under a key of its own; the last one stands."""
    record = recorded(packed)
    keys = []
    for value in ("1.6", "1.5"):
        corrected(packed, f"mould_runs,1,foam_per_block,{value}")
        intake = packed.read(record)
        for draft in intake.drafts:
            record.post(draft)
        keys.append(restated(intake)["bundles/1"].key)

    assert keys == ["corrections/1/bundles/1", "corrections/2/bundles/1"]
    newest = record.step("shipments/1")
    assert newest is not None
    assert masses(newest) == [20 * BLOCK, 20 * BLOCK]


def test_a_row_typed_later_weighs_by_what_was_corrected(packed: Plant) -> None:
    """The run's sheet comes again as it was typed first, without the corrections."""
    record = recorded(packed)
    corrected(packed)
    for draft in packed.read(record).drafts:
        record.post(draft)
    packed.add("bundles", "3,2026-09-03 08:10,U-3,L-1,20,KR")
    packed.add("shipments", "2,2026-09-03 09:10,SH-2,Yard 4,U-3,20,KR")

    again = packed.read(record, only=["mould_runs", "bundles", "shipments"])

    steps = {draft.key: draft for draft in again.drafts if isinstance(draft, StepDraft)}
    for key in ("bundles/3", "shipments/2"):
        assert masses(steps[key]) == [20 * BLOCK, 20 * BLOCK]


def test_a_step_that_rests_on_more_than_masses_is_left_to_a_person(packed: Plant) -> None:
    """Since the run was recorded the product has five ties: pieces are not restated in passing."""
    packed.sheets["mould_runs"] = [f"1,{RUN},1.5,,W-1,,KR"]
    record = recorded(packed)
    packed.settings = packed.settings.replace("ties = 6", "ties = 5").replace(
        "since = 2026-09-01", "since = 2026-09-02"
    )
    for draft in packed.read(record).drafts:
        record.post(draft)
    corrected(packed, "tie_receipts,1,unit_mass,0.5")

    assert list(restated(packed.read(record, only=["corrections"]))) == ["tie_receipts/1"]


def test_a_step_of_no_sheet_is_left_alone(packed: Plant) -> None:
    """It was posted by another door, which knows its masses."""
    record = recorded(packed)
    bundle = record.steps.pop("bundles/1")[0][1]
    record.post(replace(bundle, key="tablet/7"))
    corrected(packed)

    found = restated(packed.read(record, only=["corrections"]))

    assert "tablet/7" not in found
    assert "bundles/2" in found


@pytest.mark.django_db
def test_the_books_of_the_lot_balance_after_the_correction(packed: Plant) -> None:
    """Through the door: 97 blocks were made, 20 shipped, one rejected; nothing is unaccounted."""
    folder = packed.write()
    keep = frozenset({"mould_runs.csv:2:foam_per_block"})
    import_files([folder], keep=keep)
    corrected(packed)
    packed.write()
    report = import_files([folder / "corrections.csv"])

    no = lots.plant_number("LARKHOLLOW")
    told = account(no, "L-1")
    bundle = lots.get(no, "U-2")
    assert (report.posted, report.nonconformities) == (5, 0)
    assert bundle is not None
    assert (bundle.mg, bundle.unit_mg) == (20 * BLOCK, BLOCK)
    assert (told.made, told.shipped, told.scrapped) == (97 * BLOCK, 20 * BLOCK, BLOCK)
    assert told.unaccounted == 0
    assert rebuild.broken("LARKHOLLOW") == []
    assert import_files([folder], keep=keep).posted == 0


@pytest.mark.django_db
@pytest.mark.parametrize("stop", range(1, 8))
def test_an_import_cut_off_leaves_no_correction_without_what_follows(
    packed: Plant, stop: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Stopped after any batch and begun again, it ends as if it had never stopped."""
    monkeypatch.setattr(importing, "_BATCH", 1)
    keep = frozenset({"mould_runs.csv:2:foam_per_block"})
    folder = packed.write()
    import_files([folder], keep=keep)
    corrected(packed)
    packed.add("bundles", *(f"{n},2026-09-03 10:0{n},U-{n},L-1,1,KR" for n in range(3, 9)))
    packed.write()

    def stopped(done: int, of: int) -> None:
        if done >= stop and done < of:
            raise KeyboardInterrupt

    with suppress(KeyboardInterrupt):
        import_files([folder], keep=keep, progress=stopped)
    import_files([folder], keep=keep)

    no = lots.plant_number("LARKHOLLOW")
    told = account(no, "L-1")
    assert (told.made, told.in_stock) == (97 * BLOCK, 76 * BLOCK)
    assert told.unaccounted == 0
    assert import_files([folder], keep=keep).posted == 0
