"""Bundles held for their own sake, and what went wrong with pieces of a lot that may ship."""

from __future__ import annotations

import pytest

from beadwright.ledger import holds
from beadwright.plant.release import assess
from tests.plant.asking import coded, good_yard, the_lot
from tests.plant.yard import Yard

pytestmark = pytest.mark.django_db


def bundled() -> Yard:
    """Two good lots; the first in two bundles, of which one was shipped in part."""
    yard = good_yard("L1", "L2")
    yard.bundle("BN-1", "L1", 12)
    yard.bundle("BN-2", "L1", 12)
    yard.ship("SH-1", "BN-2", 5, "QUARRY LANE")
    return yard


def held(yard: Yard, *lots: str) -> dict[str, list[str]]:
    """Causes by what is held for its own sake."""
    told = assess(yard.no, lots or None)
    return {one.code: [cause.code for cause in one.upstream] for one in told.held}


def test_a_hold_on_a_bundle_shows_where_all_are_assessed() -> None:
    """The lot may ship; the bundle does not, and what was shipped out of it is with somebody."""
    yard = bundled()
    assert held(yard) == {}
    yard.hold("H-1", "BN-2")

    told = assess(yard.no)

    assert [lot.answer for lot in told.lots] == ["may_ship", "may_ship"]
    assert held(yard) == held(yard, "L1") == {"BN-2": ["on_hold"], "SH-1": ["on_hold"]}
    assert held(yard, "L2") == {}
    by_code = {one.code: one for one in told.held}
    assert (by_code["BN-2"].pieces, by_code["BN-2"].receiver) == (7, "")
    assert (by_code["SH-1"].pieces, by_code["SH-1"].receiver) == (5, "QUARRY LANE")
    yard.lift("H-1", "BN-2", "SH-1")
    assert held(yard) == {}


def test_a_hold_on_the_lot_holds_no_bundle_for_its_own_sake() -> None:
    """It is told with the lot."""
    yard = bundled()
    yard.hold("H-1", "L1")

    assert held(yard) == {}


def test_the_lot_is_told_what_holds_its_bundle() -> None:
    """As a note: its other pieces may ship, over the same evidence."""
    yard = bundled()
    before = the_lot(yard).evidence
    yard.hold("H-1", "BN-1")

    told = the_lot(yard)

    (note,) = coded(told, "holder_held")
    assert note.weight == "notes"
    assert "BN-1 (bundle, 12 pieces in the plant) is held: hold H-1 on BN-1" in note.sentence
    assert (told.answer, told.evidence) == ("may_ship", before)
    assert coded(the_lot(yard, "L2"), "holder_held") == []


@pytest.mark.parametrize("source", ["L1", "BN-1"])
def test_more_shipped_than_there_was_is_told_of_the_lot(source: str) -> None:
    """Drawn from the lot or from a bundle of it: a note with the cause, until it is conceded."""
    yard = bundled()
    yard.ship("SH-9", source, 30, at=80)

    (note,) = coded(the_lot(yard), "open_beside")

    assert f"open nonconformity more_than_held:{source}" in note.sentence
    assert note.source.startswith("step ship/")
    assert held(yard)["SH-9"] == ["more_than_held"]
    (flaw,) = holds.nonconformities(yard.no)
    yard.concede(f"more_than_held:{source}", [flaw.mark], at=85)
    assert coded(the_lot(yard), "open_beside") == []
    assert held(yard) == {}


def test_shipped_without_a_release_is_told_of_the_lot() -> None:
    """And what was shipped so is held."""
    yard = bundled()
    yard.set("release", "rule", {"persons": 1})

    assert [one.sentence.split(",")[0] for one in coded(the_lot(yard), "open_beside")] == [
        "open nonconformity not_released:BN-2"
    ]
    assert held(yard) == {"SH-1": ["not_released"]}


def test_what_reaches_the_lot_is_told_once() -> None:
    """Not as a note again."""
    yard = good_yard()
    yard.expand("B-1", "S2", at=30)
    yard.mould("L2", "S2", at=31)

    assert coded(the_lot(yard, "L2"), "too_fresh")
    assert coded(the_lot(yard, "L2"), "open_beside") == []
