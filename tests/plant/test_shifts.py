"""In which shift something was made: as its run says, else by the plant's hours."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from zoneinfo import ZoneInfo

import pytest

from beadwright.errors import Refusal
from beadwright.ledger import settings
from beadwright.ledger.lots import Making
from beadwright.plant.release import assess
from beadwright.plant.shifts import Shifts
from tests.plant.yard import DAY, HOUR, T0, Yard

pytestmark = pytest.mark.django_db

ZONE = ZoneInfo("America/Chicago")
MINUTE = HOUR // 60
BEGINS = {"early": "06:00", "late": "14:00", "night": "22:00"}


def shifts(yard: Yard, begins: dict[str, str] | None = None) -> Shifts:
    """Shifts of a plant by their hours."""
    for name, begin in (BEGINS if begins is None else begins).items():
        yard.set("shift", name, {"from": begin}, since=1)
    return Shifts(settings.load(yard.no), ZONE)


@pytest.mark.parametrize(
    ("at", "name"),
    [("05:59", "night"), ("06:00", "early"), ("13:59", "early"), ("14:00", "late"),
     ("21:59", "late"), ("23:30", "night"), ("00:10", "night")],
)  # fmt: skip
def test_the_shift_that_began_last_by_the_clock_of_the_plant(at: str, name: str) -> None:
    """The first hours of a day are of the last shift of the day before."""
    hours, minutes = map(int, at.split(":"))
    at_ms = T0 + DAY + hours * HOUR + minutes * MINUTE

    found = shifts(Yard.open())
    assert found.of({}, at_ms) == name
    assert found.of({"started": str(at_ms)}, at_ms + 3 * HOUR) == name  # by when it began


def test_what_a_run_says_stands_and_without_hours_nothing_is_said() -> None:
    """A run that went on into the next shift may be said to be of the first."""
    yard = Yard.open()
    assert Shifts(settings.load(yard.no), ZONE).of({}, T0) == ""
    assert shifts(yard).of({"shift": "A"}, T0 + 8 * HOUR) == "A"


def test_hours_are_dated_and_a_shift_may_be_given_up() -> None:
    """What was made before goes by the hours of then, also in the week when clocks go back."""
    yard = Yard.open()
    shifts(yard)
    yard.set("shift", "night", {"from": ""}, since=24 * 10)
    found = Shifts(settings.load(yard.no), ZONE)
    assert found.of({}, T0 + DAY + 23 * HOUR) == "night"
    assert found.of({}, T0 + 11 * DAY + 23 * HOUR) == "late"
    november = T0 + 70 * DAY  # midnight of summer time is 23:00 of winter time
    assert found.of({}, november + 6 * HOUR) == "late"
    assert found.of({}, november + 7 * HOUR) == "early"


@pytest.mark.parametrize("begin", ["6:00", "24:00", "06:00 h", "noon"])
def test_a_time_that_no_clock_shows_is_refused(begin: str) -> None:
    """So that nothing is counted under a shift that never begins."""
    with pytest.raises(Refusal):
        Yard.open().set("shift", "early", {"from": begin})


def test_a_lot_tested_for_its_shift_speaks_for_the_others_made_by_the_clock() -> None:
    """A night is one shift over midnight; before the plant says so, each lot speaks for itself."""
    yard = Yard.open()
    yard.limit("DEN", "density", "min", "22.0 kg/m3")
    yard.set("plan", "DEN", product="FB6", characteristic="density", evidence="lot_test",
             every="shift", specimens=3)  # fmt: skip
    # late of the 1st, twice the night that begins then, the next night before midnight
    for number, at in enumerate((20, 22.5, 26, 47), 1):
        yard.block_lot(f"L{number}", at=at)
    yard.weigh("L3", "24h", [3.15, 3.16, 3.14], at=120)

    def answers() -> list[str]:
        return [assess(yard.no, [f"L{n}"]).lots[0].answer for n in (1, 2, 3, 4)]

    missing, ship = "not_enough_evidence", "may_ship"
    assert answers() == [missing, missing, ship, missing]
    shifts(yard)
    assert answers() == [missing, ship, ship, missing]
    assert [one.answer for one in assess(yard.no).lots] == [missing, ship, ship, missing]


def test_a_shift_that_a_run_names_begins_nearest_to_the_run() -> None:
    """A run that began ten minutes before its night is of that night, and not of the last."""
    found = shifts(Yard.open())
    making = Making("S", "mould", T0 + DAY + 22 * HOUR - 10 * MINUTE, "FB6", "FP1", "R",
                    {"shift": "night"}, 1, 1, (), (0, 0))  # fmt: skip
    assert found.of_lot([making]) == (date(2026, 9, 2), "night")
    assert found.of_lot([replace(making, at_ms=T0 + DAY + 4 * HOUR)]) == (date(2026, 9, 1), "night")
    assert found.of_lot([replace(making, facts={"shift": "B"})]) == (date(2026, 9, 2), "B")
