"""A correction restates the row it is about, with or without its old sheet at hand."""

from dataclasses import replace

import pytest

from beadwright.interop.sheets import Intake
from beadwright.interop.sheets.again import says_the_same
from beadwright.ledger.draft import (
    Correction,
    Draft,
    ReadingsDraft,
    Reversal,
    StepDraft,
    Void,
)
from tests.interop.plant import Plant, codes
from tests.interop.record import MemoryRecord

MOULD = "2026-09-02 07:00,2026-09-02 09:00,FP1,tool 4,FB6S,H1,C-1,L-1"
INSPECTED = "1,2026-09-02 09:30,L-1,9,1.5,press,3.19,1219.2,285.8,406.4"
BLOCK = 1_500_000 + 6 * 272_155


@pytest.fixture
def moulded(ground: Plant) -> Plant:
    """A mould run of 97 good blocks, three of them weighed."""
    ground.add("mould_runs", f"1,M-1,{MOULD},25,97,3,1.5,,W-1,,KR")
    ground.add("inspections", f"{INSPECTED},20,1,0,0,2,,,scale 3,KR")
    return ground


def correct(plant: Plant, *rows: str) -> Intake:
    """Add corrections, numbered from 1, and read all sheets."""
    plant.sheets["corrections"] = [
        f"{number},2026-09-03 1{number}:00,{row},typed wrong,EI"
        for number, row in enumerate(rows, 1)
    ]
    return plant.read()


def made(intake: Intake) -> list[Draft]:
    """What the corrections made, the last drafts of an intake."""
    assert not intake.faults, "\n".join(map(str, intake.faults))
    number = len([draft for draft in intake.drafts if not is_correction(draft)])
    return list(intake.drafts[number:])


def is_correction(draft: Draft) -> bool:
    """Whether a draft came of a correction."""
    if isinstance(draft, ReadingsDraft):
        return "correction" in draft.readings[0].facts
    return draft.key.startswith("corrections/")


def test_a_step_is_restated_with_the_field_replaced(moulded: Plant) -> None:
    """Everything that follows from the field follows again; key and time stay."""
    before = next(d for d in moulded.read().drafts if d.key == "mould_runs/1")
    (correction,) = made(correct(moulded, "mould_runs,1,good,79"))

    assert isinstance(correction, Correction)
    assert isinstance(before, StepDraft)
    assert (correction.key, correction.step) == ("corrections/1", "mould_runs/1")
    assert (correction.reason, correction.by) == ("typed wrong", "P-13")
    assert correction.restated.key == before.key
    assert correction.restated.lines[0].mg == 82 * 1_500_000
    assert correction.restated.lines[2].pieces == 79
    assert correction.restated.facts == {**before.facts, "good": "79"}
    assert correction.restated.by == before.by


def test_a_value_is_in_the_unit_of_its_own_sheet(moulded: Plant) -> None:
    """882.5 lb becomes 782.5 lb, without a unit typed; or in any unit typed behind it."""
    (one,) = made(correct(moulded, "bead_receipts,1,mass,782.5"))
    (other,) = made(correct(moulded, "bead_receipts,1,mass,354.936 kg"))

    assert isinstance(one, Correction)
    assert isinstance(other, Correction)
    assert one.restated.lines[0].mg == 354_936_030
    assert one.restated.lines[0].keyed == "782.5 lb"
    assert other.restated.lines[0].mg == 354_936_000


def test_a_field_may_be_named_by_its_heading(moulded: Plant) -> None:
    """People write what stands over the column."""
    moulded.headers["mould_runs"] = moulded.headers["mould_runs"].replace(",good,", ",gute Teile,")
    moulded.layouts["mould_runs"] = moulded.layout("mould_runs").replace("gute Teile = ", "good = ")
    (correction,) = made(correct(moulded, "mould_runs,1,gute Teile,79"))

    assert isinstance(correction, Correction)
    assert correction.restated.facts["good"] == "79"


def test_the_row_comes_from_the_record_when_its_sheet_is_gone(moulded: Plant) -> None:
    """The restated step is the same to the last fact."""
    whole = correct(moulded, "mould_runs,1,good,79", "expansion_runs,1,mass,370")
    record = MemoryRecord(without_corrections(whole), whole.people)
    alone = moulded.read(record, only=["corrections"])

    assert not alone.faults
    assert list(alone.drafts) == made(whole)


