"""Readings that were restated say so: which they replace, by whom, entered when, and why."""

from dataclasses import replace

import pytest

from beadwright.ledger.draft import ReadingsDraft
from beadwright.plant.opening import open_plant, rebuild_plant
from beadwright.plant.restated import Change
from beadwright.plant.restatements import Restatement, of_readings, sentences
from beadwright.quality import readings
from tests.plant.restating import REASON, read_by, restate, taken_out, weighed
from tests.plant.yard import Yard, ms

pytestmark = pytest.mark.django_db

ROW = "inspections/152/readings"


@pytest.fixture
def yard() -> Yard:
    """A plant with two block lots, one of them weighed."""
    yard = Yard.open()
    yard.block_lot("L1")
    yard.block_lot("L2")
    read_by(yard, ROW, weighed("3.02"))
    return yard


def found(yard: Yard, lot: str = "L1") -> tuple[Restatement, ...]:
    """Restatements that bear on a lot."""
    plant = open_plant()
    taken = readings.of_lots(yard.no, [lot], voided=True).get(lot, ())
    return of_readings((plant.no, plant.code), taken, plant.zone)


def told(yard: Yard, lot: str = "L1") -> list[str]:
    """The same in sentences."""
    return [text for text, _ in sentences(found(yard, lot))]


def test_untouched_readings_are_none(yard: Yard) -> None:
    """Nothing is said of what nobody restated."""
    assert found(yard) == ()


def test_a_restated_reading_knows_what_it_replaces(yard: Yard) -> None:
    """Both entries and the void's, who, when it was entered and for when, why, before and after."""
    head = open_plant().head[0]
    restate(yard, ROW, weighed("3.45"))
    (one,) = found(yard)

    assert (one.correction, one.replaces, one.void, one.entry) == (
        "corrections/60", head, head + 1, head + 2,
    )  # fmt: skip
    assert (one.by, one.account, one.reason) == ("P-13", "install", REASON)
    assert (one.happened_at, one.recorded_at) == (ms(62), yard.door.clock())
    assert one.changes == (Change("block mass 24h", "3.02 kg", "3.45 kg"),)
    assert (one.count, one.lots, one.specimens) == (1, ("L1",), "D1")
    (text,) = told(yard)
    assert text == (
        "1 reading restated by P-13, entered 2026-10-31, dated 2026-09-03:"
        ' block mass 24h 3.02 → 3.45 kg (D1); "balance misread"'
    )


def test_it_is_the_same_after_a_rebuild(yard: Yard) -> None:
    """It comes from the entries, and from nothing that is kept beside them."""
    restate(yard, ROW, weighed("3.45"))
    before = found(yard)
    rebuild_plant("P1")

    assert found(yard) == before != ()


def test_each_of_several_restatements_is_told(yard: Yard) -> None:
    """What was restated twice, by two persons, is followed back to what was read first."""
    later = restate(yard, ROW, weighed("3.20"), own="1", by="P-14")
    restate(yard, later, weighed("3.45"), own="2")
    first, second = found(yard)
    plant = open_plant()
    stands = readings.of_lots(yard.no, ["L1"])["L1"]

    assert (first.by, second.by) == ("P-14", "P-13")
    assert (first.entry, second.replaces) == (second.replaces, first.entry)
    assert of_readings((plant.no, plant.code), stands, plant.zone) == (first, second)
    assert len(told(yard)) == 2


def test_what_one_person_entered_for_one_reason_is_told_together(yard: Yard) -> None:
    """With the number of readings, not of entries; many changes are counted."""
    keys = [read_by(yard, f"inspections/{n}/readings", weighed(f"3.0{n}")) for n in range(2, 10)]
    for n, key in enumerate(keys):
        restate(yard, key, weighed("3.45"), own=str(n))
    (text,) = told(yard)

    assert text.startswith("8 readings restated by P-13, entered 2026-10-31, dated 2026-09-03: ")
    assert text.endswith('; and 2 more; "balance misread"')
    assert text.count("→ 3.45 kg (D1)") == 6


def test_readings_taken_out_are_told(yard: Yard) -> None:
    """By a correction that leaves none; nothing stands in their place."""
    taken_out(yard, ROW)
    (one,) = found(yard)

    assert (one.did, one.entry, one.by) == ("taken out", None, "P-13")
    (text,) = told(yard)
    assert text == (
        "1 reading taken out by P-13, entered 2026-10-31, dated 2026-09-03:"
        ' block mass 24h 3.02 kg (D1); "another block"'
    )


def test_one_of_the_readings_of_a_row_taken_out_is_told(yard: Yard) -> None:
    """The others stand as they were, and are not counted."""
    both = (*weighed("3.02"), replace(weighed("279.4")[0], characteristic="height", unit="mm"))
    read_by(yard, "inspections/7/readings", both)
    restate(yard, "inspections/7/readings", both[1:])
    (one,) = found(yard)

    assert one.changes == (Change("block mass 24h", "3.02 kg", ""),)
    assert one.count == 1
    assert "block mass 24h 3.02 kg → nothing (D1)" in told(yard)[0]


def test_a_reading_moved_to_another_lot_is_told_of_both(yard: Yard) -> None:
    """The one it was said to be of, and the one it is of."""
    restate(yard, ROW, weighed("3.02", lot="L2"))

    assert found(yard, "L1") == found(yard, "L2") != ()
    assert "lot L1 → L2" in told(yard, "L2")[0]


def test_several_of_one_characteristic_are_told_apart(yard: Yard) -> None:
    """By their specimens."""
    read_by(yard, "inspections/8/readings", weighed("3.02", "3.04", "3.06"))
    restate(yard, "inspections/8/readings", weighed("3.02", "3.44", "3.06"))
    (one,) = found(yard)

    assert one.changes == (Change("block mass 24h D2", "3.04 kg", "3.44 kg"),)


def test_a_reading_that_a_correction_added_is_told(yard: Yard) -> None:
    """A row that had none; nobody is named there, so the account is."""
    first, *_ = weighed("3.45")
    marked = replace(first, facts={**first.facts, "correction": "corrections/9"})
    yard.post(ReadingsDraft("inspections/9/readings", ms(60), (marked,), "P-01"))
    (one,) = found(yard)

    assert (one.did, one.replaces, one.by, one.who) == ("added", None, "", "account install")
    assert told(yard)[0].startswith("1 reading added by account install, entered 2026-10-31, dated")


def test_a_void_beside_readings_of_another_correction_puts_nothing_in_place(yard: Yard) -> None:
    """Only readings that name the same correction replace what it voided."""
    taken_out(yard, ROW, own="5")
    first, *_ = weighed("3.45")
    marked = replace(first, facts={**first.facts, "correction": "corrections/6"})
    yard.post(ReadingsDraft(f"{ROW}/2", ms(60), (marked,), "P-01"))

    assert {one.did for one in found(yard)} == {"taken out", "added"}
