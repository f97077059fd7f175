"""What was said can be followed: an entry to its source, a lot to everything said of it."""

from dataclasses import replace

import pytest

from beadwright.errors import Misuse
from beadwright.ledger.draft import Correction, Decision, Line, ReadingsDraft, Reversal
from beadwright.plant.history import EntryView, Follower, entry, history, views
from beadwright.plant.opening import Plant, open_plant
from beadwright.plant.restated import Change
from beadwright.plant.said_words import sentence
from tests.plant import restating
from tests.plant.asking import the_lot
from tests.plant.yard import Yard, ms

pytestmark = pytest.mark.django_db


@pytest.fixture
def yard() -> Yard:
    """A plant with a block lot."""
    yard = Yard.open()
    yard.limit("DENSITY", "density", "min", "21.6 kg/m3")
    yard.block_lot("L1")
    return yard


def key_of(yard: Yard, kind: str) -> str:
    """Client key of the newest step of a kind."""
    return [key for key, step in yard.steps.items() if step.kind == kind][-1]


def told(yard: Yard, lot: str = "L1") -> dict[str, EntryView]:
    """A lot's history by client key."""
    del yard
    return {one.entered.draft.key: one for one, _ in history(open_plant(), lot).lines}


def less(yard: Yard, key: str) -> tuple[Line, ...]:
    """Lines of a step with one piece fewer of the first counted lot."""
    return tuple(
        replace(line, pieces=line.pieces - 1) if line.pieces else line
        for line in yard.steps[key].lines
    )


def test_an_entry_is_found_by_number_and_by_key(yard: Yard) -> None:
    """Both give the same, with its hash; what is not there is said with the last number."""
    key = key_of(yard, "mould")
    plant = open_plant()
    by_key = entry(plant, key)

    assert entry(plant, str(by_key.entered.seq)) == by_key
    assert (by_key.entered.account, by_key.entered.kind, by_key.stands) == ("install", "step", True)
    assert len(by_key.entered.hash) == len(by_key.entered.prev) == 64
    for wrong in ("0", str(plant.head[0] + 1), "mould/99", "", "¹", "9" * 30):
        with pytest.raises(Misuse, match=f"1 to {plant.head[0]}"):
            entry(plant, wrong)


def test_both_versions_of_a_corrected_step_stay(yard: Yard) -> None:
    """The first says which entry restated it; the second, field by field, what it was before."""
    key = key_of(yard, "mould")
    yard.correct(key, facts={"shots": "41"}, by="P-14")
    yard.correct(key, facts={"shots": "42"}, at=82)
    first, second, third = [view for view in told(yard).values() if view.entered.kind in
                            {"correct", "step"}]  # fmt: skip

    assert first.followers == (Follower(second.entered.seq, "restated"),)
    assert second.followers == (Follower(third.entered.seq, "restated"),)
    assert (first.stands, second.stands, third.stands) == (False, False, True)
    assert second.about == third.about == first.entered.seq
    assert second.changes == (Change("by", "", "P-14"), Change("shots", "", "41"))
    assert third.changes == (Change("shots", "41", "42"),)


def test_a_step_that_a_correction_took_from_the_lot_is_still_told(yard: Yard) -> None:
    """The lot it was first said to have moved keeps both in its history."""
    yard.carton("T-2")
    key = key_of(yard, "mould")
    yard.draw_ties_of(key, "T-2", 0.27)
    old, new = told(yard, "T-1"), told(yard, "T-2")

    assert key in old
    assert not old[key].stands
    (correction,) = [view for view in old.values() if view.entered.kind == "correct"]
    assert {one.field for one in correction.changes} == {"in T-1", "in T-2"}
    assert correction.entered.draft.key in new


def test_a_void_and_a_reversal_are_told_with_what_they_took_back(yard: Yard) -> None:
    """The readings stay, marked."""
    read = yard.weigh("L1", "24h", [3.13])
    yard.void(read)
    yard.bundle("BN-1", "L1", 10)
    bundled = key_of(yard, "bundle")
    yard.post(Reversal("undo", bundled, "twice", ms(82)))
    found = told(yard)

    assert [one.did for one in found[read].followers] == ["voided"]
    assert [one.did for one in found[bundled].followers] == ["reversed"]
    assert found["undo"].about == found[bundled].entered.seq
    assert not found[read].stands


def test_holds_above_concessions_releases_and_files_are_told(yard: Yard) -> None:
    """A hold on the silo, its lift, a release, a certificate, a nonconformity file."""
    yard.weigh("L1", "24h", [3.13, 3.13, 3.14])
    yard.release("L1", the_lot(yard).evidence)
    yard.hold("H-1", "S1")
    yard.hold("H-2", "B-1")
    yard.lift("H-1", "S1", "L1")
    paper = {"lot": "L1", "content": "{}", "sha256": "a" * 64, "set_by": "T 1"}
    yard.post(Decision("c", ms(81), "certificate", "C-1", paper, by="P-13"))
    body = {
        "title": "smell",
        "origin": "found",
        "items": [{"lot": "L1", "pieces": 3}],
    }
    yard.post(Decision("n", ms(81), "nc_open", "NC-1", body, by="P-13"))
    yard.post(Decision("m", ms(82), "nc_note", "NC-1", {"text": "aired"}, by="P-13"))
    lines = history(open_plant(), "L1").lines
    kinds = [(one.entered.kind, why) for one, why in lines]

    assert ("release", "names") in kinds
    assert [why for kind, why in kinds if kind == "hold"] == ["reaches", "reaches"]
    assert ("lift", "names") in kinds
    assert [one.entered.draft.key for one, _ in lines if one.entered.kind == "decision"] == [
        "c", "n", "m",
    ]  # fmt: skip


