"""A nonconformity file is what its entries say, in their order; nothing else is needed for it."""

from typing import Any

from beadwright.plant.nc_file import Attachment, File, Quantity, attachments, fold, left, unsettled
from tests.plant.filing import PHOTOGRAPH, entries

OPEN: dict[str, Any] = {
    "title": "moulded too fresh",
    "origin": "record",
    "causes": ["too_fresh:S1"],
    "items": [{"lot": "L1", "pieces": 40, "mg": 400}, {"lot": "BAG", "mg": 900}],
}


def file_of(*said: tuple[str, dict[str, Any]]) -> File:
    """The file that an opening and what follows it make."""
    (found,) = fold(entries(("open", OPEN), *said)).values()
    return found


def test_a_file_begins_with_what_it_was_opened_with() -> None:
    """Title, origin, causes, quantity; who and when."""
    file = file_of()

    assert (file.number, file.title, file.origin) == ("NC-0001", OPEN["title"], "record")
    assert file.causes == ("too_fresh:S1",)
    assert file.items == (Quantity("L1", 40, 400), Quantity("BAG", 0, 900))
    assert (file.opened.by, file.opened.at_ms, file.opened.seq) == ("P-13", 1000, 1)
    assert file.closed is None


def test_a_note_adds_words_and_what_was_found_since() -> None:
    """More pieces of a lot are added to those it had; a cause named twice is one."""
    note = {
        "text": "four more",
        "items": [{"lot": "L1", "pieces": 4, "mg": 40}, {"lot": "L2", "pieces": 1}],
        "causes": ["too_fresh:S1", "too_fresh:S2"],
        "files": [PHOTOGRAPH],
    }

    file = file_of(("note", note))

    assert file.causes == ("too_fresh:S1", "too_fresh:S2")
    assert left(file) == {
        "L1": Quantity("L1", 44, 440), "BAG": Quantity("BAG", 0, 900), "L2": Quantity("L2", 1)
    }  # fmt: skip
    assert attachments(file) == [Attachment("ab" * 32, "wall.jpg", 10)]


def test_a_quantity_is_settled_piece_by_piece() -> None:
    """Sorting settles only what it found to conform; the rest still waits for a decision."""
    sort = {"lot": "L1", "how": "sort", "pieces": 40, "conforming": 25, "reason": "gauge"}
    scrap = {"lot": "L1", "how": "scrap", "pieces": 10, "reason": "too far off"}
    rest = {"lot": "L1", "how": "downgrade", "pieces": 5, "reason": "second choice"}

    assert left(file_of(("disposition", sort)))["L1"].pieces == 15
    assert left(file_of(("disposition", sort), ("disposition", scrap)))["L1"].pieces == 5
    done = file_of(("disposition", sort), ("disposition", scrap), ("disposition", rest))
    assert set(left(done)) == {"BAG"}


def test_mass_is_settled_by_mass() -> None:
    """A lot that is kept by mass has no pieces to count."""
    scrap = {"lot": "BAG", "how": "scrap", "mg": 300, "reason": "wrong grade"}

    assert left(file_of(("disposition", scrap)))["BAG"] == Quantity("BAG", 0, 600)
    assert "BAG" not in left(file_of(("disposition", {**scrap, "mg": 900})))


def test_an_action_is_settled_when_a_check_says_that_it_worked() -> None:
    """The newest check counts; one that failed stays until another action replaces it."""
    act = ("action", {"action": 1, "text": "clock", "who": "P-02", "due": "2026-10-01"})
    failed = ("check", {"action": 1, "result": "did_not_work", "text": "again too fresh"})
    worked = ("check", {"action": 1, "result": "worked", "text": "20 silos looked at"})
    new = ("action", {**act[1], "action": 2, "replaces": 1})

    assert [one.number for one in unsettled(file_of(act))] == [1]
    assert [one.number for one in unsettled(file_of(act, failed))] == [1]
    assert unsettled(file_of(act, failed, worked)) == []
    assert [one.number for one in unsettled(file_of(act, worked, failed))] == [1]
    assert [one.number for one in unsettled(file_of(act, failed, new))] == [2]


def test_the_cause_is_the_one_last_stated_and_both_stay_in_the_record() -> None:
    """An engineer may know better later."""
    file = file_of(("cause", {"text": "night shift"}), ("cause", {"text": "no clock"}))

    assert file.cause is not None
    assert (file.cause.text, file.cause.seq) == ("no clock", 3)


def test_a_number_opens_one_file_and_entries_find_theirs() -> None:
    """What is about no file, or is no entry of one, is passed over."""
    both = fold(
        [
            *entries(("note", {"text": "too early"})),
            *entries(("open", OPEN)),
            *entries(("open", {**OPEN, "title": "second"}), ("close", {"text": "x"})),
            *entries(("open", {**OPEN, "title": "other"}), number="NC-0002"),
        ]
    )

    assert {number: file.title for number, file in both.items()} == {
        "NC-0001": OPEN["title"], "NC-0002": "other"
    }  # fmt: skip
    assert both["NC-0001"].notes == ()
    assert both["NC-0001"].closed is not None
