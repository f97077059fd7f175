"""Times that have not come are faults of their row, and times are told as times."""

from tests.interop.plant import PLANT, Plant, codes


def test_a_row_in_the_future_is_a_fault_of_its_cell(ground: Plant) -> None:
    """By file, row and field, before anything is posted; as the sheet writes it."""
    ground.add("bead_receipts", "2,2087-09-01 08:00,B-2,88-A,,F1,882.5,KR")
    (fault,) = ground.read().faults

    assert fault.code == "time_ahead"
    assert fault.where == 'bead_receipts.csv, row 3, "received"'
    assert fault.what == '"2087-09-01 08:00" lies in the future'


def test_a_row_before_such_records_is_a_fault_too(ground: Plant) -> None:
    """A year of two digits, or the first day a spreadsheet knows."""
    ground.add("bead_receipts", "2,1900-01-01 08:00,B-2,88-A,,F1,882.5,KR")

    assert codes(ground.read()) == ["time_early"]


def test_a_corrected_time_in_the_future_is_a_fault(ground: Plant) -> None:
    """Of the corrections sheet."""
    row = "1,2026-09-03 08:00,bead_receipts,1,received,2087-09-01 08:00,typed wrong,EI"
    (fault,) = ground.add("corrections", row).read().faults

    assert (fault.code, fault.where) == ("correction_unclear", 'corrections.csv, row 2, "value"')
    assert fault.what == '"2087-09-01 08:00" lies in the future'


def test_a_correction_read_two_ways_says_both_as_times(ground: Plant) -> None:
    """Day and month exchanged between two sheets: each meaning is a time."""
    layout = ground.layout("corrections").replace("YYYY-MM-DD hh:mm", "YYYY-DD-MM hh:mm")
    ground.layouts["corrections"] = layout
    row = "1,2026-03-09 08:00,bead_receipts,1,received,2026-01-09 08:00,typed wrong,EI"
    (fault,) = ground.add("corrections", row).read().faults

    assert (
        "means 2026-01-09 14:00 UTC in the sheet corrected and 2026-09-01 13:00 UTC" in fault.what
    )


def test_a_setting_of_a_day_to_come_is_a_fault(plant: Plant) -> None:
    """The record would refuse it when everything else is read."""
    plant.settings = PLANT.replace('min_h = "8"', 'since = 2087-09-10\nmin_h = "8"')
    (fault,) = plant.read().faults

    assert (fault.code, fault.where) == ("setting_invalid", 'plant.toml, "ageing.F1.since"')
    assert "future" in fault.what


def test_a_fault_shows_a_time_as_its_sheet_writes_it(ground: Plant) -> None:
    """Never in milliseconds; that of a corrected row as the corrections write it."""
    ended = "1,E-2,2026-09-01 10:00,2026-09-01 09:30,B-1,380,32,12,S1,,5.5,DS"
    ground.sheets["expansion_runs"] = [ended]
    (fault,) = ground.read().faults
    assert (fault.code, fault.value) == ("time_backwards", "2026-09-01 09:30")

    ground.sheets["expansion_runs"] = [ended.replace("09:30", "11:30")]
    ground.add(
        "corrections",
        "1,2026-09-03 08:00,expansion_runs,1,ended,2026-09-01 09:40,typed wrong,EI",
    )
    (fault,) = ground.read().faults
    assert (fault.code, fault.value) == ("time_backwards", "2026-09-01 09:40")
