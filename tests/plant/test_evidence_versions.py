"""The hash of evidence covers the rules it rests on; releases over an earlier hash stand."""

from collections.abc import Callable

import pytest

from beadwright.ledger import settings
from beadwright.plant import digest as hashing
from beadwright.plant.access import Role, Who
from beadwright.plant.block_age import ageing_of
from beadwright.plant.opening import open_plant
from beadwright.plant.release_words import not_counting, standing
from beadwright.reports.checking import check
from beadwright.reports.issuing import issue
from tests.door.released import release, sound
from tests.plant.asking import good_yard, the_lot
from tests.plant.yard import Yard, ms

pytestmark = pytest.mark.django_db

WHO = Who("install", Role.ENGINEER)


@pytest.mark.parametrize(
    "change",
    [
        lambda yard: yard.limit("LIM", "density", "min", "22.0 kg/m3", since=1, source="another"),
        lambda yard: yard.limit("LIM", "density", "min", "22.0 kg/m3", since=1, method="by hand"),
        lambda yard: yard.set("ageing", "F1", min_h="2", max_h="96", since=1),
        lambda yard: yard.set("ageing", "F1", min_h="8", max_h="97", since=1),
        lambda yard: yard.set("age_gate", "weighing", min_h="2", since=1),
    ],
    ids=["source", "method", "least ageing", "most ageing", "a day old"],
)
def test_the_hash_changes_with_each_rule_that_the_answer_rests_on(
    change: Callable[[Yard], object],
) -> None:
    """Set anew for a day before, though the answer stays as it was."""
    yard = good_yard()
    before = the_lot(yard)
    change(yard)
    after = the_lot(yard)

    assert after.answer == before.answer
    assert after.evidence != before.evidence


def test_ageing_of_beads_that_are_not_in_the_lot_changes_nothing() -> None:
    """Nor do hours set from a later day on."""
    yard = good_yard()
    before = the_lot(yard).evidence
    yard.set("ageing", "PK1", min_h="2", max_h="96", since=1)
    yard.set("ageing", "F1", min_h="2", max_h="96", since=500)

    assert the_lot(yard).evidence == before


def test_ageing_set_for_all_beads_counts_for_those_without_their_own() -> None:
    """As the judge asks: a grade's own hours first."""
    yard = good_yard()
    before = the_lot(yard).evidence
    yard.set("ageing", "*", min_h="3", max_h="99", since=1)
    in_force = settings.load(yard.no)

    assert the_lot(yard).evidence == before
    assert ageing_of(in_force, ("F1", "F7"), (ms(30),)) == (("F1", "8", "96"), ("F7", "3", "99"))


@pytest.fixture
def before(monkeypatch: pytest.MonkeyPatch) -> Yard:
    """A lot released by one of two or by both, over the hash as the version before made it."""
    yard = sound(Yard.open())
    yard.set("release", "rule", {"persons": 2, "tester_apart": False})
    now = the_lot(yard).evidence
    first = hashing.digest
    monkeypatch.setattr(hashing, "digest", lambda of, version=1: first(of, version))
    then = the_lot(yard).evidence
    assert then != now
    yard.post(release(yard, "P-13", evidence=then))
    return yard


def test_a_release_over_the_hash_before_stands(
    before: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It says nothing of changes, for there are none; and its paper is given, and true."""
    before.post(release(before, "P-14"))
    plant = open_plant("P1")
    old = issue(plant, "L1", WHO, by="P-13")
    monkeypatch.undo()

    told = the_lot(before)
    assert told.released
    assert told.approvals[0].evidence in told.earlier
    assert told.evidence not in told.earlier
    (sentence,) = standing(told, plant.zone)
    assert "changed" not in sentence
    assert check(open_plant("P1"), old.pdf, WHO).verdict == "true"
    new = issue(open_plant("P1"), "L1", WHO, by="P-13")
    assert check(open_plant("P1"), new.pdf, WHO).verdict == "true"


def test_a_change_since_is_still_a_change(before: Yard, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever version the approvals are over."""
    before.post(release(before, "P-14"))
    old = issue(open_plant("P1"), "L1", WHO, by="P-13")
    monkeypatch.undo()
    before.limit("LIM", "density", "min", "21.5 kg/m3", since=1)

    told = the_lot(before)
    assert told.released
    assert not told.same(told.approvals[0].evidence)
    assert check(open_plant("P1"), old.pdf, WHO).verdict == "out_of_date"


def test_one_of_two_over_the_hash_before_is_said_not_to_count(
    before: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Two approve the same hash: the first looks at it again, and is told why."""
    monkeypatch.undo()
    before.post(release(before, "P-14"))

    told = the_lot(before)
    assert not told.released
    (sentence,) = not_counting(told, open_plant("P1").zone)
    assert "the tool's hash of evidence covers more since" in sentence
    assert "evidence has changed" not in sentence
