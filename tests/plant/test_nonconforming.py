"""A file beside the record: causes open or not, holds that stand, where the pieces are."""

from __future__ import annotations

import pytest

from beadwright.errors import Misuse
from beadwright.plant.nonconforming import (
    Counted,
    file_of,
    files,
    next_number,
    not_in_a_file,
    over_time,
)
from tests.door.filed import entry
from tests.plant.yard import Yard

pytestmark = pytest.mark.django_db


@pytest.fixture
def yard() -> Yard:
    """A yard that moulded L9 too fresh (week 36), and shipped 15 of its 40 blocks."""
    yard = Yard.open()
    yard.bag("B-1")
    yard.carton("T-1")
    yard.expand("B-1", "S1")
    yard.mould("L9", good=40, at=3)
    yard.bundle("BN-1", "L9", 20)
    yard.ship("SH-1", "BN-1", 15)
    yard.set("place", "S3", kind="silo", content=True)
    return yard


def opened(yard: Yard, **more: object) -> None:
    """Open a file on it."""
    items = [{"lot": "L9", "pieces": 40, "mg": 120_000_000}]
    body = {"title": "fresh", "origin": "record", "causes": ["too_fresh:S1"], "items": items}
    yard.post(entry("open", key="open", **{**body, **more}))


def test_a_file_says_where_its_pieces_are_and_who_has_some(yard: Yard) -> None:
    """20 in the lot, 5 in the bundle, 15 at a receiver: counted, not estimated."""
    opened(yard)

    (one,) = file_of(yard.no, "NC-0001").standing

    assert (one.quantity.pieces, one.undecided.pieces, one.what) == (40, 40, "mould run")
    assert one.where is not None
    assert {s.lot: s.at_most for s in one.where.in_stock} == {"L9": 20, "BN-1": 5}
    assert [(s.receiver, s.lot, s.at_most) for s in one.where.shipped] == [
        ("QUARRY LANE", "SH-1", 15)
    ]


def test_a_lot_that_is_kept_by_mass_says_what_is_left_of_it(yard: Yard) -> None:
    """By the books, at its place; what has no lot is only what was said of it."""
    items = [
        {"lot": "B-1", "mg": 1000},
        {"lot": "", "pieces": 3, "what": "blocks without a code"},
    ]
    opened(yard, items=items)

    bag, nameless = file_of(yard.no, "NC-0001").standing

    assert (bag.what, bag.mg, bag.where) == ("bag", 600_000_000, None)
    assert (nameless.what, nameless.quantity.pieces, nameless.where) == (
        "blocks without a code", 3, None
    )  # fmt: skip


def test_a_hold_of_the_file_stands_until_it_is_lifted_lot_by_lot(yard: Yard) -> None:
    """The file names the hold; lots it was lifted for no longer stand under it."""
    yard.hold("NC-0001", "L9", "BN-1", at=39)
    opened(yard, holds=["NC-0001"])
    yard.lift("NC-0001", "BN-1")

    (held,) = file_of(yard.no, "NC-0001").holds

    assert (held.lots, held.standing) == (("L9", "BN-1"), ("L9",))


def test_what_keeps_a_file_open_is_listed_whole(yard: Yard) -> None:
    """The open cause, the undecided quantity, the reason not stated, the unchecked action."""
    opened(yard)
    yard.post(entry("disposition", key="d", lot="L9", how="scrap", pieces=30, reason="soft"))
    yard.post(entry("action", key="a", action=1, text="clock", who="P-02", due="2026-10-01"))

    to_do = file_of(yard.no, "NC-0001").to_do

    assert [(fault.code, fault.value) for fault in to_do] == [
        ("cause_open", "too_fresh:S1"), ("quantity_left", "L9"), ("cause_not_stated", ""),
        ("action_unchecked", "1"),
    ]  # fmt: skip
    assert "10 pieces of L9 undecided" in to_do[1].what


def test_an_open_nonconformity_in_no_file_is_not_forgotten(yard: Yard) -> None:
    """It is listed until it is in a file, or conceded by itself."""
    yard.expand("B-1", "S2", at=30)
    yard.mould("L10", "S2", good=2, at=31)
    assert [one.cause for one in not_in_a_file(yard.no)] == ["too_fresh:S1", "too_fresh:S2"]

    opened(yard)
    (left,) = not_in_a_file(yard.no)
    yard.concede(left.cause, [step.mark for step in left.steps])

    assert left.cause == "too_fresh:S2"
    assert not_in_a_file(yard.no) == ()


def test_numbers_go_on_from_the_highest(yard: Yard) -> None:
    """Numbers that people gave in a form of their own are left aside."""
    assert next_number(yard.no) == "NC-0001"
    opened(yard)
    yard.post(entry("open", "NC-0041", key="b", title="x", origin="found"))
    yard.post(entry("open", "2026-7", key="c", title="x", origin="found"))

    assert next_number(yard.no) == "NC-0042"
    assert [one.file.number for one in files(yard.no)] == ["NC-0001", "NC-0041", "2026-7"]
    with pytest.raises(Misuse, match="NC-0041"):
        file_of(yard.no, "NC-0002")


def test_nonconformities_are_counted_by_station_code_and_week(yard: Yard) -> None:
    """A press counts what it moulded, a silo what was filled into it, a receiver complaints."""
    yard.mould("L8", good=1, at=4)
    yard.mould("L7", good=1, at=4 + 24 * 7)  # a week later: too old
    yard.set("place", "S4", kind="silo", content=True, accepts=["PK1"])
    yard.expand("B-1", "S4", kg=10, at=30)
    said = {"receiver": "QUARRY LANE", "text": "broken", "received": "2026-09-01"}
    yard.post(entry("open", key="c", title="broken", origin="complaint", complaint=said))

    counted = {c for c in over_time(yard.no) if c.code != "not_released"}

    assert counted == {
        Counted("FP1", "too_fresh", "2026-W36", 2),
        Counted("FP1", "too_old", "2026-W37", 1),
        Counted("S4", "wrong_grade_in_place", "2026-W36", 1),
        Counted("QUARRY LANE", "complaint", "2026-W36", 1),
    }
