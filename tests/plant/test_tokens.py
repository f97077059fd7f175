"""Tokens: who shows one is let in, in its role and at its place, until it is closed."""

from __future__ import annotations

import pytest

from beadwright.errors import Misuse
from beadwright.ledger import store
from beadwright.ledger.draft import Hold, Reading, ReadingsDraft, StepDraft
from beadwright.plant import tokens
from beadwright.plant.access import Role
from beadwright.plant.opening import Plant, open_plant
from tests.plant.yard import Yard

pytestmark = [pytest.mark.django_db, pytest.mark.store]


@pytest.fixture
def plant() -> Plant:
    """A plant with a press FP1 and silos."""
    Yard.open()
    return open_plant("P1")


def test_who_shows_a_token_has_its_role(plant: Plant) -> None:
    """The account in the record says that it was a token."""
    told = tokens.holder(plant, tokens.give(plant, "scale-2", "operator", "FP1"))

    assert told is not None
    assert (told.name, told.role, told.station) == ("scale-2", Role.OPERATOR, "FP1")
    assert (told.who.account, told.who.role) == ("token:scale-2", Role.OPERATOR)


def test_only_a_hash_is_kept(plant: Plant) -> None:
    """The store holds nothing that could be shown."""
    secret = tokens.give(plant, "scale-2", "machine")
    kept = str(list(store.select("SELECT * FROM ledger_token", [])))

    assert "scale-2" in kept
    assert secret not in kept


def test_a_token_closed_or_given_anew_is_out_at_once(plant: Plant) -> None:
    """The new one of its name is in."""
    first = tokens.give(plant, "scale-2", "machine")
    second = tokens.give(plant, "scale-2", "machine")

    assert tokens.holder(plant, first) is None
    assert tokens.holder(plant, second) is not None
    assert tokens.close(plant, "scale-2")
    assert not tokens.close(plant, "scale-2")
    assert tokens.holder(plant, second) is None


@pytest.mark.parametrize("shown", ["", "x", "ü" * 43, "y" * 100_000, "a\x00b"])
def test_an_odd_token_is_nobody(plant: Plant, shown: str) -> None:
    """Whatever it is, it is looked up or not, and nothing more."""
    tokens.give(plant, "scale-2", "machine")

    assert tokens.holder(plant, shown) is None


@pytest.mark.parametrize(
    ("name", "role", "station"),
    [("", "machine", ""), ("a b", "machine", ""), ("m", "king", ""), ("m", "machine", "NOWHERE")],
)
def test_what_cannot_be_is_refused(plant: Plant, name: str, role: str, station: str) -> None:
    """A name, a role and a place must be."""
    with pytest.raises(Misuse):
        tokens.give(plant, name, role, station)


def test_a_token_of_a_place_posts_what_is_of_it_and_nothing_else(plant: Plant) -> None:
    """What names no place is not of it either; a token of no place is not bound."""
    bound = tokens.Holder("press", Role.OPERATOR, "FP1")
    here = StepDraft("s/1", "mould", 1, (), place="FP1")
    there = StepDraft("s/2", "mould", 1, (), place="S1")
    nowhere = StepDraft("s/3", "mould", 1, ())
    read = ReadingsDraft("r/1", 1, (Reading("mass", "1", "kg", lot="NONE"),))
    hold = Hold("h/1", 1, "H-1", "why", ("L1",))

    assert tokens.elsewhere(plant, bound, [here]) == ()
    for draft in (there, nowhere, read, hold):
        faults = tokens.elsewhere(plant, bound, [here, draft])
        assert [one.code for one in faults] == ["not_allowed"]
    assert tokens.elsewhere(plant, tokens.Holder("all", Role.OPERATOR, ""), [there, hold]) == ()
