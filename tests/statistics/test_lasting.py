"""A small step that lasts is found, and what hangs together is not taken for one too often."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.signal import lfilter
from scipy.stats import binom

from beadwright.errors import OutOfRange
from beadwright.statistics.charts import lasting_step
from beadwright.statistics.charts.lasting import chance_of_step

COUNT, SERIES = 60, 200


def rows(correlation: float, seed: int) -> NDArray[np.float64]:
    """Series of variance 1 with a correlation of neighbours."""
    shocks = np.random.default_rng(seed).standard_normal((SERIES, COUNT))
    shocks[:, 1:] *= (1 - correlation**2) ** 0.5
    return np.asarray(lfilter([1.0], [1.0, -correlation], shocks, axis=1))


@pytest.mark.parametrize("correlation", [0.0, 0.5])
def test_false_signals_are_as_rare_as_they_are_said_to_be(correlation: float) -> None:
    """Of 200 series of 60 values without a step no more than the price allows, but for chance."""
    false = sum(lasting_step(row).found for row in rows(correlation, 11))

    # More would be seen once in a thousand such tests if the chance were as it is said to be.
    assert false <= binom.isf(0.001, SERIES, chance_of_step(COUNT))


def test_a_step_of_one_sigma_is_mostly_found() -> None:
    """In the middle of 60 values that stand apart: some seven times in ten."""
    step = np.arange(COUNT) >= COUNT // 2
    found = [lasting_step(row + step) for row in rows(0.0, 12)[:24]]
    seen = [one.at for one in found if one.found]

    assert len(seen) >= binom.ppf(0.001, 24, 0.7)  # 0.73 of 400 in a run of its own
    assert np.median(seen) == pytest.approx(30, abs=2)


def test_a_step_among_values_that_hang_together_is_told_from_them() -> None:
    """Correlation 0.4 beside a step of two sigma: both are seen."""
    row = rows(0.4, 13)[1] + 2.0 * (np.arange(COUNT) >= 35)
    found = lasting_step(row)

    assert found.found
    assert abs(found.at - 35) <= 2
    assert 0.1 < found.correlation < 0.7


def test_a_step_does_not_depend_on_the_unit_or_the_side() -> None:
    """Grams or ounces, heavier or lighter: the same ratio."""
    row = rows(0.2, 14)[0] + 1.5 * (np.arange(COUNT) >= 40)
    one, other = lasting_step(row), lasting_step(20 - 0.05 * row)

    assert (one.at, one.found) == (other.at, other.found)
    assert one.ratio == pytest.approx(other.ratio)
    assert (one.after > one.before) != (other.after > other.before)


def test_what_cannot_be_asked_is_refused() -> None:
    """Few values, and values that do not vary."""
    with pytest.raises(OutOfRange, match="25"):
        lasting_step(np.arange(24.0))
    with pytest.raises(OutOfRange, match="vary"):
        lasting_step(np.ones(30))
