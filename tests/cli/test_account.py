"""The verb `account`: a code read from a pipe, never shown, taken away by the person's name."""

from __future__ import annotations

import io

import pytest

from beadwright.ledger import people
from beadwright.ledger.people import Person
from beadwright.plant import accounts
from beadwright.plant.opening import open_plant
from tests.cli.shell import Shell
from tests.plant.yard import Yard

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def engineer() -> None:
    """A plant whose engineer P-13 is known by initials, and no account."""
    Yard.open()
    people.match("P1", [Person("EI", "P-13", "Edda Ivesworth")])


def piped(code: str, monkeypatch: pytest.MonkeyPatch) -> Shell:
    """A shell into which a code is piped."""
    monkeypatch.setattr("sys.stdin", io.StringIO(f"{code}\n"))
    return Shell.here()


def test_a_person_signs_in_with_the_code_until_the_account_is_closed(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The code is echoed on neither stream; closing twice is misuse."""
    given = piped("brass kettle", monkeypatch)("account", "EI")
    plant, shell = open_plant("P1"), Shell.here()

    assert given.status == 0, given.err
    assert "brass kettle" not in given.out + given.err
    assert accounts.sign_in(plant, "EI", "brass kettle") is not None
    assert shell("account", "EI", "--close").status == 0
    assert accounts.sign_in(plant, "EI", "brass kettle") is None
    assert shell("account", "EI", "--close").status == 2


@pytest.mark.parametrize(
    ("who", "code", "said"), [("EI", "short", "6"), ("ZZ", "long enough", "ZZ")]
)
def test_what_cannot_be_is_misuse(
    who: str, code: str, said: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A short code, or a person whom nobody knows: nobody can sign in after it."""
    told = piped(code, monkeypatch)("account", who)

    assert told.status == 2
    assert said in told.err
    assert accounts.those_who_may(open_plant("P1")) == ()
