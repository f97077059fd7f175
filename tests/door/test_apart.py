"""Two who release are two people: neither has the role by the other alone, nor looks like them."""

from __future__ import annotations

import pytest

from beadwright.errors import Fault, Refusal
from beadwright.ledger import people
from beadwright.ledger.draft import SettingDraft
from beadwright.ledger.people import Person
from beadwright.plant.door import Door
from beadwright.plant.opening import RULES
from tests.door.released import release, sound
from tests.plant.asking import coded, the_lot
from tests.plant.yard import Yard, ms

pytestmark = pytest.mark.django_db

SET_UP = 10 * 24
"""Hours until the plant has been set up; what comes after it needs somebody who signs."""

_SEQ = iter(range(1000))


def at(yard: Yard, hours: float) -> None:
    """From here on, what is posted is recorded at that hour."""
    yard.door = Door("P1", RULES, clock=lambda: ms(hours))


def role(yard: Yard, person: str, by: str, said: str = "engineer", since: float = 73) -> None:
    """Have somebody sign for a role that is stated anew, as an import does."""
    key = f"setting/role/{person}/{next(_SEQ)}"
    body = {"role": said}
    yard.post(SettingDraft(key, ms(since), "role", person, body, ms(since), by=by))


def plant(monkeypatch: pytest.MonkeyPatch, *others: str) -> Yard:
    """A lot that may ship, where two must release; P-13 and others are engineers from the first."""
    monkeypatch.setattr("tests.plant.yard._NOW", ms(SET_UP))
    yard = sound(Yard.open())
    yard.set("release", "rule", {"persons": 2, "tester_apart": False})
    at(yard, SET_UP + 24)
    for person in {"P-01", "P-09", "P-14"} - set(others):
        role(yard, person, "P-13", "operator", since=72)
    at(yard, SET_UP + 48)
    return yard


def refused(yard: Yard, by: str) -> Fault:
    """The fault with which somebody's release is refused."""
    with pytest.raises(Refusal) as refusal:
        yard.post(release(yard, by))
    (fault,) = refusal.value.faults
    assert fault.code == "persons_not_apart"
    return fault


def test_whoever_signed_for_the_second_is_no_other_person(monkeypatch: pytest.MonkeyPatch) -> None:
    """Neither way round; the message says who, by which entry, and who could mend it."""
    yard = plant(monkeypatch, "P-14")
    role(yard, "P-99", "P-13")
    yard.post(release(yard, "P-13"))

    fault = refused(yard, "P-99")

    assert fault.what.startswith(
        "P-13 and P-99 do not count as two: the role of P-99 was signed for by P-13, entry "
    )
    assert fault.what.endswith(", and by no other engineer")
    assert "P-14 signs for P-99" in fault.remedy
    assert not the_lot(yard).released


def test_it_makes_no_difference_who_is_first(monkeypatch: pytest.MonkeyPatch) -> None:
    """The second id first, then whoever set it up."""
    yard = plant(monkeypatch, "P-14")
    role(yard, "P-99", "P-13")
    yard.post(release(yard, "P-99"))

    assert "the role of P-99 was signed for by P-13" in refused(yard, "P-13").what


def test_with_somebody_else_each_of_them_counts(monkeypatch: pytest.MonkeyPatch) -> None:
    """The rule is met by two who owe each other nothing."""
    yard = plant(monkeypatch, "P-14")
    role(yard, "P-99", "P-13")
    yard.post(release(yard, "P-99"))
    yard.post(release(yard, "P-14"))

    assert the_lot(yard).released
    assert coded(the_lot(yard), "set_up_by_other") == []


def test_another_engineer_stands_for_the_second(monkeypatch: pytest.MonkeyPatch) -> None:
    """Then both are two, and nothing more is said."""
    yard = plant(monkeypatch, "P-14")
    role(yard, "P-99", "P-13")
    role(yard, "P-99", "P-14", since=74)
    yard.post(release(yard, "P-13"))
    yard.post(release(yard, "P-99"))

    assert the_lot(yard).released
    assert coded(the_lot(yard), "set_up_by_other") == []


