"""Every property fails where a bug is planted that it must see, and nowhere else.

The search is bounded and the same each time: histories from the first seeds on, until one fails.
"""

from __future__ import annotations

import pytest
from django.db import transaction

from tests.ledger.planted_around import AROUND_FOLD
from tests.ledger.planted_fold import IN_FOLD, Bug
from tests.ledger.player import play
from tests.ledger.properties import PROPERTIES, Property
from tests.strategies import seeded

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("small_windows")]

BUGS = IN_FOLD + AROUND_FOLD

_SEEDS = range(80)
_MOVES = 50


def _fails(seed: int, holds: Property | None) -> str:
    """What a property says against a history; empty where it holds."""
    point = transaction.savepoint()
    try:
        play("PB", seeded(seed), _MOVES)
    except AssertionError as wrong:
        return str(wrong) if holds is None else ""
    else:
        return _says(holds)
    finally:
        transaction.savepoint_rollback(point)


def _says(holds: Property | None) -> str:
    if holds is None:
        return ""
    try:
        holds("PB")
    except AssertionError as wrong:
        return str(wrong) or holds.__name__
    return ""


@pytest.mark.parametrize("bug", BUGS, ids=lambda bug: bug.name)
def test_a_planted_bug_is_seen(bug: Bug, monkeypatch: pytest.MonkeyPatch) -> None:
    """With the bug planted, the property named fails on one of the first histories."""
    bug.plant(monkeypatch)

    assert any(_fails(seed, bug.seen_by) for seed in _SEEDS), f"nothing sees that {bug.name}"


def test_nothing_is_seen_where_no_bug_is_planted() -> None:
    """The same histories without a bug fail nothing: what was seen above was the bug."""
    wanted = {bug.seen_by for bug in BUGS} - {None}

    assert wanted <= set(PROPERTIES)
    for seed in _SEEDS[:3]:
        for holds in (None, *PROPERTIES):
            assert _fails(seed, holds) == ""


def test_bugs_are_told_apart() -> None:
    """Each bug is its own: names and plantings are all different."""
    assert len({bug.name for bug in BUGS}) == len({bug.plant for bug in BUGS}) == len(BUGS) >= 10
