"""A setting dated in the past changes the judgement of the steps after that date, and no other."""

from __future__ import annotations

import pytest

from beadwright.ledger import holds, lots
from beadwright.plant.opening import rebuild_plant
from tests.door.snapshot import projections
from tests.plant.yard import Yard

pytestmark = pytest.mark.django_db


def open_nonconformities(yard: Yard) -> list[tuple[str, str]]:
    """Step and code of each, in order of happening."""
    return [(one.step, one.code) for one in holds.nonconformities(yard.no)]


def moulded() -> tuple[Yard, list[str]]:
    """Three mould runs, 10, 20 and 30 h after the silo was filled; 8 h are signed."""
    yard = Yard.open()
    yard.bag("B-1")
    yard.carton("T-1")
    yard.expand("B-1", "S1", kg=600, at=2)
    keys = [yard.mould(f"L{n}", at=at).key for n, at in enumerate((12, 22, 32), 1)]
    assert open_nonconformities(yard) == []
    return yard, keys


def test_steps_after_its_date_are_judged_anew() -> None:
    """Thirty-one hours signed from hour 20 on: the runs at 22 and 32 were too fresh, not at 12."""
    yard, keys = moulded()

    yard.set("ageing", "F1", min_h="31", max_h="96", since=20)

    assert open_nonconformities(yard) == [(keys[1], "too_fresh"), (keys[2], "too_fresh")]
    assert yard.facts("L1")["causes"] == ()
    assert yard.facts("L2")["causes"] == ("too_fresh:S1",)
    assert yard.facts("L3")["causes"] == ("too_fresh:S1",)


def test_a_milder_one_takes_the_judgement_back() -> None:
    """A setting that allows what was found wrong clears it, and what came of it downstream."""
    yard, _ = moulded()
    yard.set("ageing", "F1", min_h="31", max_h="96", since=20)
    yard.bundle("BU1", "L2", 20)
    assert yard.facts("BU1")["causes"] == ("too_fresh:S1",)

    yard.set("ageing", "F1", min_h="9", max_h="96", since=20)

    assert open_nonconformities(yard) == []
    assert yard.facts("L2")["causes"] == yard.facts("BU1")["causes"] == ()


def test_it_reaches_lots_made_of_the_step() -> None:
    """A bundle made before the setting was known carries the cause afterwards."""
    yard, _ = moulded()
    yard.bundle("BU1", "L2", 20)

    yard.set("approved", "FB6", revision="R2", grades=["T6"], since=20)

    assert yard.facts("BU1")["causes"] == ("wrong_grade:S1",)


def test_dated_after_everything_it_changes_nothing() -> None:
    """A setting for the time to come leaves what has happened as it was judged."""
    yard, _ = moulded()
    before = lots.get_many(yard.no, ["L1", "L2", "L3"])

    yard.set("ageing", "F1", min_h="90", max_h="96", since=33)

    assert open_nonconformities(yard) == []
    assert lots.get_many(yard.no, ["L1", "L2", "L3"]) == before


def test_in_one_batch_with_its_steps_it_judges_them_alike() -> None:
    """The rebuild, which knows every setting from the start, gives the same as the record kept."""
    yard, _ = moulded()
    yard.set("ageing", "F1", min_h="31", max_h="96", since=20)
    kept = projections()

    rebuild_plant("P1")

    assert projections() == kept
