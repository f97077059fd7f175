"""A stocktake's sheet: one row is one lot or place, in the unit that it is kept in."""

from __future__ import annotations

import pytest

from beadwright.interop.importing import import_files
from beadwright.interop.keyed import again, correct
from beadwright.ledger import lots
from beadwright.ledger.draft import Evidence, StepDraft
from beadwright.plant.access import Role, Who
from tests.interop.plant import Plant

pytestmark = pytest.mark.django_db

HEADER = "at,lot,found_mass [kg],found_pieces,scale,by"
MOULDED = "1,M-1,2026-09-02 07:00,2026-09-02 09:00,FP1,tool 4,FB6S,H1,C-1,L-1,20,39,1,1.5,,W-1,,DS"


@pytest.fixture
def yard(ground: Plant) -> Plant:
    """Beads, ties, a silo and a lot of 39 blocks."""
    ground.headers["stocktakes"] = HEADER
    return ground.add("mould_runs", MOULDED)


def row(lot: str, mass: str = "", pieces: str = "", number: int = 1) -> str:
    """A row of the sheet."""
    return f"{number},2026-09-03 06:00,{lot},{mass},{pieces},,EI"


def test_each_sort_of_lot_is_counted_in_its_own_unit(yard: Plant) -> None:
    """A bag and a silo by mass, ties and blocks in pieces, each of which has its unit mass."""
    yard.add("stocktakes", row("B-1", "19"), row("S1", "190.5", "", 2), row("C-1", "", "950", 3),
             row("L-1", "", "38", 4))  # fmt: skip
    assert not import_files([yard.write()]).refused
    no = lots.plant_number("LARKHOLLOW")
    stock = {code: lots.get(no, code) for code in ("B-1", "S1", "C-1", "L-1")}

    assert {code: (one.mg, one.pieces) for code, one in stock.items() if one is not None} == {
        "B-1": (19_000_000, 0),
        "S1": (190_500_000, 0),
        "C-1": (950 * 272_155, 950),
        "L-1": (38 * stock["L-1"].unit_mg, 38) if stock["L-1"] else None,
    }


def test_a_row_is_a_statement_and_no_movement(yard: Plant) -> None:
    """Of one lot; what was not found is 0, which is said and not left empty."""
    intake = yard.add("stocktakes", row("B-1", "0")).read()
    (step,) = (one for one in intake.drafts if one.key.startswith("stocktakes/"))

    assert isinstance(step, StepDraft)
    assert step.kind == "stocktake"
    assert [(one.lot, one.sign, one.mg, one.evidence) for one in step.lines] == [
        ("B-1", 0, 0, Evidence.WEIGHED)
    ]


@pytest.mark.parametrize(
    ("said", "code", "field"),
    [
        (row("B-1"), "field_missing", "found_mass"),
        (row("L-1"), "field_missing", "found_pieces"),
        (row("L-1", "100"), "field_missing", "found_pieces"),
        (row("L-1", "100", "38"), "not_counted", "found_mass"),
        (row("S1", "190", "3"), "not_counted", "found_pieces"),
        (row("B-9", "190"), "unknown_lot", "lot"),
        (row("B-1", "-1"), "negative", "found_mass"),
    ],
)
def test_what_is_wrong_with_a_row_is_told_at_its_cell(
    yard: Plant, said: str, code: str, field: str
) -> None:
    """In words that say which unit the lot is kept in."""
    (fault,) = yard.add("stocktakes", said).read().faults

    assert fault.code == code
    assert f'"{field}' in fault.where


def test_a_count_is_corrected_like_any_other_row(yard: Plant) -> None:
    """Both versions stay; the books follow the newest."""
    yard.add("stocktakes", row("L-1", "", "37"))
    assert not import_files([yard.write()]).refused
    key = "stocktakes/1"
    form = again("LARKHOLLOW", key)
    texts = {**form.texts, "found_pieces": "39"}
    who = Who("P-13", Role.ENGINEER)
    done = correct("LARKHOLLOW", key, texts, form.units, "one was behind", who=who, correction="9")

    assert done.posted
    assert [(one.lot, one.pieces) for one in done.stock] == [("L-1", 39)]
