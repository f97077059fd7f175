"""A release under a rule that was loosened for a day before says so; others say nothing of it."""

import pytest

from beadwright.ledger.draft import Release, SettingDraft
from beadwright.plant.assessment import LotAssessment
from beadwright.plant.door import Door
from beadwright.plant.opening import RULES
from tests.plant.asking import good_yard, the_lot
from tests.plant.yard import DAY, T0, Yard, ms

pytestmark = pytest.mark.django_db

NOW = T0 + 60 * DAY
STRICT = {"persons": 2, "tester_apart": True}


def keyed_at(yard: Yard, hours: float) -> None:
    """From here on, what is posted is recorded at that hour."""
    yard.door = Door("P1", RULES, clock=lambda: ms(hours))


def loose(told: LotAssessment) -> list[tuple[str, str]]:
    """What is said of loosened rules: sentence and weight."""
    return [(one.sentence, one.weight) for one in told.reasons if one.code == "rule_loosened"]


@pytest.fixture
def yard(monkeypatch: pytest.MonkeyPatch) -> Yard:
    """A lot that may ship, at a plant where two must release it; day 10."""
    monkeypatch.setattr("tests.plant.yard._NOW", ms(10 * 24))
    yard = good_yard("L1")
    yard.set("release", "rule", STRICT, since=48)
    keyed_at(yard, 12 * 24)
    return yard


def released(yard: Yard, by: str = "P-14", at: float = 13 * 24) -> LotAssessment:
    """Let one more person approve the lot."""
    keyed_at(yard, at + 1)
    evidence = the_lot(yard).evidence
    yard.post(Release(f"{by}/{at}", ms(at), "L1", evidence, by=by))
    return the_lot(yard)


def test_a_rule_loosened_for_a_day_before_stands_beside_the_release(yard: Yard) -> None:
    """Who, when it was entered, from which day, and what it asked before and after."""
    yard.set("release", "rule", persons=1, tester_apart=False, since=72)
    told = released(yard)

    assert told.released
    ((sentence, weight),) = loose(told)
    assert weight == "notes"
    assert sentence == (
        "released under a rule of release that nobody named loosened on 2026-09-13 for a day"
        " before, 2026-09-04 (persons: 2, now 1; tester apart: true, now false)"
    )
    assert told.answer == "may_ship"


def test_an_approval_that_was_one_of_two_says_so_when_one_is_enough_afterwards(yard: Yard) -> None:
    """It was given under the strict rule, and counts by the loose one."""
    assert not released(yard).released
    keyed_at(yard, 14 * 24)
    yard.set("release", "rule", persons=1, tester_apart=True, since=72)
    told = the_lot(yard)

    assert told.released
    assert len(loose(told)) == 1


def test_the_hash_of_the_evidence_does_not_rest_on_it(yard: Yard) -> None:
    """Else a note would suspend the release that it is about."""
    before = the_lot(yard).evidence
    yard.set("release", "rule", persons=1, since=72)

    assert released(yard).evidence == before


@pytest.mark.parametrize(
    ("rule", "since"),
    [({"persons": 1}, 12 * 24), ({"persons": 2, "tester_apart": True}, 72)],
    ids=["from the day it was entered", "no looser"],
)
def test_what_loosens_nothing_afterwards_is_not_told(
    yard: Yard, rule: dict[str, object], since: float
) -> None:
    """A rule that changes openly is the plant's to change."""
    yard.set("release", "rule", rule, since=since)
    released(yard)

    assert loose(released(yard, "P-09", 14 * 24)) == []


def test_two_under_the_strict_rule_are_not_spoken_of(yard: Yard) -> None:
    """Their release owes nothing to what came after it."""
    released(yard)
    released(yard, "P-09", 14 * 24)
    keyed_at(yard, 15 * 24)
    yard.set("release", "rule", persons=1, since=72)

    assert loose(the_lot(yard)) == []


def test_a_history_that_came_with_one_file_loosened_nothing(yard: Yard) -> None:
    """Both rules were entered together: the strict one was never alone in the record."""
    drafts = [
        SettingDraft(f"r{at}", ms(at), "release", "rule", body, ms(at))
        for body, at in ((STRICT, 73), ({"persons": 1}, 74))
    ]
    yard.door.post_many(drafts, yard.who)
    told = released(yard)

    assert told.released
    assert loose(told) == []
