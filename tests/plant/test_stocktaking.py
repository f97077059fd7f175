"""Stocktaking: everything that is there stands on a sheet, and a difference is told before."""

from __future__ import annotations

import pytest

from beadwright.ledger.draft import Line, Material, NewLot
from beadwright.plant.stocktaking import PAGE, UNSEEN_MG, Found, compare, groups, sheet
from tests.plant.yard import Yard, ms

pytestmark = pytest.mark.django_db

KG = 1_000_000
NOW = ms(100)


@pytest.fixture
def yard() -> Yard:
    """One block lot with bag, silo and carton; a bundle of it, a bin, and a shipment."""
    yard = Yard.open()
    yard.block_lot("L1")
    yard.bundle("BN-1", "L1", 20)
    yard.ship("SH-1", "L1", 5)
    bin_ = NewLot("BIN-1", Material.SCRAP, "bin")
    lines = [Line("S1", -1, 2 * KG), Line("BIN-1", 1, 2 * KG, place="RECLAIM")]
    yard.step("scrap", 71, lines, bin_)
    return yard


def lots_of(yard: Yard, name: str) -> list[str]:
    """Codes of a sheet."""
    found = sheet(yard.no, name)
    assert found is not None
    return [one.lot for one in found.lots]


def test_what_is_in_the_plant_stands_on_one_sheet_of_its_kind(yard: Yard) -> None:
    """Bags, places, cartons, lots, bundles, bins; what has left on none."""
    assert [(one.name, one.lots) for one in groups(yard.no)] == [
        ("bags", 1), ("silos", 2), ("cartons", 1), ("blocks", 1), ("bundles", 1), ("scrap", 1),
        ("at:RECLAIM", 1),
    ]  # fmt: skip
    listed = [one for group in groups(yard.no) for one in lots_of(yard, group.name)]
    assert sorted(listed) == sorted(["B-1", "S1", "S2", "T-1", "L1", "BN-1", "BIN-1", "BIN-1"])
    assert sheet(yard.no, "regrind") is None


def test_a_long_group_is_parted_into_sheets_that_leave_nothing_out(yard: Yard) -> None:
    """Each lot on one sheet; what is used up is listed too, for the books hold a rest of it."""
    for number in range(PAGE + 3):
        yard.bag(f"C-{number}", 100, at=1)
    first, second = sheet(yard.no, "bags"), sheet(yard.no, "bags", PAGE)
    assert first is not None
    assert second is not None

    assert (first.before, len(first.lots), first.after) == (0, PAGE, 4)
    assert (second.before, len(second.lots), second.after) == (PAGE, 4, 0)
    assert len({one.lot for one in (*first.lots, *second.lots)}) == PAGE + 4


@pytest.mark.parametrize(
    ("lot", "found", "says"),
    [
        ("B-1", Found(600 * KG), (0, "as_booked", False)),
        ("B-1", Found(600 * KG + UNSEEN_MG - 1), (UNSEEN_MG - 1, "as_booked", False)),
        ("B-1", Found(600 * KG - UNSEEN_MG), (-UNSEEN_MG, "less", False)),
        ("B-1", Found(560 * KG), (-40 * KG, "less", False)),
        ("B-1", Found(500 * KG), (-100 * KG, "less", True)),
        ("B-1", Found(), (-600 * KG, "less", True)),
        ("B-1", Found(700 * KG), (100 * KG, "more", True)),
        ("L1", Found(pieces=15), (0, "as_booked", False)),
        ("L1", Found(pieces=10), (-5, "less", True)),
        ("S2", Found(30 * KG), (30 * KG, "more", True)),
    ],
)
def test_a_difference_is_what_was_found_less_the_books(
    yard: Yard, lot: str, found: Found, says: tuple[int, str, bool]
) -> None:
    """Large is what the record makes a nonconformity of, and nothing else: so it is asked first."""
    off, side, large = says
    compared, strange = compare(yard.no, {lot: found}, NOW)
    one = compared[lot]

    assert strange == {}
    assert (one.differ_pieces if one.listed.counted else one.differ_mg) == off
    assert (one.side, one.large) == (side, large)
    mg = found.pieces * one.listed.unit_mg if one.listed.counted else found.mg
    posted = yard.step("stocktake", 100, [Line(lot, 0, mg, found.pieces)])
    assert bool(posted.found) is large


def test_a_plant_says_itself_what_is_large(yard: Yard) -> None:
    """Its own tolerance of stocktakes, in force on that day."""
    yard.set("tolerance", "stocktake", count="0.2")
    compared, _ = compare(yard.no, {"B-1": Found(500 * KG)}, NOW)

    assert not compared["B-1"].large
    assert compared["B-1"].share == pytest.approx(-1 / 6)


def test_what_is_no_stock_of_the_plant_is_told_why(yard: Yard) -> None:
    """A code nobody knows, and a shipment that has left; a lot used up is counted all the same."""
    compared, strange = compare(
        yard.no, {"X-1": Found(KG), "SH-1": Found(pieces=1), "S2": Found(KG)}, NOW
    )

    assert set(compared) == {"S2"}
    assert strange["X-1"].startswith("the record knows no lot X-1")
    assert strange["SH-1"] == "SH-1 has left for QUARRY LANE: bring it back as a return"


def test_a_sheet_says_what_is_held_and_when_it_was_last_counted(yard: Yard) -> None:
    """So that nobody counts a lot twice, and nobody moves one that is held."""
    yard.hold("H-1", "B-1")
    yard.step("stocktake", 90, [Line("B-1", 0, 600 * KG)])
    found = sheet(yard.no, "bags")
    assert found is not None

    (bag,) = found.lots
    assert bag.said_ms == ms(90)
    assert [one.partition("@")[0] for one in bag.held] == ["hold:H-1"]