def test_a_report_that_covers_the_lot_is_told(yard: Yard) -> None:
    """By the plan's row that asks for it."""
    yard.set("plan", "FIRE", product="*", characteristic="flame spread", evidence="type_test")
    body = {"laboratory": "N", "products": ["FB6"], "result": "pass",
            "characteristic": "flame spread", "sampled": "2026-08-01"}  # fmt: skip
    yard.post(Decision("r", ms(1), "report", "R-1", body))

    assert [why for one, why in history(open_plant(), "L1").lines
            if one.entered.draft.key == "r"] == ["covers"]  # fmt: skip


def test_a_history_is_ordered_by_happening_and_names_no_other_lot(yard: Yard) -> None:
    """A late entry takes its place; what is said of another lot is left out."""
    yard.mould("L2", at=22)
    yard.weigh("L2", "24h", [3.13])
    late = yard.weigh("L1", "press", [3.2], at=20.5)
    lines = history(open_plant(), "L1").lines
    times = [one.entered.draft.happened_at or 0 for one, _ in lines]

    assert times == sorted(times)
    assert [one.entered.draft.key for one, _ in lines] == [key_of_first(yard), late]


def key_of_first(yard: Yard) -> str:
    """Client key of the first mould run."""
    return next(key for key, step in yard.steps.items() if step.kind == "mould")


def test_where_it_came_from_is_read_from_account_and_key(yard: Yard) -> None:
    """A row of an imported sheet, or keyed here."""
    here = entry(open_plant(), key_of(yard, "mould"))
    brought = replace(yard, who=replace(yard.who, account="import:ab12"))
    brought._count = 100
    brought.bag("B-7")
    there = entry(open_plant(), key_of(yard, "receipt"))

    assert (here.source.imported, here.source.sheet) == ("", "")
    assert (there.source.imported, there.source.sheet, there.source.row) == (
        "ab12", "receipt", "101",
    )  # fmt: skip


def test_a_plant_is_not_told_of_another(yard: Yard) -> None:
    """Entries of the same lot code in a second plant are no part of it."""
    other = Yard.open("P2")
    other.block_lot("L1")
    plant: Plant = open_plant("P1")

    assert {one.entered.seq for one, _ in history(plant, "L1").lines} <= set(
        range(1, plant.head[0] + 1)
    )
    assert len(history(plant, "L1").lines) == 1
    del yard


def test_a_restated_reading_its_void_and_the_old_one_say_each_other() -> None:
    """Field by field before and after, whichever of the entries is asked for."""
    yard = Yard.open()
    yard.block_lot("L1")
    key = restating.read_by(yard, "inspections/1/readings", restating.weighed("3.02"))
    later = restating.restate(yard, key, restating.weighed("3.45"))
    plant = open_plant()
    old, void, new = (entry(plant, one) for one in (key, "corrections/60/void", later))
    change = (Change("block mass 24h", "3.02 kg", "3.45 kg"),)

    assert (void.changes, new.changes) == (change, change)
    assert void.about == new.about == old.entered.seq
    assert old.followers == (
        Follower(void.entered.seq, "voided"), Follower(new.entered.seq, "restated"),
    )  # fmt: skip
    assert (old.stands, new.stands) == (False, True)
    assert new.restated == void.restated is not None
    assert old.restated is None
    assert (void.together, new.together) == ((new.entered.seq,), (void.entered.seq,))
    assert entry(plant, "corrections/60") == void
    assert views(plant, [void.entered.seq]) == {void.entered.seq: void}


def test_a_correction_of_step_and_readings_names_all_its_entries() -> None:
    """The step by the correction's key; the void and the readings beside it."""
    yard = Yard.open()
    yard.block_lot("L1")
    key = restating.read_by(yard, "inspections/1/readings", restating.weighed("3.02"))
    mould = key_of(yard, "mould")
    step = replace(yard.steps[mould], facts={"shots": "41"})
    yard.post(Correction("corrections/60", mould, step, "mistyped", ms(62)))
    later = restating.restate(yard, key, restating.weighed("3.45"))
    plant = open_plant()
    found = entry(plant, "corrections/60")

    assert found.entered.kind == "correct"
    assert found.together == (
        entry(plant, "corrections/60/void").entered.seq, entry(plant, later).entered.seq,
    )  # fmt: skip


def test_a_correction_that_only_added_readings_is_found_by_its_key() -> None:
    """There is no void and no step of that key; no pattern of another finds it."""
    yard = Yard.open()
    yard.block_lot("L1")
    (one,) = restating.weighed("3.45")
    marked = replace(one, facts={**one.facts, "correction": "corrections/9"})
    yard.post(ReadingsDraft("inspections/9/readings", ms(60), (marked,)))
    plant = open_plant()

    assert entry(plant, "corrections/9").entered.draft.key == "inspections/9/readings"
    for wrong in ("corrections/_", "%", "corrections/99"):
        with pytest.raises(Misuse):
            entry(plant, wrong)


def test_a_step_that_moves_nothing_states_no_mass(yard: Yard) -> None:
    """A first piece is judged, and no stock of nothing is stated; a weighing states what it was."""
    yard.step("first_piece", 62, [Line("L1", 0, 0)])
    yard.step("weigh", 63, [Line("L1", 0, 0)])
    said = [sentence(view, "L1", "si") for view in told(yard).values()][-2:]

    assert "stated" not in said[0]
    assert "stated 0.000 kg" in said[1]
