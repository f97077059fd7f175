"""What is proposed for the next form comes from the record, and never what is to be weighed."""

from collections.abc import Mapping

import pytest

from beadwright.interop.importing import import_files
from beadwright.interop.keyed import anew, usual
from beadwright.interop.keyed.usual import counted_up
from beadwright.interop.sheets.kinds import KINDS
from tests.interop.plant import Plant

pytestmark = pytest.mark.django_db

CODE = "LARKHOLLOW"
RUNS = (
    "1,M-08,2026-09-02 07:00,2026-09-02 08:00,FP1,tool 4,FB6S,H1,C-1,L1-080,20,39,1,1.5,,W-1,,DS",
    "2,M-09,2026-09-02 08:00,2026-09-02 09:00,FP1,tool 4,FB6S,H1,C-1,L1-099,4,8,0,1.5,,,,DS",
)


def yard(plant: Plant, **rows: str) -> None:
    """Put the ground and these rows into the store."""
    plant.add("mould_runs", *RUNS)
    for kind, row in rows.items():
        plant.add(kind, row)
    report = import_files([plant.write()])
    assert not report.refused, report


def likely(kind: str, **context: str) -> Mapping[str, str]:
    """Ask what is likely."""
    return usual(CODE, kind, context).texts


def test_the_next_run_at_a_press(ground: Plant) -> None:
    """Product, mould, silo and carton of the last one; run and lot count up."""
    yard(ground)
    assert likely("mould_runs", press="FP1") == {
        "product": "FB6S",
        "mould": "tool 4",
        "from": "H1",
        "ties": "C-1",
        "run": "M-10",
        "lot": "L1-100",
        "scrap_bin": "W-1",
    }
    assert "mould" not in likely("mould_runs", press="FP1", product="PKC")


def test_a_code_that_is_taken_is_passed_over(ground: Plant) -> None:
    """By a lot that came in otherwise, too."""
    yard(ground, bead_receipts="2,2026-09-02 09:00,L1-100,88-A,,F1,882.5,KR")
    assert likely("mould_runs", press="FP1")["lot"] == "L1-101"


def test_what_is_used_up_is_not_proposed(ground: Plant) -> None:
    """Of bags and cartons the oldest of the same grade that holds something."""
    ground.add("tie_receipts", "2,2026-09-01 09:00,C-2,T-7,,T6,1200,0.6,KR")
    yard(
        ground,
        bead_receipts="2,2026-09-02 09:00,B-2,88-A,,F1,882.5,KR",
        reclaim="1,2026-09-02 10:00,dispose,W-1,,2,,KR",
        expansion_runs="2,E-2,2026-09-01 12:00,2026-09-01 12:30,B-1,20.5,2,12,S2,,,DS",
    )
    assert likely("expansion_runs")["bag"] == "B-2"
    found = usual(CODE, "expansion_runs", {})
    assert (found.texts["charge"], found.units["charge"], found.texts["run"]) == ("12", "kg", "E-3")
    assert "mass" not in found.texts


def test_a_bundle_holds_what_the_product_says(ground: Plant) -> None:
    """The last lot, as long as there is any of it; no more pieces than are left."""
    yard(ground, bundles="1,2026-09-03 13:00,BU-009,L1-080,20,DS")
    assert likely("bundles") == {"lot": "L1-080", "bundle": "BU-010", "pieces": "19"}
    assert likely("bundles", lot="L1-099")["pieces"] == "8"


def test_a_first_piece_is_of_the_newest_run_at_the_press(ground: Plant) -> None:
    """And a cup of the newest run into the silo."""
    yard(ground)
    assert likely("first_pieces", press="FP1") == {"run": "M-09", "lot": "L1-099"}
    assert likely("cups", where="hot", silo="S1") == {"run": "E-1"}


@pytest.mark.parametrize("kind", KINDS)
def test_nothing_is_proposed_from_nothing(ground: Plant, kind: str) -> None:
    """An empty record proposes nothing, and every kind can be asked about."""
    ground.sheets = {}
    assert not import_files([ground.write()]).refused
    assert likely(kind) == {}


def test_codes_count_up_by_their_last_number() -> None:
    """And grow where they must."""
    assert [counted_up(one) for one in ("W1", "BN-999", "R-7b", "bag")] == [
        "W2",
        "BN-1000",
        "R-8b",
        "",
    ]


def test_the_first_piece_of_a_lot_is_called_as_those_of_the_last_lot(ground: Plant) -> None:
    """By that lot's code, number one; a piece of a lot that has some counts up."""
    rows = [
        "1,2026-09-03 12:00,L1-080,L1-080-C1,100,100,50,,11.4,",
        "2,2026-09-03 12:05,L1-080,L1-080-C2,100,100,50,,11.4,",
    ]
    ground.add("specimens", *rows)
    yard(ground)
    assert likely("specimens") == {"lot": "L1-080", "specimen": "L1-080-C3"}
    assert likely("specimens", lot="L1-099")["specimen"] == "L1-099-C1"
    assert likely("specimens", lot="L1-080")["specimen"] == "L1-080-C3"


def test_what_nobody_touched_follows_the_lot_that_is_scanned(ground: Plant) -> None:
    """What was keyed stays, and where nothing it goes by was changed nothing follows."""
    ground.add("specimens", "1,2026-09-03 12:00,L1-080,L1-080-C1,100,100,50,,11.4,")
    yard(ground, bundles="1,2026-09-03 13:00,BU-009,L1-080,20,DS")
    stood = {"lot": "L1-080", "specimen": "L1-080-C2", "instrument": ""}
    other = {**stood, "lot": "L1-099"}
    assert anew(CODE, "specimens", other, stood) == {"specimen": "L1-099-C1"}
    assert anew(CODE, "specimens", {**other, "specimen": "my own"}, stood) == {}
    assert anew(CODE, "specimens", {**stood, "mass": "11.4"}, stood) == {}
    assert anew(CODE, "bundles", {"lot": "L1-099", "pieces": "19", "bundle": "BU-010"},
                {"lot": "L1-080", "pieces": "19"}) == {"pieces": "8"}  # fmt: skip
