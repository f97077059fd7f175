"""Who may post what: a table written by hand, every role against every kind of entry and step."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from beadwright.errors import Fault, Refusal
from beadwright.ledger.body import KINDS, kind_of
from beadwright.ledger.draft import (
    RANK,
    Concession,
    Correction,
    Decision,
    Draft,
    Hold,
    Lift,
    ReadingsDraft,
    Release,
    Reversal,
    SettingDraft,
    StepDraft,
    Void,
)
from beadwright.ledger.settings import Settings
from beadwright.plant.access import Role, Who, allow, may_ask, role_of

ROLES = ("operator", "shift_lead", "technician", "engineer", "machine", "auditor")

# x: may. One column for each role, in the order of ROLES.
ENTRIES = {
    "step":       "x x x x x .",
    "readings":   "x x x x x .",
    "void":       ". . x x . .",
    "setting":    ". . . x . .",
    "hold":       ". x x x . .",
    "lift":       ". . . x . .",
    "release":    ". . . x . .",
    "concession": ". . . x . .",
    "decision":   ". . . x . .",
    "correct":    ". x . x . .",
    "reverse":    ". x . x . .",
}  # fmt: skip

STEPS = {
    "receipt":      "x x . x . .",
    "return":       ". x . x . .",
    "expand":       "x x . x . .",
    "fill":         "x x . x . .",
    "draw":         "x x . x . .",
    "mould":        "x x . x . .",
    "produce":      "x x . x x .",
    "run_open":     "x x . x . .",
    "run_close":    "x x . x . .",
    "inspect":      ". x x x . .",
    "split":        "x x x x . .",
    "merge":        "x x . x . .",
    "move":         "x x . x . .",
    "relabel":      "x x x x . .",
    "sample":       ". . x x . .",
    "bundle":       "x x . x . .",
    "ship":         ". x . x . .",
    "scrap":        "x x . x . .",
    "strip":        "x x . x . .",
    "grind":        "x x . x . .",
    "densify":      "x x . x . .",
    "dispose":      ". x . x . .",
    "ran_empty":    "x x . x . .",
    "swept_empty":  ". x . x . .",
    "weigh":        "x x x x x .",
    "stocktake":    ". . . x . .",
    "first_piece":  ". x x x . .",
    "mould_change": ". x . x . .",
    "hold":         ". . . . . .",
    "lift":         ". . . . . .",
}  # fmt: skip
"""`hold` and `lift` are entries of their own; nobody posts them as steps."""


def step(kind: str = "weigh") -> StepDraft:
    """A step of a kind; what else it says does not matter to roles."""
    return StepDraft("k", kind, 0, ())


DRAFTS: tuple[Draft, ...] = (
    step(),
    ReadingsDraft("k", 0, ()),
    Void("k", 0, "r", "wrong"),
    SettingDraft("k", 0, "product", "FB6", {}),
    Hold("k", 0, "H", "smell", ()),
    Lift("k", 0, "H", "clear", ()),
    Release("k", 0, "L", "e"),
    Concession("k", 0, "c", "tested"),
    Decision("k", 0, "signature", "L", {}),
    Correction("k", "s", step(), "mistyped", 0),
    Reversal("k", "s", "mistaken", 0),
)


def taken(role: str | None, draft: Draft) -> bool:
    """Whether the role may post the draft; a refusal must be not_allowed and name the account."""
    who = Who("ann", None if role is None else Role(role))
    said: tuple[Fault, ...] = ()
    try:
        allow(who, draft)
    except Refusal as refusal:
        said = refusal.faults
    assert {fault.code for fault in said} <= {"not_allowed"}
    assert all("ann" in fault.what for fault in said)
    return not said


def column(row: str, role: str) -> bool:
    """What the table says."""
    return row.split()[ROLES.index(role)] == "x"


def test_the_table_is_complete() -> None:
    """Every role, every kind of entry and every kind of step stands in it."""
    assert set(ROLES) == {str(role) for role in Role}
    assert set(ENTRIES) == set(KINDS) == {kind_of(draft) for draft in DRAFTS}
    assert set(STEPS) == set(RANK)


@pytest.mark.parametrize("role", ROLES)
@pytest.mark.parametrize("draft", DRAFTS, ids=kind_of)
def test_each_kind_of_entry(role: str, draft: Draft) -> None:
    """A role posts the kinds of entry the table gives it, and no other."""
    assert taken(role, draft) is column(ENTRIES[kind_of(draft)], role)


@pytest.mark.parametrize("role", ROLES)
@pytest.mark.parametrize("kind", STEPS)
def test_each_kind_of_step(role: str, kind: str) -> None:
    """A role posts the kinds of step the table gives it, happened or planned alike."""
    may = column(STEPS[kind], role)

    assert taken(role, step(kind)) is may
    assert taken(role, replace(step(kind), planned=True)) is may


@pytest.mark.parametrize("role", ROLES)
@pytest.mark.parametrize("kind", STEPS)
def test_a_correction_restates_only_what_the_role_may_post(role: str, kind: str) -> None:
    """To restate a step one must be allowed to correct, and to post such a step."""
    draft = Correction("k", "s", step(kind), "mistyped", 0)

    assert taken(role, draft) is (column(ENTRIES["correct"], role) and column(STEPS[kind], role))


@pytest.mark.parametrize("role", ROLES)
@pytest.mark.parametrize(
    ("kind", "who"),
    [
        ("nc_open", {"shift_lead", "technician", "engineer"}),
        ("nc_note", {"shift_lead", "technician", "engineer"}),
        ("nc_disposition", {"engineer"}),
        ("nc_cause", {"engineer"}),
        ("nc_action", {"engineer"}),
        ("nc_check", {"engineer"}),
        ("nc_close", {"engineer"}),
    ],
)
def test_who_works_on_a_nonconformity_file(role: str, kind: str, who: set[str]) -> None:
    """Whoever finds something opens a file and adds to it; the engineer decides and closes."""
    assert taken(role, Decision("k", 0, kind, "NC-0001", {})) is (role in who)


@pytest.mark.parametrize("draft", DRAFTS, ids=kind_of)
def test_without_a_role_nothing_is_allowed(draft: Draft) -> None:
    """The default is no."""
    assert not taken(None, draft)


def test_who_may_ask() -> None:
    """Everybody with a role asks, but for a machine, which only tells."""
    may = {role: may_ask(Who("ann", Role(role))) for role in ROLES}

    assert may == {
        "operator": True, "shift_lead": True, "technician": True, "engineer": True,
        "machine": False, "auditor": True,
    }  # fmt: skip
    assert not may_ask(Who("ann", None))


def test_a_role_is_a_dated_setting() -> None:
    """An account has the role in force at the time, and none before it was given one."""
    given = Settings(
        ("role", "ann", since, seq, json.dumps({"role": role}))
        for since, seq, role in ((100, 1, "operator"), (200, 2, "engineer"))
    )  # fmt: skip

    assert role_of("ann", given, 99) is None
    assert role_of("ann", given, 100) is Role.OPERATOR
    assert role_of("ann", given, 200) is Role.ENGINEER
    assert role_of("ben", given, 200) is None
    assert role_of("install", given, 0) is Role.ENGINEER