def test_a_later_correction_stands_on_the_earlier_one(moulded: Plant) -> None:
    """In one intake; and over several, whatever is imported again."""
    both = correct(moulded, "mould_runs,1,good,79", "mould_runs,1,scrap,5")
    first, second = made(both)

    assert isinstance(first, Correction)
    assert isinstance(second, Correction)
    assert second.restated.facts["good"] == "79"
    assert second.restated.facts["scrap"] == "5"

    only_first = MemoryRecord([*without_corrections(both), first], both.people)
    assert list(moulded.read(only_first, only=["corrections"]).drafts) == [first, second]
    all_known = MemoryRecord(both.drafts, both.people)
    assert list(moulded.read(all_known, only=["corrections"]).drafts) == [first, second]
    assert moulded.read(all_known).drafts == both.drafts


def test_a_correction_elsewhere_is_not_lost(moulded: Plant) -> None:
    """What the record was corrected to meanwhile is what a new correction starts from."""
    whole = correct(moulded, "mould_runs,1,good,79")
    record = MemoryRecord(whole.drafts, whole.people)
    moulded.sheets["corrections"] = ["7,2026-09-04 10:00,mould_runs,1,cause,cold mould,asked,EI"]
    (correction,) = made(moulded.read(record))

    assert isinstance(correction, Correction)
    assert correction.restated.facts["good"] == "79"
    assert correction.restated.facts["cause"] == "cold mould"


def test_readings_are_voided_and_taken_anew(moulded: Plant) -> None:
    """The old ones stay in the record; the new ones say which correction made them."""
    void, anew = made(correct(moulded, "inspections,1,mass,3.25"))

    assert void == Void(
        "corrections/1/void",
        void.happened_at,  # type: ignore[arg-type]
        "inspections/1/readings",
        "typed wrong",
        "P-13",
    )
    assert isinstance(anew, ReadingsDraft)
    assert anew.key == "inspections/1/readings/2"
    assert anew.readings[0].value == "3.25"
    assert anew.readings[0].facts["correction"] == "corrections/1"
    assert len(anew.readings) == 9


def test_readings_are_restated_twice_and_again(moulded: Plant) -> None:
    """Each correction voids the version before it; imported again, nothing moves."""
    both = correct(moulded, "inspections,1,mass,3.25", "inspections,1,age,2")
    drafts = made(both)
    voids = [draft.readings for draft in drafts if isinstance(draft, Void)]
    assert voids == ["inspections/1/readings", "inspections/1/readings/2"]
    last = drafts[-1]
    assert isinstance(last, ReadingsDraft)
    assert (last.readings[0].value, last.readings[0].facts["age_h"]) == ("3.25", "2")

    record = MemoryRecord(without_corrections(both), both.people)
    assert list(moulded.read(record, only=["corrections"]).drafts) == drafts
    for draft in drafts:
        record.post(draft)
        assert list(moulded.read(record, only=["corrections"]).drafts) == drafts


def test_a_cup_is_corrected_like_any_reading(ground: Plant) -> None:
    """Its place, run, silo and volume come back from the readings themselves."""
    ground.add("cups", "1,2026-09-01 11:00,E-1,S1,hot,241.4,10,scale 2,DS")
    whole = correct(ground, "cups,1,mass,214.4")
    record = MemoryRecord(without_corrections(whole), whole.people)
    _, anew = made(whole)

    assert isinstance(anew, ReadingsDraft)
    assert (anew.readings[0].value, anew.readings[0].step) == ("214.4", "expansion_runs/1")
    assert list(ground.read(record, only=["corrections"]).drafts) == made(whole)


def test_a_rejection_forgotten_is_a_new_step(moulded: Plant) -> None:
    """The readings of the row stay as they are."""
    intake = correct(moulded, "inspections,1,scrap_bin,W-1", "inspections,1,rejected,2")
    step = next(draft for draft in intake.drafts if draft.key == "inspections/1")

    assert codes(intake) == ["correction_unclear"]
    assert isinstance(step, StepDraft)
    assert step.lines[0].pieces == 2


def test_a_rejection_that_was_none_is_reversed(moulded: Plant) -> None:
    """Nothing is left of it to restate."""
    moulded.sheets["inspections"] = [f"{INSPECTED},20,1,0,0,2,2,W-1,scale 3,KR"]
    (reversal,) = made(correct(moulded, "inspections,1,rejected,"))

    assert isinstance(reversal, Reversal)
    assert reversal.step == "inspections/1"


