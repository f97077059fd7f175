"""Lots kept in pieces are told in pieces, and a step that does not balance names its cells."""

import pytest

from beadwright.ledger import holds
from beadwright.ledger.draft import Evidence, Line
from tests.plant.asking import good_yard, the_lot
from tests.plant.yard import Yard

pytestmark = pytest.mark.django_db


def told(yard: Yard, code: str) -> str:
    """What the only nonconformity of a code says."""
    (found,) = (one for one in holds.nonconformities(yard.no) if one.code == code)
    return found.detail


def test_what_is_drawn_too_much_of_a_counted_lot_is_pieces() -> None:
    """200 of a bundle of 20 are 180 too many, not some kilograms."""
    yard = good_yard()
    yard.bundle("BU-1", "L1", 20)
    yard.ship("SH-1", "BU-1", 200)

    says = "BU-1 held 20 pieces by the books; this step drew 200 pieces (180 pieces too much)"
    assert told(yard, "more_than_held") == says


def test_one_piece_is_one_piece() -> None:
    """In words."""
    yard = good_yard()
    yard.bundle("BU-1", "L1", 20)
    yard.ship("SH-1", "BU-1", 20)
    yard.ship("SH-2", "BU-1", 1, at=71)

    assert "drew 1 piece (1 piece too much)" in told(yard, "more_than_held")


def test_no_more_of_a_lot_is_shipped_than_there_was() -> None:
    """However many were keyed: twenty, and not "200 to 20"."""
    yard = good_yard()
    yard.bundle("BU-1", "L1", 20)
    yard.ship("SH-1", "BU-1", 200)

    (stand,) = the_lot(yard).whereabouts.shipped

    assert (stand.at_least, stand.at_most, stand.pieces) == (20, 20, "20")


def test_a_step_out_of_balance_says_what_came_and_where_to_look() -> None:
    """More out than in: the counts and masses that its blocks are worked out from."""
    yard = good_yard()
    mass = 41 * (1_495_000 + 6 * 270_000)
    lines = [
        Line("S1", -1, 41 * 1_495_000, 0, Evidence.BACKFLUSHED),
        Line("T-1", -1, 24 * 270_000, 24, Evidence.COUNTED),
        Line("L1", 1, mass, 41, Evidence.COUNTED),
    ]
    yard.step("mould", 22, lines, product="FB6", place="FP1")

    says = told(yard, "imbalance")
    assert says.startswith("59.94 kg more came out than went in (67.78 kg); ")
    assert says.endswith("look at good, scrap, foam_per_block and ties_used")
