"""Deciding on a nonconforming quantity: what is conceded is free, and nothing else is."""

from __future__ import annotations

import pytest

from beadwright.ledger import holds, lots
from beadwright.plant.nc_acts import (
    Disposal,
    Opening,
    affected,
    disposing,
    entry,
    opening,
    whole_of,
)
from beadwright.plant.nc_file import Complaint, Quantity, left
from beadwright.plant.nonconforming import FileAnswer, file_of
from tests.plant.yard import Yard, ms

pytestmark = pytest.mark.django_db

CAUSE = "too_fresh:S1"
UNEXPLAINED = ["cause_not_stated", "action_not_stated"]


@pytest.fixture
def yard() -> Yard:
    """A yard that moulded L8 and L9 from beads too fresh."""
    yard = Yard.open()
    yard.bag("B-1")
    yard.carton("T-1")
    yard.expand("B-1", "S1")
    yard.mould("L8", good=30, at=3)
    yard.mould("L9", good=40, at=4)
    return yard


def stopped(yard: Yard, lot: str) -> set[str]:
    """What still stops a lot."""
    view = lots.get(yard.no, lot)
    assert view is not None
    return {one.partition("@")[0] for one in holds.open_causes(yard.no, "|".join(view.causes))}


def opened(yard: Yard, *items: Quantity, held: bool = False) -> FileAnswer:
    """Open a file on the cause; all that it reaches, where nothing is named."""
    what = items or affected(yard.no, [CAUSE])
    said = Opening("moulded too fresh", "P-13", (CAUSE,), what, held=held)
    yard.door.post_many(opening(yard.no, "NC-0001", said, ms(40)), yard.who)
    return file_of(yard.no, "NC-0001")


def decide(yard: Yard, how: str, *of: Quantity, at: float = 41, good: int = 0) -> FileAnswer:
    """Decide on quantities of the file."""
    conforming = Quantity(of[0].lot, good) if good else None
    said = Disposal(how, of, "measured a day later", "P-13", conforming)
    drafts = disposing(yard.no, file_of(yard.no, "NC-0001"), said, ms(at))
    yard.door.post_many(drafts, yard.who)
    return file_of(yard.no, "NC-0001")


def test_a_cause_reaches_all_that_was_moulded_with_it(yard: Yard) -> None:
    """With its pieces and their mass; where nothing was moulded, the offending lot."""
    unit = lots.get_many(yard.no, ["L8"])["L8"].unit_mg
    yard.set("place", "S4", kind="silo", content=True, accepts=["PK1"])
    yard.expand("B-1", "S4", kg=10, at=30)
    (cause,) = {n.cause for n in holds.nonconformities(yard.no) if n.code != "too_fresh"}

    assert affected(yard.no, [CAUSE]) == (
        Quantity("L8", 30, 30 * unit),
        Quantity("L9", 40, 40 * unit),
    )
    assert affected(yard.no, [cause]) == (Quantity("B-1", 0, 590_000_000),)


def test_all_of_a_lot_is_what_is_in_the_plant_and_with_receivers(yard: Yard) -> None:
    """Pieces shipped still count; a bag counts what is left of it."""
    yard.bundle("BN-1", "L9", 20)
    yard.ship("SH-1", "BN-1", 15)

    found = whole_of(yard.no, ["L9", "SH-1", "B-1"])

    assert [found[code].pieces for code in ("L9", "SH-1", "B-1")] == [40, 15, 0]
    assert found["B-1"].mg == 600_000_000


def test_one_concession_frees_what_was_decided_on_and_nothing_else(yard: Yard) -> None:
    """The other lot of the cause goes on hold in the same moment, under the file's name."""
    opened(yard)
    assert stopped(yard, "L8") == stopped(yard, "L9") == {CAUSE}

    after = decide(yard, "concession", Quantity("L9", 40))

    assert stopped(yard, "L9") == set()
    assert stopped(yard, "L8") == {"hold:NC-0001"}
    assert after.file.dispositions[0].conceded == (CAUSE,)
    assert [(one.hold, one.standing) for one in after.holds] == [("NC-0001", ("L8",))]
    assert [fault.code for fault in after.to_do] == ["quantity_left", *UNEXPLAINED]