def test_a_lot_code_typed_wrong_is_set_right(moulded: Plant) -> None:
    """The right lot is brought in; the wrong one stays, for rows that named it."""
    moulded.add("bundles", "1,2026-09-03 08:00,U-1,L-2,20,KR")
    intake = correct(moulded, "mould_runs,1,lot,L-2")
    correction = next(draft for draft in intake.drafts if isinstance(draft, Correction))
    keys = [draft.key for draft in intake.drafts]

    assert not intake.faults
    assert {lot.code for lot in correction.restated.new_lots} == {"L-1", "L-2", "W-1"}
    assert keys.index("bundles/1") > keys.index("corrections/1")


@pytest.mark.parametrize(
    "row",
    [
        "mould_run,1,good,79",
        "mould_runs,9,good,79",
        "mould_runs,1,weight,79",
        "mould_runs,1,good,",
        "mould_runs,1,good,many",
        "mould_runs,1,good,97",
        "corrections,1,value,97",
    ],
)
def test_a_correction_that_is_not_clear_is_a_bad_row(moulded: Plant, row: str) -> None:
    """No such sheet, row or field; no value, or the one that stands there already."""
    intake = correct(moulded, row)

    assert codes(intake) == ["correction_unclear"]
    assert intake.faults[0].where.startswith("corrections.csv, row 2")


def test_what_a_correction_makes_is_checked_like_any_row(moulded: Plant) -> None:
    """The fault stands in the corrections' sheet."""
    intake = correct(moulded, "expansion_runs,1,loss,400", "mould_runs,1,ended,2026-09-02 06:00")

    assert codes(intake) == ["loss_too_large", "time_backwards"]
    assert intake.faults[0].where == 'corrections.csv, row 2, "loss [kg]"'


def test_two_layouts_that_read_a_value_differently_are_not_guessed_between(
    moulded: Plant,
) -> None:
    """A point parts thousands in one sheet and is the decimal sign of the other."""
    moulded.layouts["corrections"] = moulded.layout("corrections").replace(
        'decimal = "."', 'decimal = ","\nthousands = "."'
    )
    intake = correct(moulded, "bead_receipts,1,mass,1.234")

    assert codes(intake) == ["correction_unclear"]


@pytest.mark.parametrize(
    ("by", "row", "found"),
    [
        ("EI", "mould_runs,1,good,79", []),
        ("KR", "mould_runs,1,good,79", ["not_allowed"]),
        ("KR", "inspections,1,mass,3.2", ["not_allowed"]),
    ],
)
def test_a_correction_is_signed_by_whoever_may_correct(
    moulded: Plant, by: str, row: str, found: list[str]
) -> None:
    """An operator's is a fault of the row, by the roles that stand under [people]."""
    moulded.sheets["corrections"] = [f"1,2026-09-03 11:00,{row},typed wrong,{by}"]

    intake = moulded.read()

    assert codes(intake) == found
    assert all(fault.where.startswith('corrections.csv, row 2, "by') for fault in intake.faults)


def test_who_has_no_role_yet_corrects_as_history(moulded: Plant) -> None:
    """People known by the record, of whom nobody said what they are."""
    moulded.sheets["corrections"] = ["1,2026-09-03 11:00,mould_runs,1,good,79,typed wrong,KR"]
    whole = moulded.read()
    assert whole.faults
    del moulded.sheets["corrections"]
    plain = moulded.read()
    moulded.sheets["corrections"] = ["1,2026-09-03 11:00,mould_runs,1,good,79,typed wrong,KR"]
    record = MemoryRecord([d for d in plain.drafts if "/role/" not in d.key], plain.people)

    assert codes(moulded.read(record, only=["corrections"])) == []


def without_corrections(intake: Intake) -> list[Draft]:
    """The drafts as they were before anybody corrected anything."""
    return [draft for draft in intake.drafts if not is_correction(draft)]


def test_the_record_in_memory_keeps_versions(moulded: Plant) -> None:
    """The stand-in of a store answers as the protocol says, or these tests mean nothing."""
    whole = correct(moulded, "mould_runs,1,good,79")
    record = MemoryRecord(whole.drafts, whole.people)
    before = record.step("mould_runs/1", before="corrections/1")
    now = record.step("mould_runs/1")

    assert before is not None
    assert now is not None
    assert (before.facts["good"], now.facts["good"]) == ("97", "79")
    assert record.step("mould_runs/1", before="corrections/2") is None
    assert replace(now, facts={}) != replace(before, facts={})


