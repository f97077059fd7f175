"""Tolerance bounds: what must hold of any sample, and what they promise."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.special import ndtr

from beadwright.errors import OutOfRange
from beadwright.statistics.tolerance import (
    Side,
    declared_value,
    distribution_free_count,
    distribution_free_interval,
    judge_label,
    one_sided_factor,
    tolerance_interval,
    two_sided_factor,
)

SHARE = st.floats(0.05, 0.99)
COUNT = st.integers(2, 300)


@given(COUNT, SHARE, SHARE, st.integers(1, 200))
def test_more_values_need_smaller_factors(
    count: int, coverage: float, confidence: float, more: int
) -> None:
    """With a confidence above one half; and more coverage or confidence need larger ones."""
    confidence = 0.5 + confidence / 2
    factor = one_sided_factor(count, max(coverage, 0.5), confidence)

    assert one_sided_factor(count + more, max(coverage, 0.5), confidence) < factor
    assert one_sided_factor(count, coverage + 0.005, confidence) > one_sided_factor(
        count, coverage, confidence
    )


@settings(max_examples=25)
@given(st.integers(2, 60), st.floats(0.5, 0.99), st.floats(0.5, 0.99))
def test_both_sides_need_more_than_one(count: int, coverage: float, confidence: float) -> None:
    """A two-sided factor lies above the one-sided, and below that of half of what is left out."""
    two = two_sided_factor(count, coverage, confidence)

    assert one_sided_factor(count, coverage, confidence) < two
    assert two < one_sided_factor(count, (1 + coverage) / 2, (1 + confidence) / 2)


@pytest.mark.parametrize("side", list(Side))
def test_a_bound_holds_its_share_as_often_as_promised(side: Side) -> None:
    """4000 samples of 8: 90 % held with 95 % confidence, within four standard errors."""
    random, trials = np.random.default_rng(4), 4000
    samples = random.normal(0, 1, (trials, 8))
    factor = (two_sided_factor if side is Side.BOTH else one_sided_factor)(8, 0.90, 0.95)
    mean, spread = samples.mean(axis=1), samples.std(axis=1, ddof=1)
    above = ndtr(mean + factor * spread) if side is not Side.LOWER else 1.0
    below = ndtr(mean - factor * spread) if side is not Side.UPPER else 0.0
    kept = float(np.mean(above - below >= 0.90))

    assert abs(kept - 0.95) < 4 * math.sqrt(0.95 * 0.05 / trials)


@given(
    st.lists(st.floats(-100, 100), min_size=2, max_size=20),
    st.floats(0.1, 5),
    st.floats(-50, 50),
    st.sampled_from(Side),
)
def test_an_interval_moves_with_unit_and_zero(
    values: list[float], times: float, more: float, side: Side
) -> None:
    """The same values in another unit, from another zero."""
    one = tolerance_interval(values, 0.9, 0.95, side)
    other = tolerance_interval([times * v + more for v in values], 0.9, 0.95, side)

    assert other.lower == pytest.approx(times * one.lower + more, abs=1e-6)
    assert other.upper == pytest.approx(times * one.upper + more, abs=1e-6)


@given(SHARE, SHARE, st.sampled_from(Side))
def test_one_value_fewer_is_too_few(coverage: float, confidence: float, side: Side) -> None:
    """The number of values it takes is the least: it does, one fewer is refused."""
    needed = distribution_free_count(coverage, confidence, side)
    interval = distribution_free_interval(range(needed), coverage, confidence, side)

    assert interval.confidence >= confidence
    if needed > (2 if side is Side.BOTH else 1):
        with pytest.raises(OutOfRange, match=f"at least {needed} numbers"):
            distribution_free_interval(range(needed - 1), coverage, confidence, side)


@pytest.mark.parametrize("side", list(Side))
def test_a_distribution_free_interval_holds_as_often_as_it_says(side: Side) -> None:
    """2000 samples of 200: as many hold 90 % as the interval says, within four errors."""
    random, trials = np.random.default_rng(28), 2000
    samples = np.sort(random.uniform(size=(trials, 200)), axis=1)
    first = distribution_free_interval(range(200), 0.90, 0.90, side)
    below = 0.0 if side is Side.UPPER else samples[:, int(first.lower)]
    above = 1.0 if side is Side.LOWER else samples[:, int(first.upper)]
    kept = float(np.mean(above - below >= 0.90))

    assert 0.90 <= first.confidence < 0.95
    assert abs(kept - first.confidence) < 4 * math.sqrt(0.1 * 0.9 / trials)
    if side is Side.BOTH:
        assert abs(first.lower - (199 - first.upper)) <= 1


@given(st.lists(st.floats(0.02, 0.05), min_size=2, max_size=30))
def test_a_declared_value_is_never_better_than_it_is(values: list[float]) -> None:
    """Rounded away from good by less than a step; whole steps."""
    declared = declared_value(values, Side.UPPER, 0.001)
    steps = declared.value / 0.001

    assert declared.exact - 1e-11 <= declared.value < declared.exact + 0.001
    assert steps == pytest.approx(round(steps), abs=1e-6)
    assert declared.enough == (len(values) >= 10)


def test_a_value_on_a_step_stays_there() -> None:
    """Ten equal results of 0.034 declare 0.034, whatever the last bit says."""
    assert declared_value([0.034] * 10, Side.UPPER, 0.001).value == 0.034
    assert declared_value([1.5] * 10, Side.LOWER, 0.05).value == 1.5


@given(st.lists(st.floats(3.0, 5.0), min_size=2, max_size=12))
def test_the_largest_label_may_stand_and_a_larger_may_not(values: list[float]) -> None:
    """By specimens and for what is made."""
    largest = judge_label(values, 4.0).largest
    if largest <= 0:
        return
    stands, breaks = judge_label(values, largest), judge_label(values, largest * 1.001)

    assert stands.tested_meet
    assert stands.made_meet
    assert not (breaks.tested_meet and breaks.made_meet)


def test_one_specimen_says_nothing_of_what_is_made() -> None:
    """There is no spread in it."""
    judgement = judge_label([4.0], 4.0)

    assert (judgement.tested_meet, judgement.made_meet, judgement.bound) == (True, None, None)


@pytest.mark.parametrize(
    ("call", "part"),
    [
        (lambda: one_sided_factor(1, 0.9, 0.9), "count is 1"),
        (lambda: two_sided_factor(5, 1.0, 0.9), "coverage is 1.0"),
        (lambda: two_sided_factor(5, 0.9, 0.9, groups=0), "groups is 0"),
        (lambda: tolerance_interval([1.0], 0.9, 0.9), "values is a row of 1"),
        (lambda: tolerance_interval([1.0, math.inf], 0.9, 0.9), "values[1] is inf"),
        (lambda: distribution_free_count(0.9, 0.0), "confidence is 0.0"),
        (lambda: declared_value([1.0, 2.0], Side.BOTH, 0.1), "worse is both"),
        (lambda: declared_value([1.0, 2.0], Side.UPPER, 0.0), "step is 0.0"),
        (lambda: judge_label([4.0, 0.0], 4.0), "values[1] is 0.0"),
        (lambda: judge_label([4.0, 4.0], -4.0), "label is -4.0"),
    ],
)
def test_what_has_no_sense_is_refused_by_name(call: object, part: str) -> None:
    """The argument, its first bad value, where, and what it must be."""
    assert callable(call)
    with pytest.raises(OutOfRange) as caught:
        call()

    assert part in str(caught.value)
