"""Control charts: factors, limits, runs rules against published figures."""

import numpy as np
import pytest

from beadwright.statistics.charts import (
    ISO_7870_2,
    WESTERN_ELECTRIC,
    Baseline,
    LeftOut,
    counts,
    factors,
    individuals,
    means,
    proportions,
    rates,
)
from beadwright.statistics.charts.several import (
    t_squared,
    t_squared_limit,
    t_squared_parts,
    together,
)
from tests.outside.printed import agrees

FACTORS = {
    "d2": "1.128 1.693 2.059 2.326 2.534 2.704 2.847 2.970 3.078",
    "d3": "0.853 0.888 0.880 0.864 0.848 0.833 0.820 0.808 0.797",
    "c4": "0.7979 0.8862 0.9213 0.9400 0.9515 0.9594 0.9650 0.9693 0.9727",
    "A": "2.121 1.732 1.500 1.342 1.225 1.134 1.061 1.000 0.949",
    "A2": "1.880 1.023 0.729 0.577 0.483 0.419 0.373 0.337 0.308",
    "A3": "2.659 1.954 1.628 1.427 1.287 1.182 1.099 1.032 0.975",
    "B3": "0 0 0 0 0.030 0.118 0.185 0.239 0.284",
    "B4": "3.267 2.568 2.266 2.089 1.970 1.882 1.815 1.761 1.716",
    "B5": "0 0 0 0 0.029 0.113 0.179 0.232 0.276",
    "B6": "2.606 2.276 2.088 1.964 1.874 1.806 1.751 1.707 1.669",
    "D2": "3.686 4.358 4.698 4.918 5.078 5.204 5.306 5.393 5.469",
    "D3": "0 0 0 0 0 0.076 0.136 0.184 0.223",
    "D4": "3.267 2.574 2.282 2.114 2.004 1.924 1.864 1.816 1.777",
}
# One unit of the last digit away in the usual tables, which carry rounded d2 and d3 on: d2 of 10
# is 3.07751, D4 of 2 is 3.2665 and of 3 is 2.5746, D2 of 6 is
# 5.07853, of 8 is 5.30670 and of 9 is 5.39353.
ROUNDED_ON = {("d2", 10), ("D4", 3), ("D4", 2), ("D2", 6), ("D2", 8), ("D2", 9)}


@pytest.mark.parametrize("name", FACTORS)
def test_factors_of_the_usual_tables(name: str) -> None:
    """[nist-chart-constants] Factors of subgroups of two to ten are as printed."""
    for size, printed in enumerate(FACTORS[name].split(), start=2):
        value = getattr(factors(size), name)
        near = abs(value - float(printed)) < 0.00151 and (name, size) in ROUNDED_ON
        assert agrees(value, printed) or near, (name, size, value)


LARGE = {
    15: "3.472 0.9823 0.789 0.223 0.428 1.572 0.347 1.653",
    20: "3.735 0.9869 0.680 0.180 0.510 1.490 0.415 1.585",
    25: "3.931 0.9896 0.606 0.153 0.565 1.435 0.459 1.541",
}


@pytest.mark.parametrize("size", LARGE)
def test_factors_of_large_subgroups(size: int) -> None:
    """[nist-chart-constants] d2, c4, A3, A2, B3, B4, D3 and D4 of 15, 20 and 25 are as printed."""
    found = factors(size)
    names = ("d2", "c4", "A3", "A2", "B3", "B4", "D3", "D4")
    for name, printed in zip(names, LARGE[size].split(), strict=True):
        assert agrees(getattr(found, name), printed), (name, getattr(found, name))


FLOW = (49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1)


