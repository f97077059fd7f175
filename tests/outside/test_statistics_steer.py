"""Dead-bands, habits and wander against published limits, tables and general-purpose routines."""

import math

import numpy as np
import pytest
from scipy import signal, special, stats

from beadwright.statistics.steer import (
    interval_and_excess,
    largest_stable_share,
    no_drift_chance,
    share_variance,
)
from beadwright.statistics.steer.drift import _above_zero
from tests.outside.printed import agrees


@pytest.mark.parametrize("h", [1.0, 2.0, 3.0, 4.0, 5.0])
def test_interval_and_excess_against_the_published_approximation(h: float) -> None:
    """[box-luceno] Kramer's approximations; the book says they are good to about 1 %."""
    interval, excess = interval_and_excess(h)
    near = (1 + 1.1 * h + h**2) * (1 - 0.115 * math.exp(-9.2 * (h**0.3 - 0.88) ** 2))
    more = (1 + 0.06 * h**2) / (1 - 0.647 * stats.norm.cdf(1.35 * (math.log(h) - 0.67)))
    assert interval == pytest.approx(near, rel=0.01)
    assert 1 + excess == pytest.approx(more, rel=0.01)


def test_wide_bands_reach_the_limit_of_random_walk_theory() -> None:
    """[siegmund] Mean square of a normal walk past a band: (h + rho)^2 + 1/4, by Wald its time."""
    rho = 0.582597157939011  # -zeta(1/2) / sqrt(2 pi)
    for h in (6.0, 10.0, 20.0):
        assert interval_and_excess(h)[0] == pytest.approx((h + rho) ** 2 + 0.25, abs=1e-4)


@pytest.mark.parametrize("delay", [0, 1, 2, 5])
def test_largest_stable_share_puts_a_root_on_the_unit_circle(delay: int) -> None:
    """[numpy-scipy] Roots of z^(d+1) - z^d + G: the largest is 1 there, below 1 just under it."""
    share = largest_stable_share(delay)
    assert _largest_root(delay, share) == pytest.approx(1.0, abs=1e-9)
    assert _largest_root(delay, 0.99 * share) < 1.0 < _largest_root(delay, 1.01 * share)


def _largest_root(delay: int, share: float) -> float:
    polynomial = np.zeros(delay + 2)
    polynomial[0], polynomial[-1] = 1.0, share
    polynomial[1] -= 1.0
    return float(np.max(np.abs(np.roots(polynomial))))


@pytest.mark.parametrize(("weight", "share"), [(0.0, 1.0), (0.2, 1.0), (0.2, 0.3), (0.4, 1.5)])
def test_variance_of_a_habit_is_the_sum_of_its_impulse_response(
    weight: float, share: float
) -> None:
    """[numpy-scipy] e_t = (1-G) e_(t-1) + a_t - (1-lambda) a_(t-1): its response, squared."""
    start = np.zeros(4000)
    start[0] = 1.0
    response = signal.lfilter([1.0, -(1.0 - weight)], [1.0, -(1.0 - share)], start)
    assert share_variance(share, weight=weight, sigma=1.0) == pytest.approx(
        float(response @ response)
    )


def test_chasing_a_process_that_only_scatters_doubles_its_variance() -> None:
    """[deming-funnel] Rule 2 of the funnel: twice the variance."""
    assert share_variance(1.0, weight=0.0, sigma=3.0) == pytest.approx(2 * 9.0)


@pytest.mark.parametrize(
    ("statistic", "chance"), [(0.34730, 0.10), (0.46136, 0.05), (0.58061, 0.025), (0.74346, 0.01)]
)
def test_critical_values_of_no_drift_for_long_series(statistic: float, chance: float) -> None:
    """[anderson-darling] The limiting law; 5,000 values are within 0.2 % of it."""
    assert _chance_of_long(statistic) == pytest.approx(chance, rel=2e-3)


@pytest.mark.parametrize("statistic", [0.347, 0.463, 0.574, 0.739])
def test_no_drift_for_long_series_against_the_law_of_cramer_and_von_mises(statistic: float) -> None:
    """[anderson-darling] Its series in Bessel functions, by SciPy; 5,000 values: within 0.2 %."""
    k = np.arange(30)
    y = (4 * k + 1) ** 2 / (16 * statistic)
    terms = special.gamma(k + 0.5) / special.gamma(k + 1) * np.sqrt(4 * k + 1)
    below = (terms * np.exp(-y) * special.kv(0.25, y)).sum() / (np.pi**1.5 * statistic**0.5)
    assert _chance_of_long(statistic) == pytest.approx(1 - below, rel=2e-3)


@pytest.mark.parametrize(
    ("statistic", "chance"), [(0.347, 0.10), (0.463, 0.05), (0.574, 0.025), (0.739, 0.01)]
)
def test_critical_values_of_no_drift_as_simulated(statistic: float, chance: float) -> None:
    """[kpss] Level, table 1: its authors' simulation, not the exact law.

    Its four values are -0.1, +0.4, -1.1 and -0.6 % off the exact ones above, and so their chances
    by 0.2, 1.0, 3.9 and 2.5 %: hence 4 %.
    """
    assert _chance_of_long(statistic) == pytest.approx(chance, rel=0.04)


def _chance_of_long(statistic: float) -> float:
    n = 5000
    k = np.arange(1, n)
    return _above_zero(1 / (4 * n * np.sin(np.pi * k / (2 * n)) ** 2) - statistic)


def test_no_drift_chance_against_simulation_of_short_runs() -> None:
    """[numpy-scipy] Runs of 12 and 7 without drift: the chance is uniform (Kolmogorov's test)."""
    rng = np.random.default_rng(20)
    found = [no_drift_chance([rng.normal(size=12), 3 + rng.normal(size=7)]) for _ in range(2000)]
    assert stats.kstest(found, "uniform").pvalue > 0.01


def test_interval_and_excess_against_a_simulated_walk() -> None:
    """[numpy-scipy] 400,000 steps of a walk that is reset at a band.

    Some 30,500 intervals whose spread is 0.8 of their mean: 2 % are four standard errors.
    """
    rng = np.random.default_rng(4)
    h, where, resets, squares = 3.0, 0.0, 0, 0.0
    for step in rng.normal(size=400_000):
        squares += where * where
        where += step
        if abs(where) > h:
            where, resets = 0.0, resets + 1
    interval, excess = interval_and_excess(h)
    assert 400_000 / resets == pytest.approx(interval, rel=0.02)
    assert squares / 400_000 == pytest.approx(excess, rel=0.02)


def test_interval_and_excess_against_the_plainest_rule() -> None:
    """[numpy-scipy] The same equations by 1200 equal strips and a general solver, for h = 5.

    31.415 samples between adjustments, and 9.40 % more scatter at a weight of 0.2.
    """
    h, count = 5.0, 1200
    at = -h + (np.arange(count) + 0.5) * 2 * h / count
    step = stats.norm.pdf(at[:, None] - at) * 2 * h / count
    first = stats.norm.pdf(at) * 2 * h / count
    interval = 1 + first @ np.linalg.solve(np.eye(count) - step, np.ones(count))
    squares = first @ np.linalg.solve(np.eye(count) - step, at**2)
    found = interval_and_excess(h)

    assert found == pytest.approx((interval, squares / interval), rel=5e-6)  # strips: 2e-6
    assert agrees(found[0], "31.415")
    assert agrees(100 * (math.sqrt(1 + 0.2**2 * found[1]) - 1), "9.40")
