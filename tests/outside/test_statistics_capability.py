"""Indices, their intervals, Pearson's curves and normality against printed and other figures."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import stats

from beadwright.statistics.capability import (
    Shape,
    Stability,
    Stable,
    Tolerance,
    capability,
    normality,
    pearson_quantile,
    percentile_capability,
)
from beadwright.statistics.capability.intervals import Place, nearer, one_limit, width
from tests.outside.printed import agrees

KNOWN = Stability(Stable.YES)
SHARES = np.array([0.00135, 0.01, 0.1, 0.5, 0.9, 0.99, 0.99865])


def sample(count: int, mean: float, spread: float) -> np.ndarray:
    """Values of just this mean and standard deviation."""
    z = np.linspace(-1, 1, count)
    return np.asarray(mean + spread * (z - z.mean()) / z.std(ddof=1))


def test_the_handbooks_example() -> None:
    """[nist-capability] Limits 8 and 20, mean 16, spread 2: Cp 1.0, Cpu .6667, Cpl 1.3333."""
    values = sample(40, 16, 2)
    both = capability(values, Tolerance(8, 20), KNOWN)
    upper, lower = (
        capability(values, one, KNOWN) for one in (Tolerance(upper=20), Tolerance(lower=8))
    )
    found = {one.name: one.value for one in both.indices}

    assert agrees(found["Pp"], "1.0")
    assert agrees(found["Ppk"], "0.6667")
    assert agrees(one_value(upper), "0.6667")
    assert agrees(one_value(lower), "1.3333")


def one_value(found: object) -> float:
    """The only index of one limit."""
    (index,) = found.indices  # type: ignore[attr-defined]
    assert index.name == "Ppk"
    return float(index.value)


def test_a_textbooks_intervals() -> None:
    """[montgomery-capability] Cp 2.29 of 20: 1.57 to 3.01; Cpk 1.33 of 20: 0.88 to 1.78."""
    place = Place(20, 0.0, 1.0, 19)
    of_width, of_side = width(place, 6 * 2.29, 0.95), nearer(place, 1.33, 0.95)

    assert (agrees(of_width[1], "1.57"), agrees(of_width[2], "3.01")) == (True, True)
    assert (agrees(of_side[1], "0.88"), agrees(of_side[2], "1.78")) == (True, True)


# n: one-sided tolerance factors for 90, 95 and 99 % with 95 % confidence.
FACTORS = {5: "3.407 4.203 5.741", 10: "2.355 2.911 3.981", 30: "1.777 2.220 3.064"}


@pytest.mark.parametrize("count", FACTORS)
def test_one_limits_index_is_the_printed_tolerance_factor_turned_round(count: int) -> None:
    """[one-sided-table] An index of a third of the factor proves a third of the share's score."""
    for share, printed in zip((0.90, 0.95, 0.99), FACTORS[count].split(), strict=True):
        index = float(printed) / 3
        proved = one_limit(Place(count, 0.0, 1.0, count - 1.0), index, 0.95)[3]
        # Half a unit of the factor's third decimal moves what is proved by less than 2e-4.
        assert 3 * proved == pytest.approx(stats.norm.ppf(share), abs=3e-4)


def test_what_lies_beyond_by_the_index() -> None:
    """[nist-capability] Both sides: 2699.8 ppm at 1, 63.3 at 4/3, .57 at 5/3."""
    for index, printed in ((1, "2699.8"), (4 / 3, "63.3"), (5 / 3, ".57")):
        found = capability(sample(60, 0, 1), Tolerance(-3 * index, 3 * index), KNOWN)
        assert agrees(1e6 * found.beyond, printed)


@pytest.mark.parametrize(
    "law",
    [
        stats.gamma(2.5), stats.expon(), stats.beta(2, 5), stats.beta(0.5, 3), stats.beta(3, 3),
        stats.uniform(), stats.t(7), stats.betaprime(3, 12), stats.f(6, 20), stats.norm(),
        stats.pearson3(0.7), stats.pearson3(-0.7), stats.invgamma(9),
    ],
)  # fmt: skip
def test_quantiles_of_the_laws_that_pearsons_family_holds(law: object) -> None:
    """[scipy-distributions] Beta, gamma, t, beta of the second kind, inverse gamma, uniform."""
    mean, variance, skewness, excess = (float(one) for one in law.stats("mvsk"))  # type: ignore[attr-defined]
    exact = (law.ppf(SHARES) - mean) / variance**0.5  # type: ignore[attr-defined]
    found = pearson_quantile(SHARES, skewness, excess + 3)

    assert found == pytest.approx(exact, abs=1e-6)


def test_the_percentile_index_of_an_exponential_process() -> None:
    """[iso-22514-2-percentiles] U = 10 of the unit exponential: (10 - .6931)/(6.6077 - .6931).

    The values are its own quantiles; the fit of Pearson's curve to 20 000 of them is within 1 %.
    """
    even = -np.log1p(-(np.arange(20_000) + 0.5) / 20_000)
    exact = (10 - math.log(2)) / (-math.log(0.00135) - math.log(2))
    low, middle, high = (float(one) for one in pearson_quantile([0.00135, 0.5, 0.99865], 2, 9) + 1)

    assert agrees(high, "6.6077")
    assert agrees(middle, ".6931")
    assert agrees((10 - middle) / (high - middle), "1.5736")
    assert low == pytest.approx(0.00135, abs=1e-6)
    found = percentile_capability(even[::20], Tolerance(upper=10.0), KNOWN, Shape.WEIBULL)
    assert found.ppk == pytest.approx(exact, rel=0.01)


def test_the_first_printed_sample_of_a_test_of_normality() -> None:
    """[shapiro-wilk-1965] Weights of eleven men: W = 0.79, below its 1 % point.

    The paper prints W = 0.79 and that it lies below the 1 % point, 0.792.
    """
    found = normality([148, 154, 158, 160, 161, 162, 166, 170, 182, 195, 236])

    assert agrees(found.statistic, "0.79")
    assert found.probability < 0.01
    assert found.doubtful
