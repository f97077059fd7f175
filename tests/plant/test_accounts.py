"""Who may sign in: by initials or id, with the right code, while the account and the role last."""

from __future__ import annotations

import pytest

from beadwright.errors import Misuse
from beadwright.ledger import people
from beadwright.ledger.people import Person
from beadwright.plant import accounts
from beadwright.plant.access import Role
from beadwright.plant.opening import Plant, open_plant
from tests.plant.yard import Yard

pytestmark = pytest.mark.django_db

CODE = "brass kettle"


@pytest.fixture
def plant() -> Plant:
    """A plant whose engineer P-13 is known by initials and has a code."""
    Yard.open()
    people.match("P1", [Person("EI", "P-13", "Edda Ivesworth")])
    plant = open_plant("P1")
    accounts.give(plant, "P-13", CODE)
    return plant


@pytest.mark.parametrize("named", ["EI", "ei ", "P-13", "p-13"])
def test_initials_and_id_sign_in(plant: Plant, named: str) -> None:
    """In either case; the role is the record's."""
    told = accounts.sign_in(plant, named, CODE)

    assert told is not None
    assert (told.person, told.name, told.role) == ("P-13", "Edda Ivesworth", Role.ENGINEER)
    assert (told.who.account, told.who.role) == ("P-13", Role.ENGINEER)


@pytest.mark.parametrize(
    ("named", "code"), [("EI", "brass kettl"), ("EI", ""), ("P-14", CODE), ("install", CODE)]
)
def test_nobody_else_does(plant: Plant, named: str, code: str) -> None:
    """Not with another code, not a person without an account, not the shell's own account."""
    assert accounts.sign_in(plant, named, code) is None


def test_a_closed_account_an_erased_name_and_a_lost_role_are_out_at_once(plant: Plant) -> None:
    """What a request asks again says so; a new code has another proof."""
    first = accounts.signed(plant, "P-13")
    accounts.give(plant, "P-13", "another kettle")
    second = accounts.signed(plant, "P-13")
    assert first is not None
    assert second is not None
    assert first.proof != second.proof
    assert accounts.close(plant, "P-13")
    assert accounts.signed(plant, "P-13") is None
    accounts.give(plant, "P-13", CODE)
    people.erase("P1", "P-13")
    assert accounts.signed(plant, "P-13") is None


def test_the_record_holds_neither_code_nor_account(plant: Plant) -> None:
    """Its head is the same before and after; and the secret is no code."""
    before = open_plant("P1").head
    accounts.give(plant, "P-14", CODE)

    assert open_plant("P1").head == before
    assert [one.person for one in accounts.those_who_may(plant)] == ["P-14", "P-13"]


@pytest.mark.parametrize(("person", "code"), [("P-99", CODE), ("P-13", "12345")])
def test_no_account_without_a_role_or_with_a_short_code(
    plant: Plant, person: str, code: str
) -> None:
    """A role is given in the record, by an engineer."""
    with pytest.raises(Misuse):
        accounts.give(plant, person, code)