def test_a_lot_of_the_cause_that_the_file_does_not_name_is_not_freed_either(yard: Yard) -> None:
    """A concession closes the cause for all lots; what nobody looked at is stopped by the hold."""
    opened(yard, Quantity("L9", 40))

    decide(yard, "concession", Quantity("L9", 40))

    assert stopped(yard, "L8") == {"hold:NC-0001"}


def test_a_lot_decided_on_in_part_stays_stopped(yard: Yard) -> None:
    """Until its last piece is decided on; then a person lifts the hold."""
    opened(yard, Quantity("L8", 30), Quantity("L9", 40))
    decide(yard, "scrap", Quantity("L8", 30))
    decide(yard, "concession", Quantity("L9", 25), at=42)
    assert stopped(yard, "L9") == stopped(yard, "L8") == {"hold:NC-0001"}

    after = decide(yard, "sort", Quantity("L9", 15), at=43, good=12)
    assert left(after.file)["L9"].pieces == 3
    after = decide(yard, "scrap", Quantity("L9", 3), at=44)

    assert [fault.code for fault in after.to_do] == UNEXPLAINED
    yard.lift("NC-0001", "L9")
    assert stopped(yard, "L9") == set()
    assert stopped(yard, "L8") == {"hold:NC-0001"}


def test_all_scrapped_and_the_cause_conceded_leaves_all_stopped(yard: Yard) -> None:
    """Closing the cause of what was scrapped does not let it ship."""
    opened(yard)
    decide(yard, "scrap", Quantity("L8", 30), Quantity("L9", 40))

    after = decide(yard, "concession", at=42)

    assert [fault.code for fault in after.to_do] == UNEXPLAINED
    assert stopped(yard, "L8") == stopped(yard, "L9") == {"hold:NC-0001"}


def test_a_complaint_holds_what_it_is_about(yard: Yard) -> None:
    """No rule of the record was broken, so only a person's hold stops the rest of the lot."""
    said = Opening(
        "gap at the ties",
        "P-13",
        items=(Quantity("L9", 2),),
        complaint=Complaint("QUARRY LANE", "two blocks open", "2026-09-02", lot="L9"),
        held=True,
    )
    yard.hold("NC-7", "L8", at=39)

    yard.door.post_many(opening(yard.no, "NC-7", said, ms(40)), yard.who)

    file = file_of(yard.no, "NC-7")
    assert (file.file.origin, file.holds[0].hold) == ("complaint", "NC-7-2")
    assert "hold:NC-7-2" in stopped(yard, "L9")
    assert [one.code for one in file.to_do] == ["quantity_left", *UNEXPLAINED]


def test_places_are_held_alone_and_the_rest_together(yard: Yard) -> None:
    """A hold on a silo says since when, so it names nothing else."""
    opened(yard, Quantity("S1", 0, 5), Quantity("L9", 40), held=True)

    file = file_of(yard.no, "NC-0001").file

    assert file.holds == ("NC-0001", "NC-0001-2")
    placed = {one.hold: one.lots for one in holds.placed(yard.no)}
    assert placed == {"NC-0001": ("L9",), "NC-0001-2": ("S1",)}


def test_a_file_is_closed_when_nothing_is_left_to_do(yard: Yard) -> None:
    """Conceded, decided, explained, the action checked: the record takes it."""
    opened(yard)
    decide(yard, "concession", *affected(yard.no, [CAUSE]))
    yard.post(entry("cause", "NC-0001", ms(42), "P-13", {"text": "nobody saw the hours"}))
    act = {"action": 1, "text": "a clock on the silo", "who": "P-02", "due": "2026-10-01"}
    yard.post(entry("action", "NC-0001", ms(43), "P-13", act))
    check = {"action": 1, "result": "worked", "text": "20 fills looked at"}
    yard.post(entry("check", "NC-0001", ms(44), "P-13", check))
    yard.post(entry("close", "NC-0001", ms(45), "P-13", {"text": "done"}))

    answer = file_of(yard.no, "NC-0001")

    assert (answer.state, answer.to_do) == ("closed", ())
    assert answer.file.closed is not None
    assert answer.file.closed.at_ms == ms(45)
