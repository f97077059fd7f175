"""Whether an instrument was fit on a day; worked out on a calendar, without a store."""

from __future__ import annotations

from datetime import date

import pytest

from beadwright.ledger.draft import Decision
from beadwright.plant.calibrations import Calibration, instruments, status_at
from tests.plant.yard import DAY, Yard, ms


def done(
    day: str, *, passed: bool = True, due: str = "", seq: int = 1, name: str = "BAL-2"
) -> Calibration:
    """A calibration done on a day."""
    last = date.fromisoformat(due) if due else None
    return Calibration(name, date.fromisoformat(day), passed, "C-1", last, seq, "P-13")


@pytest.mark.parametrize(
    ("day", "fitness"),
    [
        ("2026-03-09", "never"),     # the day before the first
        ("2026-03-10", "fit"),
        ("2027-03-10", "fit"),       # 365 days on: the last day it holds
        ("2027-03-11", "lapsed"),
    ],
)  # fmt: skip
def test_a_calibration_holds_for_a_period_its_last_day_included(day: str, fitness: str) -> None:
    """From 10 March 2026, 365 days are until 10 March 2027."""
    found = status_at([done("2026-03-10")], "365 days", date.fromisoformat(day))

    assert found.fitness == fitness


def test_the_certificate_s_own_day_goes_before_the_period() -> None:
    """Shorter or longer."""
    short = [done("2026-03-10", due="2026-06-30")]
    long = [done("2026-03-10", due="2028-03-10")]

    assert status_at(short, "365 days", date(2026, 6, 30)).fitness == "fit"
    assert status_at(short, "365 days", date(2026, 7, 1)).fitness == "lapsed"
    assert status_at(long, "365 days", date(2028, 3, 10)).fitness == "fit"


def test_a_failed_calibration_counts_from_its_day_until_the_next_that_passes() -> None:
    """What was read before it is not judged by it."""
    found = [done("2026-03-10"), done("2026-05-01", passed=False), done("2026-05-04")]
    told = [status_at(found, "year", date(2026, *day)).fitness for day in
            ((4, 30), (5, 1), (5, 3), (5, 4))]  # fmt: skip

    assert told == ["fit", "failed", "failed", "fit"]


def test_of_two_of_one_day_the_one_recorded_last_counts() -> None:
    """As found it failed, adjusted it passed."""
    found = [done("2026-05-01", seq=8), done("2026-05-01", passed=False, seq=7)]

    assert status_at(found, "year", date(2026, 5, 2)).fitness == "fit"
    assert status_at(found[::-1], "year", date(2026, 5, 2)).last == found[0]


def test_a_calibration_is_said_in_words() -> None:
    """Each state with its days."""
    assert status_at([], "year", date(2026, 5, 2)).words == "it had never been calibrated"
    lapsed = status_at([done("2026-03-10", due="2026-06-30")], "year", date(2026, 7, 1))
    assert lapsed.words == "its calibration of 2026-03-10 held until 2026-06-30"


@pytest.mark.django_db
def test_instruments_are_listed_with_those_out_of_calibration_first() -> None:
    """On the day asked about, in the plant's zone."""
    yard = Yard.open()
    for name in ("BAL-1", "BAL-2", "CAL-1"):
        yard.set("instrument", name, what="balance", every="30 days", place="laboratory")
    for name, day in (("BAL-1", "2026-09-01"), ("CAL-1", "2026-09-20")):
        body = {"done": day, "result": "pass", "certificate": "C-1"}
        yard.post(Decision(name, ms(24 * 25), "calibration", name, body))

    found = instruments(yard.no, ms(0) + 30 * DAY)  # 1 October
    later = instruments(yard.no, ms(0) + 31 * DAY)

    assert [(one.name, one.state, one.in_days) for one in found] == [
        ("BAL-2", "never", None), ("BAL-1", "due_soon", 0), ("CAL-1", "in_time", 19)
    ]  # fmt: skip
    assert [(one.name, one.state, one.in_days) for one in later] == [
        ("BAL-1", "lapsed", -1), ("BAL-2", "never", None), ("CAL-1", "in_time", 18)
    ]  # fmt: skip
    assert [str(one.done) for one in found[1].calibrations] == ["2026-09-01"]
    assert found[0].what == "balance"
