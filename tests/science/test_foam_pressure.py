"""Foam pressure: bands that hold, silence where a record ends too soon, an alarm that is rare."""

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from beadwright.errors import OutOfRange
from beadwright.science.moulding import (
    PressureDecay,
    PressureRecord,
    demould_time,
    earliest_demould,
    fit_foam_pressure,
    foam_pressure,
    smoothed,
    smoothed_half_width,
    watch_vents,
)

TRUTH = PressureDecay(70e3, 8e3, 28.0)
LIMIT = 15e3
WHEN = 61.0743  # 28 ln(62/7), by pocket calculator
LONG = np.linspace(0, 88, 45)
EARLY = np.linspace(0, 30, 16)


def record(
    random: np.random.Generator, times: NDArray[np.float64], rest: float | None, known: bool
) -> PressureRecord:
    """A shot's readings, one per cent of a bar of scatter."""
    seen = foam_pressure(times, TRUTH) + 1e3 * random.standard_normal(times.size)
    return PressureRecord(times, seen, rest, 1e3 if known else None)


def test_a_worked_shot() -> None:
    """0.70 bar at first, 0.08 at last, 28 s: 0.15 bar is reached at 61.07 s."""
    assert float(demould_time(TRUTH, LIMIT)) == pytest.approx(WHEN, abs=1e-4)


@given(st.floats(2e4, 2e5), st.floats(-5e4, 1e4), st.floats(1, 300), st.floats(0.01, 0.99))
def test_at_the_demoulding_time_the_pressure_is_the_limit(
    start: float, rest: float, tau: float, share: float
) -> None:
    """There and back; and a slower decay is later, a higher limit earlier."""
    decay = PressureDecay(start, rest, tau)
    limit = rest + share * (start - rest)
    when = demould_time(decay, limit)

    assert float(foam_pressure(when, decay)) == pytest.approx(limit, abs=1e-6 * start)
    assert demould_time(PressureDecay(start, rest, 1.1 * tau), limit) >= when
    assert demould_time(decay, limit + 100) <= when


def test_limits_of_the_decay() -> None:
    """The start at once, the rest at last; under the limit from the start is at once."""
    assert foam_pressure([0.0, 1e6], TRUTH).tolist() == [70e3, 8e3]
    assert demould_time(TRUTH, [70e3, 90e3]).tolist() == [0.0, 0.0]


@pytest.mark.parametrize(
    ("times", "rest", "known"),
    [
        (LONG, None, True),
        (LONG, None, False),
        (np.linspace(0, 88, 12), None, False),
        (EARLY, 8e3, True),
    ],
)
def test_the_bands_of_demoulding_hold_the_truth(
    times: NDArray[np.float64], rest: float | None, known: bool
) -> None:
    """In 95 of 100 shots, also with a few readings and with a forecast from the first 30 s."""
    random = np.random.default_rng(times.size)
    held = late = 0
    for _ in range(400):
        when = earliest_demould(fit_foam_pressure(record(random, times, rest, known)), LIMIT)
        assert when.time_s is not None
        assert when.safe_after_s is not None
        assert when.beyond_record == (float(when.time_s.value) > times[-1])
        held += bool(when.time_s.low <= WHEN <= when.time_s.high)
        late += when.safe_after_s >= WHEN

    assert 0.92 < held / 400 < 0.98
    assert late / 400 > 0.95


def test_half_a_minute_alone_is_not_enough() -> None:
    """Without the rest pressure a record of 30 s tells neither it nor the decay time."""
    random = np.random.default_rng(1)
    silent = 0
    for _ in range(100):
        fit = fit_foam_pressure(record(random, EARLY, None, True))
        when = earliest_demould(fit, LIMIT)
        silent += when.time_s is None
        if fit.refused:
            assert when.safe_after_s is None
            assert "record ends at 30 s" in when.why

    assert silent >= 95


def test_a_limit_that_may_never_be_reached_has_no_time() -> None:
    """A limit within the rest pressure's band gives the reason and no number."""
    fit = fit_foam_pressure(record(np.random.default_rng(2), LONG, None, True))
    never = earliest_demould(fit, 8e3)

    assert never.time_s is None
    assert "may not come under the limit 8000 Pa" in never.why
    assert earliest_demould(fit, 90e3).safe_after_s == 0.0


def test_a_slow_drift_is_found_and_a_steady_tool_left_alone() -> None:
    """A decay time that grows 1 % a shot is called within 12 shots; a steady one seldom."""
    random = np.random.default_rng(6)
    found, false = [], 0
    for _ in range(200):
        good = 28 * np.exp(0.03 * random.standard_normal(25))
        noise = np.exp(0.03 * random.standard_normal(40))
        first = watch_vents(28 * noise * 1.01 ** np.arange(40), good).first_slow
        found.append(99 if first is None else first)
        steady = watch_vents(28 * noise, good)
        false += int(steady.slow.sum() + steady.fast.sum())

    assert np.median(found) <= 12
    assert max(found) < 40
    assert false / (200 * 40) < 0.006


