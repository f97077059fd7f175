"""Entries of a nonconformity file at the door: bodies that nobody could read, and races."""

from __future__ import annotations

from typing import Any

import pytest

from beadwright.errors import Refusal
from beadwright.ledger.draft import Concession, Decision
from beadwright.plant.access import Role, Who
from beadwright.plant.nonconforming import file_of, folded
from tests.door.filed import AT, entry, explained, opened
from tests.plant.filing import PHOTOGRAPH
from tests.plant.yard import Yard, ms

pytestmark = pytest.mark.django_db


@pytest.fixture
def yard() -> Yard:
    """A yard with a bag of beads and a carton of ties, and beads in its silo."""
    yard = Yard.open()
    yard.bag("B-1")
    yard.carton("T-1")
    yard.expand("B-1", "S1")
    return yard


def codes(yard: Yard, *drafts: Decision) -> tuple[str, ...]:
    """Codes with which drafts are refused; none where they are taken."""
    try:
        yard.door.post_many(drafts, yard.who)
    except Refusal as refusal:
        return refusal.codes
    return ()


FOUND = {"title": "torn bag", "origin": "found"}


@pytest.mark.parametrize(
    "draft",
    [
        entry("open"),
        entry("open", "NC 1", **FOUND),
        entry("open", "", **FOUND),
        entry("open", "NC-00000000000000000001", **FOUND),
        entry("open", **FOUND, colour="red"),
        entry("open", title="  ", origin="found"),
        entry("open", title="torn", origin="heard"),
        entry("open", title="torn", origin="record"),
        entry("open", title="torn", origin="complaint"),
        entry("open", title="torn", origin="photograph"),
        entry("open", title="torn", origin="complaint", complaint={"receiver": "QUARRY LANE"}),
        entry("open", **FOUND, items=[{"lot": "B-1"}]),
        entry("open", **FOUND, items=[{"lot": "B-1", "pieces": -1}]),
        entry("open", **FOUND, items=[{"lot": "B-1", "pieces": True}]),
        entry("open", **FOUND, items=[{"lot": "B-1", "pieces": 2.5}]),
        entry("open", **FOUND, items="B-1"),
        entry("open", **FOUND, files=[{**PHOTOGRAPH, "sha256": "abc"}]),
        entry("open", **FOUND, causes=[""]),
        entry("note", text=""),
        entry("disposition", lot="L9", how="repaint", pieces=1, reason="soft"),
        entry("disposition", lot="L9", how="scrap", reason="soft"),
        entry("disposition", lot="L9", how="scrap", pieces=1, conforming=1, reason="soft"),
        entry("action", action=0, text="sew", who="P-02", due="2026-10-01"),
        entry("action", action=1, text="sew", who="P-02", due="soon"),
        entry("action", action=1, text="sew", who="P-02", due="20261001"),
        entry("check", action=1, result="perhaps", text="looked"),
        entry("close"),
    ],
    ids=lambda draft: f"{draft.kind}-{sorted(draft.body)}",
)
def test_a_body_that_nobody_could_read_later_is_refused(yard: Yard, draft: Decision) -> None:
    """Nothing in the record is taken back, so the door looks first; asking tells the same."""
    opened_as = "NC-0002" if draft.kind == "nc_open" else "NC-0001"
    items = [{"lot": "L9", "pieces": 2, "mg": 6}]
    yard.mould("L9", good=2, at=20)
    yard.post(entry("open", opened_as, key="open", **FOUND, items=items))

    assert set(codes(yard, draft)) == {"bad_decision"}
    assert {fault.code for fault in yard.door.may(draft, yard.who).faults} == {"bad_decision"}


@pytest.mark.parametrize(
    ("code", "body"),
    [
        ("unknown_lot", {"items": [{"lot": "B-9", "mg": 3}]}),
        ("unknown_cause", {"causes": ["too_fresh:S9"]}),
    ],
)
def test_a_file_names_only_what_is_in_the_record(
    yard: Yard, code: str, body: dict[str, Any]
) -> None:
    """When it is opened and when something is added; what has no lot at all may be named so."""
    yard.post(entry("open", key="a", **FOUND, items=[{"lot": "", "pieces": 2, "what": "blocks"}]))

    assert codes(yard, entry("open", "NC-0002", **FOUND, **body)) == (code,)
    assert codes(yard, entry("note", text="more", **body)) == (code,)
    said = {"receiver": "QUARRY LANE", "text": "broken", "received": "2026-09-01", "lot": "L-9"}
    wrong = entry("open", "NC-0002", title="x", origin="complaint", complaint=said)
    assert codes(yard, wrong) == ("unknown_lot",)


def test_a_batch_is_looked_at_as_if_what_stands_before_were_in(yard: Yard) -> None:
    """Opened and noted at once; the second of two with one number is refused, and with it both."""
    assert codes(yard, entry("open", key="a", **FOUND), entry("note", key="b", text="more")) == ()
    twice = [entry("open", "NC-0002", key=key, **FOUND) for key in ("c", "d")]

    assert codes(yard, *twice) == ("number_used",)
    assert list(folded(yard.no)) == ["NC-0001"]


def test_the_same_entry_sent_again_is_taken_as_said(yard: Yard) -> None:
    """A client that heard no answer sends it again: nothing is refused, nothing doubled."""
    draft = entry("open", **FOUND)
    first, again = yard.post(draft), yard.post(draft)

    assert (again.repeated, again.seq) == (True, first.seq)
    assert codes(yard, entry("open", title="other", origin="found")) == ("key_reused",)


def test_in_a_new_plant_there_is_no_file_yet() -> None:
    """The first entry of a plant may be anything but about a file that is not there."""
    yard = Yard.open()
    yard.door = type(yard.door)("P2", yard.door.rules, yard.door.clock)
    yard.set("role", "P-13", role="engineer")

    assert codes(yard, entry("note", text="more")) == ("unknown_file",)


def test_who_finds_something_opens_a_file_and_the_engineer_decides(yard: Yard) -> None:
    """A technician opens and notes; a disposition is refused, and the file says who opened it."""
    yard.who = Who("tess", Role.TECHNICIAN)
    yard.post(entry("open", key="a", **FOUND, items=[{"lot": "B-1", "mg": 5}]))
    yard.post(entry("note", key="b", text="a second tear"))
    scrap = entry("disposition", lot="B-1", how="scrap", mg=5, reason="wet")

    assert codes(yard, scrap) == ("not_allowed",)
    assert file_of(yard.no, "NC-0001").file.opened.by == "P-13"


def test_a_closed_file_whose_grounds_change_is_open_again(yard: Yard) -> None:
    """A cause conceded and closed that comes again, by a late entry, opens the file with it."""
    opened(yard)
    (cause,) = file_of(yard.no, "NC-0001").causes
    yard.post(Concession("c", ms(AT), cause.cause, "tested", tuple(s.mark for s in cause.steps)))
    yard.post(entry("disposition", key="d", lot="L9", how="concession", pieces=2, reason="ok"))
    explained(yard)
    yard.post(entry("close", key="h", text="done"))
    assert file_of(yard.no, "NC-0001").state == "closed"

    yard.mould("L8", good=1, at=4)

    assert file_of(yard.no, "NC-0001").state == "reopened"
    assert [fault.code for fault in file_of(yard.no, "NC-0001").to_do] == ["cause_open"]
    assert codes(yard, entry("note", text="L8 as well")) == ()
    assert codes(yard, entry("close", text="again", key="z")) == ("cause_open",)