@pytest.mark.parametrize("by", ["P-99", "P-98"], ids=["itself", "a third of the same making"])
def test_nobody_of_ones_own_making_stands_for_another(
    monkeypatch: pytest.MonkeyPatch, by: str
) -> None:
    """A second id signs for itself, or a third id for the second: both go back to one."""
    yard = plant(monkeypatch, "P-14")
    role(yard, "P-99", "P-13")
    role(yard, "P-98", "P-13")
    role(yard, "P-99", by, since=74)
    yard.post(release(yard, "P-13"))

    refused(yard, "P-99")


def test_somebody_there_from_the_first_who_is_raised_later_counts_as_new(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """An operator's id that one engineer raises is that engineer's to use."""
    yard = plant(monkeypatch, "P-14")
    role(yard, "P-01", "P-13", since=74)
    yard.post(release(yard, "P-13"))

    assert "the role of P-01 was signed for" in refused(yard, "P-01").what


def test_who_was_set_up_with_the_plant_stays_so_when_stated_again(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A role stated again as it was takes nothing away."""
    yard = plant(monkeypatch, "P-14")
    role(yard, "P-14", "P-13", since=74)
    yard.post(release(yard, "P-13"))
    yard.post(release(yard, "P-14"))

    assert the_lot(yard).released


def test_a_plant_with_one_engineer_can_set_up_the_second(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nobody else could sign: both count, and every answer on the lot says so for good."""
    yard = plant(monkeypatch)
    role(yard, "P-99", "P-13")
    yard.post(release(yard, "P-13"))
    yard.post(release(yard, "P-99"))

    told = the_lot(yard)
    assert told.released
    (reason,) = coded(told, "set_up_by_other")
    assert reason.weight == "notes"
    assert reason.sentence.startswith(
        "released by P-13 and by P-99 as two, and the role of P-99 was signed for by P-13, entry "
    )

    role(yard, "P-97", "P-99")
    role(yard, "P-99", "P-97", since=75)
    assert len(coded(the_lot(yard), "set_up_by_other")) == 1


@pytest.mark.parametrize("name", ["Edda Ivesworth", "EDDA  IVESW\u041eRTH", "Edda Ives-worth"])
def test_two_of_one_name_are_not_two(monkeypatch: pytest.MonkeyPatch, name: str) -> None:
    """In other letters too; a fuller name tells two people apart."""
    yard = plant(monkeypatch, "P-14")
    people.match("P1", [Person("EI", "P-13", "Edda Ivesworth"), Person("E2", "P-14", name)])
    yard.post(release(yard, "P-13"))

    fault = refused(yard, "P-14")
    assert fault.what == "P-13 and P-14 do not count as two: their names look alike"

    people.match("P1", [Person("EJ", "P-14", "Edda Jane Ivesworth")])
    yard.post(release(yard, "P-14"))
    assert the_lot(yard).released


def test_where_one_is_enough_nobody_is_asked(monkeypatch: pytest.MonkeyPatch) -> None:
    """A second approval is then no more than a further word."""
    yard = plant(monkeypatch, "P-14")
    yard.set("release", "rule", {"persons": 1}, since=SET_UP + 24)
    role(yard, "P-99", "P-13")
    yard.post(release(yard, "P-13"))
    yard.post(release(yard, "P-99"))

    assert the_lot(yard).released
    assert coded(the_lot(yard), "set_up_by_other") == []


def test_approvals_given_while_one_was_enough_are_told_when_two_must(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The door let them through under another rule; they do not count in silence under this one."""
    yard = plant(monkeypatch, "P-14")
    yard.set("release", "rule", {"persons": 1}, since=SET_UP + 24)
    role(yard, "P-99", "P-13")
    yard.post(release(yard, "P-13"))
    yard.post(release(yard, "P-99"))
    yard.set("release", "rule", {"persons": 2}, since=SET_UP + 25)

    assert len(coded(the_lot(yard), "set_up_by_other")) == 1
