"""Beads of a place in parcels: the oldest leave first, and no mass is made or lost."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from beadwright.ledger.moves import Move, moves
from beadwright.plant.parcels import Parcel, parcels
from tests.plant.yard import Yard, ms

KG = 1_000_000


def came(at: int, mg: int, youngest: int | None = None) -> Move:
    """Something came in."""
    return Move(at, "expand", 1, mg, 0, at if youngest is None else youngest, "weighed")


def went(at: int, mg: int) -> Move:
    """Something was drawn."""
    return Move(at, "mould", -1, mg, 0, None, "backflushed")


def said(at: int, kind: str, mg: int = 0) -> Move:
    """Something was stated of the content."""
    return Move(at, kind, 0, 0, mg, None, "weighed")


def test_the_oldest_leave_first() -> None:
    """Two fillings; a draw takes all of the first and part of the second."""
    found = parcels([came(1, 100), came(2, 50), went(5, 120)], 9)

    assert found == (Parcel(1, 100, 5), Parcel(2, 20, 5), Parcel(2, 30))


def test_what_comes_later_is_not_yet_there() -> None:
    """Asked for a time, nothing after it counts."""
    moved = [came(1, 100), went(5, 40), came(6, 70)]
    assert parcels(moved, 4) == (Parcel(1, 100),)
    assert parcels(moved, 6) == (Parcel(1, 40, 5), Parcel(1, 60), Parcel(6, 70))


@pytest.mark.parametrize("kind", ["ran_empty", "swept_empty"])
def test_an_empty_place_holds_nothing(kind: str) -> None:
    """All that was in it left when it was emptied."""
    assert parcels([came(1, 100), said(5, kind), came(7, 30)], 9) == (
        Parcel(1, 100, 5),
        Parcel(7, 30),
    )


def test_a_weighed_content_is_taken_as_said() -> None:
    """What is missing was the oldest; what is over belongs to all alike; of none, it is new."""
    moved = [came(1, 100), came(2, 100)]
    less = parcels([*moved, said(5, "weigh", 150)], 9)
    more = parcels([*moved, said(5, "stocktake", 250)], 9)

    assert less == (Parcel(1, 50, 5), Parcel(1, 50), Parcel(2, 100))
    assert more == (Parcel(1, 125), Parcel(2, 125))
    assert parcels([said(5, "weigh", 40)], 9) == (Parcel(5, 40),)


def test_beads_from_another_place_have_aged_there() -> None:
    """None of them is younger than the youngest bead of the place they are in now."""
    assert parcels([came(10, 100, youngest=3)], 20) == (Parcel(3, 100),)


@given(
    st.lists(st.tuples(st.booleans(), st.integers(1, 1000)), max_size=30),
)
def test_mass_is_kept(steps: list[tuple[bool, int]]) -> None:
    """What came in is there or left; no more leaves than there was."""
    moved = [came(i, mg) if into else went(i, mg) for i, (into, mg) in enumerate(steps)]
    found = parcels(moved, 100)
    there = 0
    for into, mg in steps:
        there = there + mg if into else max(0, there - mg)

    assert sum(one.mg for one in found) == sum(mg for into, mg in steps if into)
    assert sum(one.mg for one in found if one.gone_ms is None) == there
    assert all(one.mg > 0 for one in found)
    assert all(one.gone_ms is None or one.gone_ms >= one.begun_ms for one in found)


@pytest.mark.django_db
def test_moves_go_back_to_when_a_place_was_last_empty_before_a_time() -> None:
    """A place that was swept since keeps its earlier moves, if they are asked for."""
    yard = Yard.open()
    yard.bag("B-1", 5000)
    yard.expand("B-1", "S1", 100, at=1)
    yard.sweep("S1", at=2)
    yard.expand("B-1", "S1", 200, at=3)
    yard.transfer("S1", "S2", 50, at=5)

    newest = moves(yard.no, "S1", ms(9))
    assert [(one.kind, one.sign, one.mg) for one in newest] == [
        ("expand", 1, 200 * KG),
        ("fill", -1, 50 * KG),
    ]
    assert len(moves(yard.no, "S1", ms(1.5))) == 4
    assert moves(yard.no, "S9", ms(9)) == []
    moved_on = moves(yard.no, "S2", ms(9))
    assert parcels(moved_on, ms(9)) == (Parcel(ms(3), 50 * KG),)
