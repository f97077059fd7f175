"""A cell that holds what nobody can read is refused where it stands, and written out."""

from tests.interop.plant import Plant, codes


def test_a_name_that_nobody_can_read_is_a_bad_cell(plant: Plant) -> None:
    """A specimen, an instrument, a code, a row's id: with file, row, field, and the sign told."""
    plant.add(
        "specimens",
        "1,2026-09-03 08:00,,K\u202e1,150,150,149,,7985,",
        "2,2026-09-03 08:05,,K\U0001f600,150,150,149.5,,7892,",
        "3\u200b,2026-09-03 08:10,,K-3,148,150,150,,8025,",
    )
    plant.add("bead_receipts", "1,2026-09-01 08:00,B\u202e1,88-A,,F1,880,KR")
    intake = plant.read()

    assert codes(intake) == ["code_invalid", "bad_text", "bad_text", "row_id_invalid"]
    told = [str(fault) for fault in intake.faults]
    assert not any(sign in text for text in told for sign in "\u202e\u200b\U0001f600")
    assert told[1] == (
        "bad_text: the cell holds '\\u202e', which nobody can read. Given: K\\u202e1."
        ' specimens.csv, row 2, "specimen". Type the cell again without.'
    )