def test_individuals_of_the_handbook() -> None:
    """[nist-individuals] Centre line, moving range and limits of ten flow rates.

    The handbook divides by 1.128; the exact factor is 1.12838, so limits differ in the third
    decimal.
    """
    chart = individuals(FLOW)
    assert chart.beside is not None

    assert agrees(chart.process.level, "50.81")
    assert agrees(chart.beside.points[1:].mean(), "1.8778")
    assert chart.upper[0] == pytest.approx(55.8041, abs=2e-3)
    assert chart.lower[0] == pytest.approx(45.8159, abs=2e-3)
    assert chart.signals == ()


BALES = (
    245, 239, 239, 241, 241, 241, 238, 238, 236, 248,
    233, 236, 246, 253, 227, 231, 237, 228, 239, 240,
)  # fmt: skip


def test_means_and_deviations_of_rubber_bales() -> None:
    """[rubber-bales] Limits of means of five from a mean s of 9.28, and which bale lies beyond."""
    level = float(np.mean(BALES))
    half = factors(5).A3 * 9.28
    limits = level - half, level + half

    assert agrees(limits[0], "225.6")
    assert agrees(limits[1], "252.0")
    assert [bale for bale in BALES if bale > limits[1]] == [253]


RINGS = """
74.030 74.002 74.019 73.992 74.008 73.995 73.992 74.001 74.011 74.004 73.988 74.024 74.021 74.005
74.002 74.002 73.996 73.993 74.015 74.009 73.992 74.007 74.015 73.989 74.014 74.009 73.994 73.997
73.985 73.993 73.995 74.006 73.994 74.000 74.005 73.985 74.003 73.993 74.015 73.988 74.008 73.995
74.009 74.005 74.004 73.998 74.000 73.990 74.007 73.995 73.994 73.998 73.994 73.995 73.990 74.004
74.000 74.007 74.000 73.996 73.983 74.002 73.998 73.997 74.012 74.006 73.967 73.994 74.000 73.984
74.012 74.014 73.998 73.999 74.007 74.000 73.984 74.005 73.998 73.996 73.994 74.012 73.986 74.005
74.007 74.006 74.010 74.018 74.003 74.000 73.984 74.002 74.003 74.005 73.997 74.000 74.010 74.013
74.020 74.003 73.982 74.001 74.015 74.005 73.996 74.004 73.999 73.990 74.006 74.009 74.010 73.989
73.990 74.009 74.014 74.015 74.008 73.993 74.000 74.010 73.982 73.984 73.995 74.017 74.013
"""
LATER = """
74.012 74.015 74.030 73.986 74.000 73.995 74.010 73.990 74.015 74.001 73.987 73.999 73.985 74.000
73.990 74.008 74.010 74.003 73.991 74.006 74.003 74.000 74.001 73.986 73.997 73.994 74.003 74.015
74.020 74.004 74.008 74.002 74.018 73.995 74.005 74.001 74.004 73.990 73.996 73.998 74.015 74.000
74.016 74.025 74.000 74.030 74.005 74.000 74.016 74.012 74.001 73.990 73.995 74.010 74.024 74.015
74.020 74.024 74.005 74.019 74.035 74.010 74.012 74.015 74.026 74.017 74.013 74.036 74.025 74.026
74.010 74.005 74.029 74.000 74.020
"""


def _fives(text: str) -> list[list[float]]:
    return np.array(text.split(), dtype=float).reshape(-1, 5).tolist()


def test_means_and_ranges_of_piston_rings() -> None:
    """[piston-rings] Level, spread and limits of twenty-five fives, by their ranges."""
    chart = means(_fives(RINGS), Baseline(by="range"))
    assert chart.beside is not None

    assert agrees(chart.process.level, "74.00118")
    assert agrees(chart.beside.centre[0], "0.023")
    assert agrees(chart.process.spread, "0.0100")
    assert agrees(chart.lower[0], "73.988")
    assert agrees(chart.beside.upper[0], "0.049")
    # Printed as 74.014: the book rounds the mean range to 0.023 before it multiplies.
    assert abs(float(chart.upper[0]) - 74.014) < 0.0007
    assert chart.signals == chart.beside.signals == ()


