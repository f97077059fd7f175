"""What is due on which day; the rule without a store, then asked of one."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from beadwright.plant.dues import Taken, due, standing
from tests.plant.planning import LATE, STRENGTH, decide, lot, plant, report
from tests.plant.yard import DAY, Yard, ms


def taken(day: int, until: int | None = 6, *, passed: bool = True) -> Taken:
    """A sample of a day of September that covers so many days more."""
    last = None if until is None else date(2026, 9, day + until)
    return Taken(date(2026, 9, day), passed, last, f"R{day}")


def told(samples: list[Taken], day: int, warn: int = 2) -> tuple[str, str, str]:
    """State, the sample it rests on, and the day on which the next is due."""
    state, last, next_due = standing(samples, date(2026, 9, day), warn)
    return state, last.source if last else "", str(next_due.day) if next_due else ""


@pytest.mark.parametrize(
    ("day", "expected"),
    [
        (7, ("never", "", "")),
        (8, ("in_time", "R8", "15")),
        (12, ("in_time", "R8", "15")),
        (13, ("due_soon", "R8", "15")),   # two days before
        (15, ("due_soon", "R8", "15")),   # on the day itself
        (16, ("overdue", "R8", "15")),
    ],
)  # fmt: skip
def test_a_weekly_test_of_the_8th_is_due_on_the_15th(
    day: int, expected: tuple[str, str, str]
) -> None:
    """Until the day itself it is in time."""
    assert told([taken(8)], day) == expected


def test_a_failed_test_is_due_at_once_until_one_passes() -> None:
    """The newest sample decides; of one day, the failed one."""
    samples = [taken(1), taken(8, passed=False)]

    assert told(samples, 9) == ("failed", "R8", "9")
    assert told([*samples, taken(8)], 9)[0] == "failed"
    assert told([*samples, taken(10)], 10) == ("in_time", "R10", "17")


def test_what_has_no_end_is_never_due_again() -> None:
    """And of several that passed, the one that covers longest counts."""
    assert told([taken(8, None)], 29) == ("in_time", "R8", "")
    assert told([taken(1, 20), taken(8)], 16) == ("in_time", "R1", "22")


def test_an_expiry_warns_as_many_days_before_as_the_plan_says() -> None:
    """Fourteen of a type test, where it does not say."""
    assert told([taken(1, 20)], 8, 14)[0] == "due_soon"
    assert told([taken(1, 20)], 7, 14)[0] == "in_time"


# -- asked of a store --------------------------------------------------------------------------


def at(yard: Yard, day: int) -> list[tuple[Any, ...]]:
    """What is due at noon of a day."""
    noon = ms((day - 1) * 24 + 12)
    return [(one.characteristic, one.state, one.in_days, one.waiting) for one in due(yard.no, noon)]


@pytest.mark.django_db
def test_without_a_plan_nothing_is_due() -> None:
    """Nobody said that anything was."""
    yard = Yard.open()
    yard.limit("STR", STRENGTH, "min", "15 psi", evidence="periodic_test")

    assert due(yard.no, ms(LATE)) == ()


@pytest.mark.django_db
def test_what_is_due_names_the_report_and_the_lots_that_wait() -> None:
    """Sampled on the 8th; L12 is covered, L16 waits, and what has shipped waits for nothing."""
    yard = plant()
    never = at(yard, 9)
    for day in (12, 16):
        lot(yard, f"L{day}", day)
    lot(yard, "L17", 17)
    yard.ship("SH-1", "L17", 10, at=LATE)
    report(yard, "R-1", 8)
    (one,) = due(yard.no, ms(0) + 17 * DAY)

    assert never == [(STRENGTH, "never", None, ())]
    assert (one.product, one.plan, one.every, one.specimens) == ("FB6", "FB6-STR", "week", 5)
    assert one.last is not None
    assert (one.last.source, one.last.result, str(one.last.sampled)) == (
        "report R-1, Northgate Testing", "17.4 psi", "2026-09-08"
    )  # fmt: skip
    assert (one.state, str(one.next_due), one.in_days) == ("overdue", "2026-09-15", -3)
    assert one.waiting == ("L16",)


@pytest.mark.django_db
def test_a_lot_waits_while_any_of_its_pieces_are_in_the_plant() -> None:
    """All of L16 is in a bundle that stands there, all of L17 in one that was shipped."""
    yard = plant()
    for day in (16, 17, 18):
        lot(yard, f"L{day}", day)
    for day in (16, 17, 18):
        yard.bundle(f"BN-{day}", f"L{day}", 10, at=LATE)
    yard.ship("SH-17", "BN-17", 10, at=LATE)
    yard.ship("SH-18", "BN-18", 4, at=LATE)
    (one,) = due(yard.no, ms(LATE))

    assert (one.state, one.waiting) == ("never", ("L16", "L18"))


@pytest.mark.django_db
def test_the_worst_comes_first_and_a_limit_s_own_request_is_listed() -> None:
    """A failed one, one never made, one that is soon due."""
    yard = plant()
    for name in ("bending_strength", "flexural_strength", "oxygen_index"):
        yard.set("plan", f"ALL-{name}", product="*", characteristic=name,
                 evidence="periodic_test", every="week")  # fmt: skip
    yard.limit("R", "thermal_resistance", "min", "4.0 ft2·°F·h/Btu", evidence="type_test")
    report(yard, "R-1", 8)
    report(yard, "R-2", 8, "fail", characteristic="flexural_strength", method="")
    report(yard, "R-3", 1, "pass", characteristic="bending_strength", method="")

    assert [(one[0], one[1], one[2]) for one in at(yard, 13)] == [
        ("flexural_strength", "failed", 0),
        ("bending_strength", "overdue", -5),
        ("oxygen_index", "never", None),
        ("thermal_resistance", "never", None),
        (STRENGTH, "due_soon", 2),
    ]
    decide(yard, "report_withdrawn", "R-2", {"reason": "mixed up"})
    assert at(yard, 13)[1] == ("flexural_strength", "never", None, ())
