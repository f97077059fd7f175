"""The coverage rule on samples alone, every case reckoned by hand: one unit is a day."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from beadwright.plant.coverage import Covering, Sample, covering, in_bucket
from beadwright.plant.frequency import every_of

WEEK = 7


def taken(day: int, *, passed: bool = True, period: int | None = WEEK) -> Sample:
    """A sample of a day, that lasts from ten times the day to nine more."""
    until = None if period is None else (day + period) * 10
    return Sample(f"R{day}", passed, day * 10, day * 10 + 9, until, (day - (period or 0)) * 10)


def failed(day: int) -> Sample:
    """A sample of a day that did not pass."""
    return taken(day, passed=False)


def state(samples: list[Sample], made: int, *, backward: bool = True) -> tuple[str, str]:
    """How a lot stands, and by which sample."""
    found = covering(samples, made, backward=backward)
    return found.state, found.sample.name if found.sample else ""


@pytest.mark.parametrize(
    ("made", "expected"),
    [
        (129, ("missing", "")),       # a day more than a week before the first sample
        (130, ("covers", "R20")),     # 13th: seven days before the 20th
        (199, ("covers", "R20")),
        (200, ("covers", "R20")),
        (269, ("covers", "R20")),     # 26th, the last day of its week
        (270, ("lapsed", "R20")),     # 27th: the next was due
        (300, ("covers", "R30")),
        (369, ("covers", "R30")),
        (370, ("lapsed", "R30")),
    ],
)  # fmt: skip
def test_a_sample_covers_from_its_day_until_the_next_is_due(
    made: int, expected: tuple[str, str]
) -> None:
    """The gap before a late sample stays a gap; only the first ever covers backward."""
    assert state([taken(30), taken(20)], made) == expected


@pytest.mark.parametrize(
    ("made", "expected"),
    [
        (200, ("covers", "R20")),     # the day of the last that passed
        (209, ("covers", "R20")),
        (210, ("failed", "R23")),
        (230, ("failed", "R23")),
        (249, ("failed", "R23")),
        (250, ("covers", "R25")),     # the next that passes
    ],
)  # fmt: skip
def test_a_failed_sample_stops_back_to_the_last_that_passed_and_on_to_the_next(
    made: int, expected: tuple[str, str]
) -> None:
    """What was made between is in doubt, wherever the failure lay."""
    assert state([taken(20), failed(23), taken(25)], made) == expected


def test_two_failures_in_a_row_stop_all_between_the_passes() -> None:
    """The first of them is named."""
    samples = [taken(20), failed(23), failed(24), taken(28)]

    assert [state(samples, made)[0] for made in (205, 215, 235, 245, 279, 280)] == [
        "covers", "failed", "failed", "failed", "failed", "covers"
    ]  # fmt: skip


@pytest.mark.parametrize("made", [0, 150, 230, 900])
def test_a_first_sample_that_failed_stops_everything_until_one_passes(made: int) -> None:
    """Nothing before it ever passed."""
    assert state([failed(20)], made) == ("failed", "R20")


def test_the_first_ever_covers_backward_only_if_it_passed_and_is_the_first() -> None:
    """A pass after a failure vouches for nothing before itself."""
    assert state([failed(18), taken(20)], 195) == ("failed", "R18")
    assert state([failed(18), taken(20)], 200) == ("covers", "R20")


def test_pass_and_fail_of_one_day_stop() -> None:
    """Nobody can tell which came first."""
    assert state([taken(20), failed(20)], 205) == ("failed", "R20")
    assert state([taken(10), taken(20), failed(20)], 150) == ("failed", "R20")
    assert state([taken(10), taken(20), failed(20), taken(22)], 220) == ("covers", "R22")


@pytest.mark.parametrize(
    ("made", "expected"),
    [
        (199, ("missing", "")),       # before the sampling: a type test does not reach back
        (200, ("covers", "R20")),
        (499, ("covers", "R20")),
        (500, ("lapsed", "R20")),     # its report has expired
    ],
)  # fmt: skip
def test_a_type_test_covers_from_its_sampling_until_it_expires(
    made: int, expected: tuple[str, str]
) -> None:
    """No period: its report says until when."""
    assert state([taken(20, period=30)], made, backward=False) == expected


def test_a_type_test_without_expiry_has_no_end() -> None:
    """Until another fails."""
    samples = [taken(20, period=None)]

    assert state(samples, 10**9, backward=False) == ("covers", "R20")
    assert state([*samples, failed(90)], 899, backward=False) == ("covers", "R20")
    assert state([*samples, failed(90)], 900, backward=False) == ("failed", "R90")
    assert state([*samples, failed(90), taken(95)], 950, backward=False) == ("covers", "R95")


def test_an_older_type_test_that_is_still_in_force_covers_after_a_newer_has_lapsed() -> None:
    """The newest that covers is named."""
    samples = [taken(20, period=300), taken(30, period=10)]

    assert state(samples, 350, backward=False) == ("covers", "R30")
    assert state(samples, 450, backward=False) == ("covers", "R20")


def test_nothing_tested_is_missing() -> None:
    """No sample at all."""
    assert covering([], 100) == Covering("missing")
    assert in_bucket([]) == Covering("missing")


def test_in_a_bucket_the_worst_decides() -> None:
    """One lot of a day speaks for all of it."""
    assert in_bucket([taken(20), taken(20)]).state == "covers"
    assert in_bucket([taken(20), failed(20)]) == Covering("failed", failed(20))


@given(
    st.lists(st.tuples(st.integers(0, 60), st.booleans()), max_size=8),
    st.integers(-100, 700),
)
def test_the_answer_does_not_depend_on_the_order_of_reports(
    days: list[tuple[int, bool]], made: int
) -> None:
    """They come late, and in any order; and what passed last never makes an earlier pass worse."""
    samples = [taken(day, passed=passed) for day, passed in days]
    told = covering(samples, made)

    assert covering(samples[::-1], made) == told
    if told.state == "covers":
        sample = told.sample
        assert sample is not None
        assert sample.passed
        assert sample.before_ms <= made
        assert sample.until_ms is not None
        assert made < sample.until_ms


@pytest.mark.parametrize(
    ("text", "day", "after", "before"),
    [
        ("day", date(2026, 9, 1), date(2026, 9, 2), date(2026, 8, 31)),
        ("week", date(2026, 9, 1), date(2026, 9, 8), date(2026, 8, 25)),
        ("90 days", date(2026, 9, 1), date(2026, 11, 30), date(2026, 6, 3)),
        ("year", date(2026, 9, 1), date(2027, 9, 1), date(2025, 9, 1)),
        ("year", date(2028, 2, 29), date(2029, 3, 1), date(2027, 3, 1)),
        ("1 day", date(2026, 12, 31), date(2027, 1, 1), date(2026, 12, 30)),
    ],
)
def test_a_period_ends_on_a_day_of_the_calendar(
    text: str, day: date, after: date, before: date
) -> None:
    """Counted by hand on a calendar."""
    every = every_of(text)

    assert (every.after(day), every.before(day)) == (after, before)


@pytest.mark.parametrize("text", ["run", "shift", "20 pieces"])
def test_what_is_not_counted_in_days_has_no_next_day(text: str) -> None:
    """It is due with the next run, shift or piece."""
    assert every_of(text).after(date(2026, 9, 1)) is None


@pytest.mark.parametrize("text", ["", "weekly", "0 days", "-1 days", "1.5 days", "20", "2 weeks"])
def test_other_words_are_no_frequency(text: str) -> None:
    """And the message lists those that are."""
    with pytest.raises(ValueError, match="run, shift, day, week, year"):
        every_of(text)