def test_means_and_deviations_of_piston_rings() -> None:
    """[piston-rings] Mean of s, limits of means and of s."""
    chart = means(_fives(RINGS))
    assert chart.beside is not None

    assert agrees(chart.beside.centre[0], "0.0094")
    assert agrees(chart.beside.upper[0], "0.0196")
    assert agrees(chart.lower[0], "73.988")
    # Printed as 74.014: the book rounds the mean of s to 0.0094 before it multiplies.
    assert abs(float(chart.upper[0]) - 74.014) < 0.0007


def test_later_piston_rings_by_limits_that_were_kept() -> None:
    """[piston-rings] Rings 37, 38 and 39 lie beyond, and ring 40 completes a run of seven."""
    process = means(_fives(RINGS), Baseline(by="range")).process
    chart = means(_fives(LATER), process, ISO_7870_2)

    beyond = [one.at + 26 for one in chart.signals if one.rule.of_limits]
    runs = [one for one in chart.signals if one.rule.name == "ISO 7870-2 2"]
    assert beyond == [37, 38, 39]
    assert [one.at + 26 for one in runs] == [40]
    assert [index + 26 for index in runs[0].points] == list(range(34, 41))
    assert chart.phase == 2


DEFECTS = (
    16, 14, 28, 16, 12, 20, 10, 12, 10, 17, 19, 17, 14, 16, 15, 13, 14, 16, 11, 20, 11, 19, 16, 31,
    13,
)  # fmt: skip


def test_defects_of_the_handbook() -> None:
    """[nist-counts] Centre line 16, limits 4 and 28, and wafer 24 beyond."""
    chart = counts(DEFECTS, Baseline(by="sigma"))

    assert (chart.centre[0], chart.lower[0], chart.upper[0]) == (16, 4, 28)
    assert [one.at + 1 for one in chart.signals] == [24]


FRACTIONS = (
    0.24, 0.3, 0.16, 0.2, 0.08, 0.14, 0.32, 0.18, 0.28, 0.2, 0.1, 0.12, 0.34, 0.24, 0.44, 0.16,
    0.2, 0.1, 0.26, 0.22, 0.4, 0.36, 0.48, 0.3, 0.18, 0.24, 0.14, 0.26, 0.18, 0.12,
)  # fmt: skip


def test_proportions_of_the_handbook() -> None:
    """[nist-proportions-chart] Thirty samples of fifty: limits, and wafers 15 and 23 beyond."""
    chart = proportions(np.round(np.array(FRACTIONS) * 50), 50, Baseline(by="sigma"))

    assert agrees(chart.centre[0], "0.2313")
    assert agrees(chart.lower[0], "0.0524")
    assert agrees(chart.upper[0], "0.4102")
    assert [one.at + 1 for one in chart.signals] == [15, 23]


ORDERS = (12, 8, 6, 9, 10, 12, 11, 16, 10, 6, 20, 15, 9, 8, 6, 8, 10, 7, 5, 8, 5, 8, 10, 6, 9)
SIZES = (
    100, 80, 80, 100, 110, 110, 100, 100, 90, 90, 110, 120, 120, 120, 110, 80, 80, 80, 90, 100,
    100, 100, 100, 90, 90,
)  # fmt: skip


def test_proportions_of_samples_of_many_sizes() -> None:
    """[purchase-orders] Each sample has limits of its own, and the eleventh lies beyond."""
    chart = proportions(ORDERS, SIZES)

    assert agrees(chart.process.level, "0.0955")
    # n = 110: 0.0955 + 3 √(0.0955 · 0.9045 / 110)
    assert agrees(chart.upper[10], "0.180")
    assert agrees(chart.upper[0], "0.184")
    assert agrees(chart.lower[0], "0.007")
    assert [one.at + 1 for one in chart.signals] == [11]


ERRORS = (10, 12, 8, 14, 10, 16, 11, 7, 10, 15, 9, 5, 7, 11, 12, 6, 8, 10, 7, 5)


