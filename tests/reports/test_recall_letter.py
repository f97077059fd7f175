"""The letter of a recall, as it is read: what it is of, when it left, what somebody fills in."""

from __future__ import annotations

from pathlib import Path

import openpyxl  # type: ignore[import-untyped]

from beadwright.plant.opening import open_plant
from beadwright.plant.recall.narrowed import WHOLE
from beadwright.plant.recall.on_record import Recall
from beadwright.plant.recall.scope import scope
from beadwright.reports.recall import letter, of_receiver, to_fill_in, workbook
from tests.plant.yard import Yard, ms
from tests.reports.poppler import INDEPENDENT, ran

pytestmark = INDEPENDENT

UNSAID = ("to be filled in: who answers at the plant", "to be filled in: what is wrong")


def told(reason: str, to: Path) -> str:
    """The letter about what left of a lot in two loads, on two days of the plant."""
    plant = open_plant("P1")
    ((receiver, some),) = scope(plant.no, ("L1",)).receivers
    about = Recall("", reason, rehearsed=False, starts=("L1",), stages=(), narrowing=WHOLE)
    (to / "letter.pdf").write_bytes(letter(plant, about, (receiver, some), ms(90)))
    rows = workbook(receiver, of_receiver(some, plant.zone))
    (to / "lots.xlsx").write_bytes(rows)
    return " ".join(ran("pdftotext", "-layout", str(to / "letter.pdf"), "-").split())


def test_a_letter_names_the_product_the_day_it_left_and_what_is_to_be_filled_in(
    tmp_path: Path,
) -> None:
    """20 blocks left at hour 70, which is on 3 September, and 10 more the day after.

    Hour 0 is midnight in the plant, of 1 September: by UTC the second left on the 5th.
    """
    yard = Yard.open()
    yard.block_lot("L1", good=40)
    yard.ship("SH-1", "L1", 20, "NORTH YARD", at=70)
    yard.ship("SH-1", "L1", 10, "NORTH YARD", at=95.5)

    unstated = told("", tmp_path)
    assert "L1 FB6, Straight block SH-1 2026-09-03 to 2026-09-04 30" in unstated
    assert all(one in unstated for one in UNSAID)
    assert "Not stated" not in unstated
    stated = told("smell of solvent", tmp_path)
    assert "Why smell of solvent" in stated
    assert UNSAID[0] in stated
    assert UNSAID[1] not in stated

    heading, row = openpyxl.load_workbook(tmp_path / "lots.xlsx").active.iter_rows(values_only=True)
    assert row == ("L1", "FB6", "Straight block", "SH-1", "2026-09-03 to 2026-09-04", 30, 30)
    assert len(heading) == len(row)


def test_what_a_letter_lacks_is_said_before_it_is_sent() -> None:
    """Why, where nothing is recorded; and who answers, which the record never knows."""
    assert lacking("") == ["Why", "Answer to"]
    assert lacking("smell") == ["Answer to"]


def lacking(reason: str) -> list[str]:
    """The first words of what is to be filled in."""
    about = Recall("", reason, rehearsed=False, starts=("L1",), stages=())
    return [one.partition(":")[0] for one in to_fill_in(about)]
