"""Control charts signal as often and as soon as theory says: a fixed part of `./bench charting`."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.special import ndtr

from beadwright.statistics.charts import (
    LIMITS,
    NELSON,
    WESTERN_ELECTRIC,
    Baseline,
    Cusum,
    Ewma,
    RuleSet,
    cusum_run_length,
    ewma_run_length,
    individuals,
    rule_run_length,
)
from beadwright.statistics.charts.cusum import sums
from beadwright.statistics.charts.estimated import alarms
from beadwright.statistics.charts.ewma import averages
from beadwright.statistics.charts.rules import found
from beadwright.statistics.charts.variables import individuals_process


def first(beyond: NDArray[np.bool_]) -> NDArray[np.int64]:
    """Points until the first mark in each row; every row has one."""
    assert beyond.any(axis=1).all()
    return np.asarray(beyond.argmax(axis=1) + 1)


RUNS = 20_000
"""Then a mean run length is known to some 0.7 %, and three of that are allowed."""


def near(lengths: NDArray[np.int64], mean: float, sd: float) -> bool:
    """Whether simulated lengths have a mean and a spread as they should."""
    error = sd / np.sqrt(len(lengths))
    return bool(abs(lengths.mean() - mean) < 4 * error and abs(lengths.std() / sd - 1) < 0.05)


@pytest.mark.parametrize("rules", [LIMITS, WESTERN_ELECTRIC, NELSON.only(1, 2, 3, 4)])
def test_rules_signal_as_soon_as_theory_says(rules: RuleSet) -> None:
    """Simulated run lengths, with a step of one sigma, have the mean and spread of the chain."""
    z = np.random.default_rng(1).normal(1.0, 1, (RUNS, 500))
    theory = rule_run_length(rules, 1.0)

    assert near(first(np.asarray(found(z, rules).any(axis=0))), theory.mean, theory.sd)


def test_averages_signal_as_soon_as_theory_says() -> None:
    """With exact limits, after a step and under a drift."""
    z = np.random.default_rng(2).normal(0, 1, (RUNS, 150))
    design = Ewma(0.1, 2.814)
    half = design.half(150)
    for shift in (np.full(150, 1.0), 0.03 * np.arange(1, 151)):
        theory = ewma_run_length(design, shift)
        lengths = first(np.abs(averages(z + shift, 0.1, 0.0)) > half)
        assert near(lengths, theory.mean, theory.sd)


def test_sums_signal_as_soon_as_theory_says() -> None:
    """Both sums with a head start after a step, and both under a drift: mean and spread."""
    z = np.random.default_rng(3).normal(0, 1, (RUNS, 150))
    for design, shift in ((Cusum(0.5, 5.0, 0.5), np.full(150, 0.75)),
                          (Cusum(), 0.03 * np.arange(1, 151))):  # fmt: skip
        theory = cusum_run_length(design, shift[0] if shift[0] == shift[1] else shift)
        lengths = first(np.maximum(*sums(z + shift, design)) > design.bound)
        assert near(lengths, theory.mean, theory.sd)


@pytest.mark.parametrize(("count", "by"), [(25, "moving range"), (25, "deviation"), (60, "")])
def test_limits_that_rest_on_little_say_how_often_they_are_wrong(count: int, by: str) -> None:
    """Simulated: 6,000 charts of so many points each, then a hundred points with nothing wrong."""
    rng = np.random.default_rng(29)
    known = [individuals_process(row, Baseline(by=by)) for row in rng.normal(0, 1, (6_000, count))]
    level = np.array([one.level for one in known])
    half = 3 * np.array([one.spread for one in known])
    rate = float((ndtr((level - half)) + ndtr(-(level + half))).mean())
    chart = individuals([0.0], known[0])

    assert rate == pytest.approx(alarms(known[0]), rel=0.1)
    assert f"Limits rest on {count} points" in " ".join(chart.reasons)