def test_defects_by_unit() -> None:
    """[defects-by-unit] Twenty samples of five units: 1.93 by unit, limits 0.07 and 3.79."""
    chart = rates(ERRORS, 5, Baseline(by="sigma"))

    assert agrees(chart.centre[0], "1.93")
    assert agrees(chart.upper[0], "3.79")
    assert agrees(chart.lower[0], "0.07")
    assert chart.signals == ()


def test_limits_without_a_bale_whose_cause_was_found() -> None:
    """[rubber-bales] The level without the bale of 253, which stays on the chart."""
    cause = LeftOut(BALES.index(253), "weighed with its pallet")
    chart = individuals(BALES, Baseline((cause,), "deviation"), WESTERN_ELECTRIC)

    assert chart.process.level == pytest.approx(238.05, abs=0.006)
    assert chart.points[13] == 253
    assert chart.process.left_out == (cause,)


RYAN = """
72,23 84,30 79,28 49,10 56,14 87,31 33,8 42,9 55,13 73,22 22,6 60,16 44,9 80,28 54,15 74,25 97,36
26,10 48,14 58,15 83,30 89,35 91,36 62,18 47,12 66,18 53,14 58,16 88,31 50,11 84,30 69,19 57,14
47,10 41,8 46,10 26,7 39,11 52,35 48,30 46,10 27,8 63,19 34,9 49,11 62,20 78,27 87,31 71,22 63,16
82,31 55,15 71,21 58,19 69,17 70,20 67,18 69,19 70,18 94,35 55,15 63,16 72,20 49,12 49,13 51,14
55,16 76,26 72,22 80,28 61,18 59,17 61,19 74,20 62,16 57,14 35,10 38,11 41,13 46,16
"""


def test_two_characteristics_at_once() -> None:
    """[ryan-t-squared] Twenty subgroups of four pairs: means, covariances, T², limit, signals."""
    table = np.array([[float(x) for x in pair.split(",")] for pair in RYAN.split()])
    groups = table.reshape(20, 4, 2)
    kept = together(groups)
    chart = t_squared(groups)

    assert agrees(kept.level[0], "60.375")
    assert agrees(kept.level[1], "18.4875")
    assert agrees(kept.covariance[0, 0], "222.0333")
    assert agrees(kept.covariance[0, 1], "103.1167")
    assert agrees(kept.covariance[1, 1], "56.5792")
    for group, printed in ((10, "63.76"), (20, "13.04"), (6, "8.98"), (1, "2.24")):
        assert agrees(chart.points[group - 1], printed), group
    # Each of two characteristics at 0.9973, so 0.9946 together.
    assert abs(t_squared_limit(kept, 1, 1 - 0.9973002**2) - 11.0398) < 5e-4
    assert [one.at + 1 for one in chart.signals] == [10, 20]


IMPURITIES = """
14.92 85.77 42.26  16.90 83.77 43.44  17.38 84.46 42.74  16.90 86.27 43.60  16.92 85.23 43.18
16.71 83.81 43.72  17.07 86.08 43.33  16.93 85.85 43.41  16.71 85.73 43.28  16.88 86.27 42.59
16.73 83.46 44.00  17.07 85.81 42.78  17.60 85.92 43.11  16.90 84.23 43.48
"""


def test_three_characteristics_of_single_values() -> None:
    """[tracy-1992] Fourteen batches of a chemical: the first lies off, by its impurities."""
    table = np.array(IMPURITIES.split(), dtype=float).reshape(14, 3)
    kept = together(table, Baseline(by="deviation"))
    chart = t_squared(table, Baseline(by="deviation"))
    printed = "10.93 2.04 5.58 3.86 0.04 2.25 1.44 1.21 0.68 2.17 4.17 1.40 2.33 0.90"

    assert all(agrees(t, text) for t, text in zip(chart.points, printed.split(), strict=True))
    assert int(t_squared_parts(table, kept)[0].argmax()) == 0
