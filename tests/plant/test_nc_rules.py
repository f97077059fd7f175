"""Whatever is entered in a file, and in whatever order: nothing is decided twice, nothing lost."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from beadwright.ledger.draft import Decision
from beadwright.plant.nc_file import (
    DISPOSITIONS,
    File,
    Quantity,
    fold,
    left,
    no_fault_found,
    quantities,
    unsettled,
)
from beadwright.plant.nc_rules import Grounds, closing_faults, faults, quantity_words
from tests.plant.filing import Entry, draft, entries

LOTS = ("L1", "L2", "BAG")
GROUNDS = Grounds({"too_fresh:S1": False, "wrong_grade:P2": True}, frozenset(LOTS))

ITEMS = [{"lot": "L1", "pieces": 9, "mg": 90}, {"lot": "L2", "pieces": 4}, {"lot": "BAG", "mg": 9}]

amounts = st.integers(0, 5)
counted, weighed = st.sampled_from(["L1", "L2"]), st.just("BAG")
more = st.integers(1, 3)
items = st.lists(
    st.one_of(
        st.fixed_dictionaries({"lot": counted, "pieces": more}),
        st.fixed_dictionaries({"lot": weighed, "mg": more}),
    ),
    max_size=2,
)
causes = st.lists(st.sampled_from(sorted(GROUNDS.causes)), max_size=1)
how = st.sampled_from(["scrap", "rework", "downgrade", "concession"])
reason = st.just("so")
disposals = st.one_of(
    st.fixed_dictionaries({"lot": counted, "how": how, "reason": reason, "pieces": amounts}),
    st.fixed_dictionaries({"lot": weighed, "how": how, "reason": reason, "mg": amounts}),
    st.fixed_dictionaries(
        {
            "lot": counted,
            "how": st.just("sort"),
            "reason": reason,
            "pieces": amounts,
            "conforming": amounts,
        }
    ),
    st.fixed_dictionaries(
        {"lot": st.sampled_from(LOTS), "how": st.sampled_from(DISPOSITIONS), "reason": reason},
        optional={
            "pieces": amounts,
            "mg": amounts,
            "conforming": amounts,
            "conforming_mg": amounts,
        },
    ),
)
numbers = st.integers(1, 3)
actions = st.fixed_dictionaries(
    {"action": numbers, "text": st.just("do"), "who": st.just("P-1"), "due": st.just("2026-10-01")},
    optional={"replaces": numbers},
)
checks = st.fixed_dictionaries(
    {"action": numbers, "result": st.sampled_from(["worked", "did_not_work"]), "text": st.just("x")}
)
said = st.one_of(
    st.builds(lambda i, c: draft("note", text="more", items=i, causes=c), items, causes),
    st.builds(lambda body: draft("disposition", **body), disposals),
    st.builds(lambda body: draft("action", **body), actions),
    st.just(draft("cause", text="so")),
    st.builds(lambda body: draft("check", **body), checks),
)
whole = st.tuples(
    st.lists(said, max_size=14), st.lists(st.just(draft("close", text="x")), max_size=1)
)
drafts = whole.map(lambda parts: [*parts[0], *parts[1]])


def taken(drafts: list[Decision]) -> tuple[File, list[Decision]]:
    """The file after everything that the rules let in, and what they did."""
    known: list[Entry] = []
    accepted = []
    for place, one in enumerate([draft("open", title="x", origin="found", items=ITEMS), *drafts]):
        if not faults(fold(known), one, GROUNDS):
            known.append(Entry(place, one.kind, one.about, 0, one.by, one.body))
            accepted.append(one)
    return fold(known)["NC-0001"], accepted


@given(drafts)
def test_what_is_settled_and_what_is_left_make_up_the_quantity(drafts: list[Decision]) -> None:
    """Of every lot, in pieces or mass: no piece is decided on twice, none is forgotten."""
    file, _ = taken(drafts)
    rest = left(file)

    for lot, whole in quantities(file).items():
        settled = [one.settled for one in file.dispositions if one.of.lot == lot]
        part = rest.get(lot, Quantity(lot))
        if whole.pieces:
            assert sum(one.pieces for one in settled) + part.pieces == whole.pieces
        else:
            assert sum(one.mg for one in settled) + part.mg == whole.mg
    assert {one.of.lot for one in file.dispositions} <= set(quantities(file))


@given(drafts)
def test_a_file_is_closed_when_nothing_is_left_to_do_and_not_before(
    drafts: list[Decision],
) -> None:
    """Asked to close, it does where nothing is missing; else all that is missing is said."""
    file, accepted = taken([one for one in drafts if one.kind != "nc_close"])
    missing = list(closing_faults(file, GROUNDS))

    after, _ = taken([*accepted[1:], draft("close", text="done")])

    assert (after.closed is None) == bool(missing)
    kinds = {fault.code for fault in missing}
    assert ("quantity_left" in kinds) == bool(left(file))
    unexplained = not no_fault_found(file)
    assert ("cause_not_stated" in kinds) == (unexplained and file.cause is None)
    assert ("action_not_stated" in kinds) == (unexplained and not file.actions)
    assert ("action_unchecked" in kinds) == bool(unsettled(file))
    assert ("cause_open" in kinds) == ("wrong_grade:P2" in file.causes)


def test_a_closed_file_takes_nothing_more() -> None:
    """Not even words; a new file names it."""
    bodies = [
        {"lot": "L1", "pieces": 9}, {"lot": "L2", "pieces": 4}, {"lot": "BAG", "mg": 9}
    ]  # fmt: skip
    scrapped = [draft("disposition", how="scrap", reason="so", **body) for body in bodies]
    explained = [
        draft("cause", text="so"),
        draft("action", action=1, text="do", who="P-1", due="2026-10-01"),
        draft("check", action=1, result="worked", text="x"),
    ]
    file, accepted = taken(
        [*scrapped, *explained, draft("close", text="x"), draft("note", text="more")]
    )

    assert file.closed is not None
    assert [one.kind for one in accepted][-1] == "nc_close"


@pytest.mark.parametrize(
    ("how", "pieces", "complaint", "codes"),
    [
        ("sort", 9, None, []),
        ("sort", 9, {"receiver": "Q", "text": "gaps", "received": "2026-09-01"}, []),
        ("scrap", 9, None, ["cause_not_stated", "action_not_stated"]),
        ("concession", 9, None, ["cause_not_stated", "action_not_stated"]),
        ("", 0, None, []),
        (
            "", 0, {"receiver": "Q", "text": "gaps", "received": "2026-09-01"},
            ["cause_not_stated", "action_not_stated"],
        ),
    ],
)  # fmt: skip
def test_where_a_fault_was_found_a_reason_and_an_action_are_asked_for(
    how: str, pieces: int, complaint: dict[str, str] | None, codes: list[str]
) -> None:
    """What was sorted and conforms needs neither; a complaint is not answered by words alone."""
    items = [{"lot": "L1", "pieces": pieces}] if pieces else []
    opened = {"title": "x", "origin": "found", "items": items}
    told = {} if complaint is None else {"complaint": complaint}
    said: list[tuple[str, dict[str, Any]]] = [("open", {**opened, **told})]
    if how:
        body: dict[str, Any] = {"lot": "L1", "how": how, "reason": "so", "pieces": pieces}
        said.append(("disposition", body | ({"conforming": pieces} if how == "sort" else {})))
    file = fold(entries(*said))["NC-0001"]

    assert [fault.code for fault in closing_faults(file, GROUNDS)] == codes


def test_other_decisions_are_none_of_its_business() -> None:
    """A signature may say what it likes."""
    assert faults({}, Decision("k", 0, "signature", "balance", {"ok": True}), GROUNDS) == []


def test_quantities_in_words() -> None:
    """Pieces where it is counted, else kilograms; nothing is nothing."""
    told: list[Any] = [quantity_words(1, 5), quantity_words(12, 0), quantity_words(0, 41_200_000)]

    assert [*told, quantity_words(0, 0)] == ["1 piece", "12 pieces", "41.2 kg", "nothing"]