def test_what_was_made_of_a_lot_weighs_what_the_lot_was_corrected_to(moulded: Plant) -> None:
    """A bundle of blocks whose foam was typed ten times too heavy weighs what it weighs."""
    moulded.sheets["mould_runs"] = [f"1,M-1,{MOULD},25,97,3,15,,W-1,,KR"]
    moulded.add("bundles", "1,2026-09-03 08:00,U-1,L-1,20,KR")
    intake = correct(moulded, "mould_runs,1,foam_per_block,1.5")
    bundle = next(draft for draft in intake.drafts if draft.key == "bundles/1")

    assert isinstance(bundle, StepDraft)
    assert bundle.lines[0].mg == 20 * BLOCK
    assert bundle.new_lots[0].unit_mg == BLOCK


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ("foam_per_block", "mould_runs,1,foam_per_block,1.5"),
        ("unit_mass", "tie_receipts,1,unit_mass,0.6"),
    ],
)
def test_what_follows_in_two_steps_weighs_what_the_lot_was_corrected_to(
    moulded: Plant, wrong: str, said: str
) -> None:
    """A shipment of bundles of such blocks, and bundles of blocks with such ties."""
    if wrong == "foam_per_block":
        moulded.sheets["mould_runs"] = [f"1,M-1,{MOULD},25,97,3,15,,W-1,,KR"]
    else:
        carton = moulded.sheets["tie_receipts"][0]
        moulded.sheets["tie_receipts"] = [carton.replace(",0.6,", ",6,")]
    moulded.add("bundles", "1,2026-09-03 08:00,U-1,L-1,20,KR", "2,2026-09-03 08:05,U-2,L-1,20,KR")
    moulded.add(
        "shipments",
        "1,2026-09-03 09:00,SH-1,Yard 4,U-1,20,KR",
        "2,2026-09-03 09:10,SH-1,Yard 4,U-2,20,KR",
        "3,2026-09-03 09:20,SH-2,Yard 4,L-1,5,KR",
    )
    intake = correct(moulded, said)
    steps = {draft.key: draft for draft in intake.drafts if isinstance(draft, StepDraft)}

    assert not intake.faults
    for key in ("bundles/1", "bundles/2", "shipments/1", "shipments/2"):
        assert [line.mg for line in steps[key].lines] == [20 * BLOCK, 20 * BLOCK], key
    assert [line.mg for line in steps["shipments/3"].lines] == [5 * BLOCK, 5 * BLOCK]
    assert {lot.code: lot.unit_mg for lot in steps["shipments/1"].new_lots} == {"SH-1": BLOCK}


def test_a_bundle_posted_before_the_correction_says_the_same(moulded: Plant) -> None:
    """Its masses follow from the lot; its row has not changed."""
    moulded.sheets["mould_runs"] = [f"1,M-1,{MOULD},25,97,3,1.6,,W-1,,KR"]
    moulded.add("bundles", "1,2026-09-03 08:00,U-1,L-1,20,KR")
    first = moulded.read()
    again = correct(moulded, "mould_runs,1,foam_per_block,1.5")
    posted = {draft.key: draft for draft in first.drafts}
    known = [draft for draft in again.drafts if draft.key in posted]

    assert any(draft != posted[draft.key] for draft in known)
    assert all(says_the_same(draft, posted[draft.key]) for draft in known)

    moulded.sheets["bundles"] = ["1,2026-09-03 08:00,U-1,L-1,21,KR"]
    changed = next(draft for draft in moulded.read().drafts if draft.key == "bundles/1")
    assert not says_the_same(changed, posted["bundles/1"])


def test_corrections_say_the_same_by_what_was_keyed(moulded: Plant) -> None:
    """Another value, reason or time is another correction."""
    (first,) = made(correct(moulded, "mould_runs,1,good,79"))
    (other,) = made(correct(moulded, "mould_runs,1,good,78"))
    assert isinstance(first, Correction)

    assert says_the_same(first, replace(first, restated=replace(first.restated, lines=())))
    assert not says_the_same(first, other)
    assert not says_the_same(first, replace(first, reason="typed twice"))
    assert not says_the_same(first, None)
