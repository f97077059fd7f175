"""A scale's figures against its own noise: what drifts is found, what does not is left alone."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from beadwright.plant.findings import BOUND, OUTLYING, SLACK, Series, drift_of
from beadwright.statistics import run_length

DAY_MS = 86_400_000
NOISE = 0.002
A_DAY = 4  # weighings


def series(seed: int, growth: float = 0.0, start: int = 40, length: int = 80) -> Series:
    """Shares that a scale shows too much; from one weighing on they grow by so much a day."""
    random = np.random.default_rng(seed)
    late = np.maximum(np.arange(length) - start, 0) / A_DAY
    share = random.normal(0.003, NOISE, length) + growth * late
    at_ms = tuple(round(i * DAY_MS / A_DAY) for i in range(length))
    return Series("SC-1", "remainder", "expand", at_ms, tuple(share.tolist()), (400.0,) * length)


def test_a_drift_of_a_per_mille_and_a_half_a_day_is_found_within_four_days() -> None:
    """Of 100 scales whose noise is 2 per mille: all, none before it began."""
    for seed in range(100):
        drift = drift_of(series(seed, 0.0015))
        assert drift is not None
        assert 40 * DAY_MS / A_DAY < drift.signal_ms < (40 / A_DAY + 4.5) * DAY_MS
        assert drift.height > 0
        assert drift.start.rate == pytest.approx(0.0015, abs=0.0005)
        assert abs(drift.since_ms / DAY_MS - 40 / A_DAY) < 3


def test_it_began_not_before_the_moment_said() -> None:
    """Of 100 scales that drift, nominally 95; of 100 that step, likewise, and never after.

    100 tell 95 % to 2.2 (one standard error): 90 is two below.
    """
    truth = 40 * DAY_MS / A_DAY
    drifts = [drift_of(series(seed, 0.0015)) for seed in range(100)]
    stepped = []
    for seed in range(100):
        calm = series(seed)
        share = tuple(one + 0.004 * (at >= 40) for at, one in enumerate(calm.share))
        stepped.append(drift_of(dataclasses.replace(calm, share=share)))

    for found in (drifts, stepped):
        told = [one for one in found if one is not None]
        assert len(told) == 100
        assert sum(one.not_before_ms <= truth for one in told) >= 90
        assert all(one.not_before_ms <= one.since_ms <= one.signal_ms for one in told)


def test_a_later_change_is_not_taken_for_what_signalled() -> None:
    """A small step, then a great one long after the signal of the first."""
    calm = series(4, length=120)
    share = tuple(
        one + 0.004 * (at >= 40) + 0.02 * (at >= 110) for at, one in enumerate(calm.share)
    )
    drift = drift_of(dataclasses.replace(calm, share=share))

    assert drift is not None
    assert drift.since_ms <= drift.signal_ms < 110 * DAY_MS / A_DAY


def test_a_scale_that_shows_less_is_found_too() -> None:
    """The height of the sum is then below zero."""
    drift = drift_of(series(1, -0.0015))

    assert drift is not None
    assert drift.height < -BOUND
    assert drift.start.rate < 0


def test_scales_that_do_not_drift_are_left_alone() -> None:
    """Of 300 of 80 weighings, as many as the run length lets expect, twofold at the most."""
    found = sum(drift_of(series(seed)) is not None for seed in range(300))

    assert found <= 2 * 300 * 80 / run_length(SLACK, BOUND)


def test_one_filling_that_nobody_entered_is_no_drift() -> None:
    """A silo short by a third among silos that are not."""
    calm = series(3)
    share = list(calm.share)
    share[50] -= 0.3

    assert drift_of(dataclasses.replace(calm, share=tuple(share))) is None


def test_the_unit_of_the_noise_does_not_matter() -> None:
    """A coarse scale and a fine one are each held against themselves."""
    drifts = series(5, 0.0015)
    coarse = dataclasses.replace(drifts, share=tuple(10 * one for one in drifts.share))
    one, other = drift_of(drifts), drift_of(coarse)

    assert one is not None
    assert other is not None
    assert one.signal_ms == other.signal_ms
    assert one.height == pytest.approx(other.height)


def test_the_design_is_what_the_page_says() -> None:
    """One false signal in about 9,500 weighings; a shift of two deviations found after six."""
    assert run_length(SLACK, BOUND) == pytest.approx(9500, rel=0.01)
    assert run_length(SLACK, BOUND, 2.0) == pytest.approx(6, abs=0.1)
    assert OUTLYING == 4.0
