"""Whoever decides must be allowed to decide: the person named, besides the account at the door."""

from __future__ import annotations

from dataclasses import replace

import pytest

from beadwright.errors import Refusal
from beadwright.ledger.draft import (
    Concession,
    Correction,
    Decision,
    Draft,
    Hold,
    Lift,
    Release,
    Reversal,
    SettingDraft,
    Void,
)
from beadwright.plant.access import Role, Who
from tests.door.drafts import busy
from tests.door.refused import fill
from tests.door.snapshot import everything
from tests.plant.asking import the_lot
from tests.plant.yard import Yard, ms

pytestmark = pytest.mark.django_db


def decisions(yard: Yard) -> dict[str, Draft]:
    """One of each kind that names who decides; each would be taken of an engineer."""
    yard.post(fill("filled"))
    evidence = the_lot(yard).evidence
    by = "P-77"
    return {
        "release": Release("x", ms(82), "L1", evidence, by=by),
        "lift": Lift("x", ms(82), "H1", "clear", ("B-1B",), by=by),
        "concession": Concession("x", ms(82), "too_fresh:S1", "tested", by=by),
        "setting": SettingDraft("x", ms(82), "ageing", "F1", {"min_h": "8", "max_h": "99"}, by=by),
        "correct": Correction("x", "filled", replace(fill("filled"), by="P-2"), "who", ms(82), by),
        "reverse": Reversal("x", "filled", "twice", ms(82), by=by),
        "void": Void("x", ms(82), "weighed/2", "wrong block", by=by),
        "decision": Decision("x", ms(82), "signature", "FB6", {}, by=by),
    }


KINDS = ("release", "lift", "concession", "setting", "correct", "reverse", "void", "decision")
MAY = {
    "operator": set(), "shift_lead": {"correct", "reverse"}, "technician": {"void"},
    "engineer": set(KINDS), "auditor": set(), "machine": set(),
}  # fmt: skip


def codes(yard: Yard, draft: Draft) -> tuple[str, ...]:
    """Codes with which it is refused, asked and tried alike; nothing is written then."""
    before = everything()
    asked = yard.door.may(draft, yard.who)
    refused: tuple[str, ...] = ()
    try:
        yard.post(draft)
    except Refusal as refusal:
        refused = refusal.codes
    assert tuple(fault.code for fault in asked.faults) == refused
    assert not refused or everything() == before
    return refused


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("role", MAY)
def test_a_person_decides_what_their_role_allows(kind: str, role: str) -> None:
    """At the shell too, whose account is an engineer's."""
    yard = busy()
    draft = decisions(yard)[kind]
    yard.set("role", "P-77", role=role)

    assert codes(yard, draft) == (() if kind in MAY[role] else ("not_allowed",))


@pytest.mark.parametrize("kind", KINDS)
def test_whoever_has_no_role_decides_nothing(kind: str) -> None:
    """The refusal names the person and what they may not."""
    yard = busy()
    draft = decisions(yard)[kind]

    with pytest.raises(Refusal, match=rf"P-77 \(no role\) may not post a {kind}"):
        yard.post(draft)


IMPORT = Who("import:0a1b2c3d", Role.ENGINEER)


@pytest.mark.parametrize("kind", [kind for kind in KINDS if kind != "setting"])
def test_history_is_taken_of_people_without_a_role(kind: str) -> None:
    """What an import brings was decided before anybody's role was set; a role forbids there too."""
    yard = busy()
    yard.set("role", "P-78", role="operator")
    draft = decisions(yard)[kind]
    yard.who = IMPORT

    assert codes(yard, replace(draft, by="P-78")) == ("not_allowed",)
    assert codes(yard, draft) == ()


def test_a_file_changes_settings_where_an_engineer_signs_for_it() -> None:
    """By the role that the record knows now, not by one that comes with the same file."""
    yard = busy()
    yard.set("role", "P-78", role="operator")
    yard.who = IMPORT
    draft = decisions(yard)["setting"]
    given = SettingDraft("g", ms(0), "role", "P-77", {"role": "engineer"})

    assert codes(yard, replace(draft, by="")) == ("setting_unsigned",)
    assert codes(yard, draft) == ("not_allowed",)
    assert codes(yard, replace(draft, by="P-78")) == ("not_allowed",)
    with pytest.raises(Refusal, match="settings change, and no engineer signs"):
        yard.door.post_many([given, replace(draft, by="")], IMPORT)
    with pytest.raises(Refusal, match="may not change settings"):
        yard.door.post_many([replace(given, by="P-77"), draft], IMPORT)
    assert codes(yard, replace(draft, by="P-13")) == ()


def test_an_engineer_of_today_may_date_a_setting_before_his_role() -> None:
    """He decides it now; from which day it holds is another thing."""
    yard = busy()
    yard.set("role", "P-78", role="operator")
    yard.set("role", "P-78", role="engineer", since=83)
    yard.who = IMPORT

    assert codes(yard, replace(decisions(yard)["setting"], by="P-78")) == ()


def test_anybody_may_stop_a_lot() -> None:
    """To place a hold is no decision in anybody's favour; a step and a reading say who did it."""
    yard = busy()
    yard.set("role", "P-77", role="operator")

    for by in ("P-77", "P-78"):
        assert codes(yard, Hold(f"h/{by}", ms(82), f"H-{by}", "smell", ("L1",), by=by)) == ()
        assert codes(yard, replace(fill(f"s/{by}"), by=by)) == ()


def test_a_role_counts_from_its_day() -> None:
    """A decision of the day before it was given is not allowed by it."""
    yard = busy()
    yard.set("role", "P-77", role="engineer", since=83)
    draft = decisions(yard)["decision"]

    assert codes(yard, draft) == ("not_allowed",)
    assert codes(yard, replace(draft, happened_at=ms(83))) == ()


def test_a_role_given_in_the_same_append_counts() -> None:
    """A plant's first import gives roles and brings decisions."""
    yard = busy()
    given = SettingDraft("g", ms(0), "role", "P-77", {"role": "engineer"})

    assert len(yard.door.post_many([given, decisions(yard)["decision"]], yard.who)) == 2


def test_in_a_new_plant_nobody_has_a_role() -> None:
    """Not even to ask is needed that the plant is there."""
    yard = Yard.open()
    yard.door = replace(yard.door, plant="P2")
    first = SettingDraft("s", ms(0), "plant", "P2", {"name": "Second", "zone": "UTC"}, by="P-13")

    assert codes(yard, first) == ("not_allowed",)
    assert codes(yard, replace(first, by="")) == ()


def test_an_unnamed_decision_is_the_account_s_own() -> None:
    """A program with an account of its own decides as that."""
    yard = busy()
    yard.set("role", "ann", role="operator")
    yard.who = Who("ann", Role.OPERATOR)

    with pytest.raises(Refusal, match="ann"):
        yard.post(Decision("x", ms(82), "signature", "FB6", {}))