def test_a_faster_decay_is_not_called_plugged() -> None:
    """A leak or another product is told from plugged vents."""
    good = 28 * np.exp(0.02 * np.random.default_rng(1).standard_normal(20))
    watch = watch_vents(np.full(20, 20.0), good)

    assert watch.fast.any()
    assert not watch.slow.any()
    assert watch.first_slow is None


@given(st.lists(st.floats(-10, 10), min_size=1, max_size=30), st.floats(0.01, 1))
def test_the_moving_average_is_its_weighted_sum(values: list[float], weight: float) -> None:
    """The last average by powers of the weight, which is the naive way."""
    size = len(values)
    powers = weight * (1 - weight) ** np.arange(size - 1, -1, -1)
    expected = powers @ np.array(values) + (1 - weight) ** size * 2.0

    assert smoothed(values, 2.0, weight)[-1] == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize(
    ("ask", "message"),
    [
        (lambda: foam_pressure([1.0, -1.0], TRUTH), r"time_s\[1\] is -1.0"),
        (lambda: foam_pressure([], TRUTH), "time_s is empty"),
        (lambda: foam_pressure(1.0, PressureDecay(7e4, -2e5, 28.0)), "rest_pa is -200000.0"),
        (lambda: foam_pressure(1.0, PressureDecay(7e4, 8e3, [28.0, 0.0])), r"constant_s\[1\] is 0"),
        (lambda: demould_time(TRUTH, [15e3, 8e3]), r"limit_pa\[1\] is 8000.0: .* never reached"),
        (lambda: demould_time(TRUTH, np.nan), "limit_pa is nan"),
        (
            lambda: fit_foam_pressure(PressureRecord([0.0, 1, 2, 3], [1.0, np.nan, 1, 1])),
            r"pressure_pa\[1\] is nan",
        ),
        (lambda: fit_foam_pressure(PressureRecord([0.0, 1], [1.0, 2.0])), "time_s is 2 readings"),
        (
            lambda: fit_foam_pressure(PressureRecord([0.0, 1, 2, 3], [1.0, 2, 3])),
            "pressure_pa is of shape",
        ),
        (
            lambda: fit_foam_pressure(PressureRecord(LONG, foam_pressure(LONG, TRUTH), 2e6)),
            "rest_pa is 2000000.0",
        ),
        (
            lambda: fit_foam_pressure(
                PressureRecord(LONG, foam_pressure(LONG, TRUTH), spread_pa=0.0)
            ),
            "spread is 0.0",
        ),
        (lambda: smoothed([1.0, np.nan], 0.0, 0.2), r"values\[1\] is nan"),
        (lambda: smoothed([1.0], 0.0, 0.0), "weight is 0.0"),
        (lambda: smoothed([1.0], np.nan, 0.2), "start is nan"),
        (lambda: smoothed_half_width(0.0, 0.2, 3), "spread is 0.0"),
        (lambda: smoothed_half_width(1.0, 1.2, 3), "weight is 1.2"),
        (lambda: smoothed_half_width(1.0, 0.2, 0), "count is 0"),
        (lambda: smoothed_half_width(1.0, 0.2, 3, baseline=0.0), "baseline is 0.0"),
        (lambda: watch_vents([28.0, -1.0], [28.0] * 12), r"time_constant_s\[1\] is -1.0"),
        (lambda: watch_vents([28.0], [28.0, np.nan] * 6), r"good_s\[1\] is nan"),
        (lambda: watch_vents([28.0], [28.0] * 9), "good_s is 9 shots"),
        (lambda: watch_vents([28.0], [28.0] * 12), "good_s is the same throughout"),
    ],
)
def test_bad_input_is_named(ask: Callable[[], object], message: str) -> None:
    """By argument, first bad value, index and range."""
    with pytest.raises(OutOfRange, match=message):
        ask()


@pytest.mark.parametrize(("name", "bad"), [("limit_pa", np.nan), ("coverage", 1.0)])
def test_a_bad_question_of_a_fit_is_named(name: str, bad: float) -> None:
    """The limit and the coverage of the band."""
    fit = fit_foam_pressure(record(np.random.default_rng(2), LONG, None, True))
    with pytest.raises(OutOfRange, match=f"{name} is {bad}"):
        earliest_demould(fit, **{"limit_pa": LIMIT, name: bad})
