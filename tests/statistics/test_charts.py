"""Charts against series made for the purpose, and against arithmetic done another way."""

from __future__ import annotations

import math
from statistics import fmean, stdev

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from beadwright.errors import OutOfRange
from beadwright.statistics import cumulative, first_signal, run_length, scores

SERIES = st.lists(st.integers(-1000, 1000).map(float), min_size=3, max_size=40)


@given(SERIES, st.integers(1, 50), st.integers(-500, 500))
def test_scores_know_no_unit_and_no_origin(values: list[float], times: int, more: int) -> None:
    """The same series in another unit, from another zero, has the same scores."""
    other = [times * value + more for value in values]

    assert scores(other) == pytest.approx(scores(values), abs=1e-6)


@given(SERIES)
def test_a_series_turned_over_has_its_scores_turned_over(values: list[float]) -> None:
    """Nothing prefers up to down; the sums change places."""
    turned = [-value for value in values]
    up, down = cumulative(scores(values), 0.5)
    other_up, other_down = cumulative(scores(turned), 0.5)

    assert scores(turned) == pytest.approx(-scores(values), abs=1e-9)
    assert up == pytest.approx(other_down, abs=1e-9)
    assert down == pytest.approx(other_up, abs=1e-9)


def test_scores_of_noise_are_standard_normal() -> None:
    """Of 400 series of 30: mean 0, spread 1, 5 % beyond 1.96, none related to the next."""
    random = np.random.default_rng(5)
    of = [scores(row)[2:] for row in random.normal(7, 3, (400, 30))]
    every = np.concatenate(of)
    pairs = np.concatenate([row[1:] * row[:-1] for row in of])

    assert abs(every.mean()) < 0.03
    assert every.std() == pytest.approx(1, abs=0.03)
    assert np.mean(np.abs(every) > 1.96) == pytest.approx(0.05, abs=0.007)
    assert abs(pairs.mean()) < 0.03


def test_one_outlier_is_passed_over_and_two_in_a_row_are_not() -> None:
    """A filling that nobody entered is no trend; what stays away is one."""
    calm = [0.1, -0.2, 0.3, -0.1, 0.2, -0.3, 0.0, 0.1, -0.1, 0.2]
    alone, twice = scores([*calm, 50.0, 0.1], 4.0), scores([*calm, 50.0, 50.0], 4.0)

    assert (alone[-2], abs(alone[-1]) < 1) == (0.0, True)
    assert twice[-2:].tolist() == [0.0, 4.0]


def test_simulated_runs_are_as_long_as_calculated() -> None:
    """2000 runs of normal values against the integral equation, within four standard errors."""
    random = np.random.default_rng(11)
    for slack, bound, shift in ((0.5, 4.0, 0.0), (0.5, 5.0, 1.0)):
        lengths = []
        for _ in range(2000 if shift else 300):
            signal, many = None, 200 if shift else 4000
            signal = first_signal(random.normal(shift, 1, many), slack, bound)
            assert signal is not None
            lengths.append(signal.at + 1)
        error = stdev(lengths) / math.sqrt(len(lengths))
        assert abs(fmean(lengths) - run_length(slack, bound, shift)) < 4 * error


def test_what_has_no_sense_is_refused() -> None:
    """A slack below 0, a bound of 0, a value that is no number."""
    for call in (
        lambda: cumulative([1.0], -0.1),
        lambda: first_signal([1.0], 0.5, 0.0),
        lambda: cumulative([math.nan], 0.5),
        lambda: scores([1.0, math.inf]),
        lambda: scores([1.0], 0.0),
        lambda: run_length(0.5, math.nan),
    ):
        with pytest.raises(OutOfRange):
            call()
