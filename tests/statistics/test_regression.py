"""Lines, curves and outliers: what must hold of any points, and what bands promise."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from numpy.typing import NDArray

from beadwright.errors import OutOfRange
from beadwright.statistics.outliers import extreme_deviates, grubbs, grubbs_critical
from beadwright.statistics.regression import (
    fit_known,
    fit_line,
    fit_polynomial,
    inverse,
    lightest,
    mean_band,
    polynomial_band,
    prediction_band,
    suspects,
    tolerance_bound,
)

Vector = NDArray[np.float64]
Y = st.lists(st.integers(-1000, 1000).map(float), min_size=5, max_size=15)


def strengths(seed: int, scatter: float, count: int = 12) -> tuple[Vector, Vector]:
    """Density in kg/m³ and strength in kPa, as foam has them, with a relative scatter."""
    random = np.random.default_rng(seed)
    density = random.uniform(15, 35, count)
    return density, 3.2 * density**1.2 * np.exp(random.normal(0, scatter, count))


@given(Y, st.integers(1, 9).map(float), st.integers(-50, 50).map(float))
def test_a_line_moves_with_unit_and_zero(y: list[float], times: float, more: float) -> None:
    """Another unit and zero of y: slope and scatter in that unit, the same share explained."""
    x = [float(i * i) for i in range(len(y))]
    one, other = fit_line(x, y), fit_line(x, [times * v + more for v in y])

    assert other.slope == pytest.approx(times * one.slope, abs=1e-7)
    assert other.spread == pytest.approx(times * one.spread, rel=1e-9, abs=1e-7)
    assert other.intercept == pytest.approx(times * one.intercept + more, abs=1e-6)


@given(Y)
def test_a_line_and_a_curve_of_degree_one_are_the_same(y: list[float]) -> None:
    """Two ways of working out the same: coefficients, uncertainties, bands."""
    x = [1.5 * i for i in range(len(y))]
    line, curve = fit_line(x, y), fit_polynomial(x, y, degree=1)
    one, other = mean_band(line, [0.3, 4.0]), polynomial_band(curve, [0.3, 4.0], single=False)
    single = polynomial_band(curve, 4.0)

    assert curve.coefficients == pytest.approx([line.intercept, line.slope], abs=1e-9)
    assert curve.u == pytest.approx([line.u_intercept, line.u_slope], rel=1e-9, abs=1e-9)
    assert other.upper == pytest.approx(one.upper, abs=1e-7)
    assert float(single.lower) == pytest.approx(float(prediction_band(line, 4.0).lower), abs=1e-7)


@given(st.lists(st.integers(-9, 9), min_size=2, max_size=6))
def test_points_on_a_polynomial_give_it_back_to_the_last_digit(parts: list[int]) -> None:
    """Whole coefficients at whole places: exactly these, and no scatter."""
    degree = len(parts) - 1
    x = np.arange(-3.0, degree + 3)
    y = sum(part * x**k for k, part in enumerate(parts))
    curve = fit_polynomial(x, np.asarray(y), degree)

    assert curve.coefficients.tolist() == parts
    assert curve.spread == 0
    assert curve.at(x) == pytest.approx(y, abs=1e-6)


@given(Y, st.floats(0, 6))
def test_bands_lie_in_one_another(y: list[float], at: float) -> None:
    """The line's within that of a mean of three, within that of one; wider with confidence."""
    line = fit_line(list(range(len(y))), y)
    assume(line.spread > 0)
    mean, three, one = (
        mean_band(line, at),
        prediction_band(line, at, repeats=3),
        prediction_band(line, at),
    )
    surer = mean_band(line, at, confidence=0.99)

    assert one.lower < three.lower < mean.lower < mean.centre < mean.upper < three.upper < one.upper
    assert surer.upper > mean.upper


@pytest.mark.parametrize("logarithmic", [False, True])
def test_bands_hold_as_often_as_promised(logarithmic: bool) -> None:
    """1500 plants: prediction, tolerance bound and inverse, each within four standard errors."""
    random, trials = np.random.default_rng(6), 1500
    density = np.array([16.0, 18, 20, 22, 24, 26, 28, 30])
    at, z90 = 23.0, 1.2815515655446004
    predicted = bounded = found = 0
    for _ in range(trials):
        noise = random.normal(0, 0.05, 9)
        mean = 3 * np.append(density, at) ** 1.2
        strength = mean * np.exp(noise) if logarithmic else 10 * np.append(density, at) + 20 * noise
        line = fit_line(density, strength[:8], logarithmic=logarithmic)
        new = strength[8]
        band = prediction_band(line, at, 0.90)
        predicted += bool(band.lower <= new <= band.upper)
        tenth = 3 * at**1.2 * math.exp(-z90 * 0.05) if logarithmic else 10 * at - z90
        bounded += bool(tolerance_bound(line, at, 0.90, 0.90) <= tenth)
        back = inverse(line, new, 0.90)
        found += back.lower <= at <= back.upper

    for times in (predicted, bounded, found):
        assert abs(times / trials - 0.90) < 4 * math.sqrt(0.9 * 0.1 / trials)


def test_the_lightest_is_where_the_bound_meets_the_limit() -> None:
    """There nearly all pieces reach it; a little lighter they do not."""
    line = fit_line(*strengths(1, 0.03), logarithmic=True)
    limit = float(tolerance_bound(line, 25.0))
    found = lightest(line, limit)

    assert found == pytest.approx(25.0, abs=1e-6)
    assert lightest(line, 1e6) is None
    assert lightest(line, 1.0) == pytest.approx(line.range[0])


def test_a_planted_outlier_is_flagged_and_kept() -> None:
    """It is named first; the line is through all points, the other one beside it."""
    density, strength = strengths(2, 0.03)
    clean = suspects(density, strength, logarithmic=True)
    strength[4] *= 1.6
    found = suspects(density, strength, logarithmic=True)

    assert clean.flagged == ()
    assert clean.without is None
    assert found.flagged[0].index == 4
    assert found.line.count == 12
    assert found.without is not None
    assert found.without.count == 12 - len(found.flagged)
    assert found.without.spread < found.line.spread / 2


def test_a_suspect_is_measured_from_the_line_through_the_others() -> None:
    """Its distance from a line that it had no part in, in that prediction's deviations."""
    density, strength = strengths(2, 0.03)
    strength[4] *= 1.6
    found = suspects(density, strength).flagged[0]
    kept = np.arange(12) != 4
    others = fit_line(density[kept], strength[kept])
    at = density[4]
    apart = strength[4] - others.intercept - others.slope * at
    leverage = 1 / 11 + (at - others.x_mean) ** 2 / others.x_squares

    assert found.studentised == pytest.approx(apart / (others.spread * math.sqrt(1 + leverage)))


def test_sound_points_are_flagged_as_seldom_as_promised() -> None:
    """2000 sound sets of 10: at most one in twenty flags any."""
    random, trials = np.random.default_rng(7), 2000
    x = np.arange(10.0)
    flagged = sum(bool(suspects(x, random.normal(0, 1, 10)).flagged) for _ in range(trials))

    assert flagged / trials < 0.05 + 4 * math.sqrt(0.05 * 0.95 / trials)
    assert flagged / trials > 0.03


def test_points_on_a_line_raise_no_suspicion() -> None:
    """Rounding is no outlier."""
    x = np.linspace(0.1, 0.7, 9)

    assert suspects(x, 0.3 + 7.1 * x).flagged == ()


def test_one_point_off_an_exact_line_is_flagged() -> None:
    """The others lie on it to the last digit."""
    x = np.arange(9.0)
    y = 2 * x
    y[3] += 1

    assert [one.index for one in suspects(x, y).flagged] == [3]


def test_grubbs_flags_as_often_as_promised() -> None:
    """4000 sound samples of 8: one in twenty, within four standard errors."""
    random, trials = np.random.default_rng(8), 4000
    flagged = np.mean([grubbs(row).flagged for row in random.normal(0, 1, (trials, 8))])

    assert abs(float(flagged) - 0.05) < 4 * math.sqrt(0.05 * 0.95 / trials)


def test_two_that_hide_each_other_are_found_by_extreme_deviates() -> None:
    """Grubbs sees neither of two equal outliers among few; the other test finds both."""
    values = [1.0, 1.1, 0.9, 1.05, 0.95, 1.02, 5.0, 5.05]

    assert not grubbs(values).flagged
    assert sorted(extreme_deviates(values, most=3).flagged) == [6, 7]


def test_equal_values_are_no_outliers() -> None:
    """Without scatter nothing lies off."""
    assert not grubbs([2.0, 2.0, 2.0, 2.0]).flagged
    assert extreme_deviates([2.0] * 6, most=2).flagged == ()


def test_equal_known_uncertainties_give_the_plain_line() -> None:
    """The same line; its uncertainty is the known one instead of the scatter's."""
    density, strength = strengths(3, 0.03)
    plain, known = fit_line(density, strength), fit_known(density, strength, 7.0)

    assert (known.intercept, known.slope) == pytest.approx((plain.intercept, plain.slope))
    assert known.u_slope / 7.0 == pytest.approx(plain.u_slope / plain.spread)
    assert known.covariance == pytest.approx(plain.correlation * known.u_intercept * known.u_slope)


def test_x_and_y_may_change_places_where_both_are_unsure() -> None:
    """The line of y against x is the line of x against y, turned round."""
    random = np.random.default_rng(26)
    x = np.arange(8.0)
    u_x, u_y = random.uniform(0.1, 0.4, 8), random.uniform(0.1, 0.4, 8)
    y = 1.0 + 2.0 * x + u_y * random.normal(0, 1, 8)
    one, other = fit_known(x, y, u_y, u_x), fit_known(y, x, u_x, u_y)

    assert other.slope == pytest.approx(1 / one.slope, rel=1e-9)
    assert other.intercept == pytest.approx(-one.intercept / one.slope, rel=1e-9)
    assert other.chi_square == pytest.approx(one.chi_square, rel=1e-9)


def test_known_uncertainties_are_what_the_line_scatters_by() -> None:
    """2000 sets: slope and value at 6 scatter as stated; one in twenty is called inconsistent."""
    random, trials = np.random.default_rng(27), 2000
    x, u_x, u_y = np.arange(8.0), 0.05, np.linspace(0.1, 0.3, 8)
    slopes, values, odd = [], [], 0
    for _ in range(trials):
        y = 1 + 2 * x + u_y * random.normal(0, 1, 8)
        line = fit_known(x + u_x * random.normal(0, 1, 8), y, u_y, u_x)
        slopes.append(line.slope)
        values.append(line.at(6.0)[0])
        odd += not line.consistent()

    assert float(np.std(slopes)) == pytest.approx(line.u_slope, rel=0.08)
    assert float(np.std(values)) == pytest.approx(line.at(6.0)[1], rel=0.08)
    assert abs(odd / trials - 0.05) < 4 * math.sqrt(0.05 * 0.95 / trials)


FLAT = fit_line([0.0, 1, 2, 3, 4], [1.0, 2, 1, 2, 1])


@pytest.mark.parametrize(
    ("call", "part"),
    [
        (lambda: fit_line([1.0, 2.0], [1.0, 2.0]), "x is a row of 2: must be a row of at least 3"),
        (lambda: fit_line([1, 2, 3], [1, 2, math.nan]), "y[2] is nan"),
        (lambda: fit_line([1, 2, 3], [1, 2, 3, 4]), "y is a row of 4: must be a row of 3"),
        (lambda: fit_line([2, 2, 2], [1, 2, 3]), "x is everywhere 2: must be at two different"),
        (lambda: fit_line([1, 0, 3], [1, 2, 3], logarithmic=True), "x[1] is 0.0"),
        (lambda: fit_polynomial([1, 2, 3], [1, 2, 3], 2), "x is a row of 3"),
        (lambda: fit_polynomial([1, 1, 2, 2], [1, 2, 3, 4], 2), "x is at 2 places: must be at 3"),
        (lambda: fit_polynomial([1, 2, 3], [1, 2, 3], 0), "degree is 0"),
        (lambda: inverse(FLAT, 1.5), "line is of a slope of"),
        (lambda: lightest(fit_line([1, 2, 3], [3, 2, 0]), 1.0), "a line that rises"),
        (lambda: mean_band(FLAT, math.inf), "x is inf"),
        (lambda: prediction_band(FLAT, 1.0, repeats=0), "repeats is 0"),
        (lambda: tolerance_bound(FLAT, 1.0, 1.0), "coverage is 1.0"),
        (lambda: fit_known([1, 2, 3], [1, 2, 3], [1, 0, 1]), "u_y[1] is 0.0"),
        (lambda: fit_known([1, 2, 3], [1, 2, 3], [1, 1]), "u_y is of shape (2,)"),
        (lambda: fit_known([1, 2, 3], [1, 2, 3], 1, [0, -1, 0]), "u_x[1] is -1.0"),
        (lambda: fit_known([2, 2, 2], [1, 2, 3], 1), "x is everywhere 2"),
        (lambda: grubbs([1.0, 2.0]), "values is a row of 2"),
        (lambda: grubbs_critical(5, 0.0), "risk is 0.0"),
        (lambda: extreme_deviates([1.0, 2.0, 3.0], most=1), "values is a row of 3"),
    ],
)
def test_what_has_no_sense_is_refused_by_name(call: object, part: str) -> None:
    """The argument, its first bad value, where, and what it must be."""
    assert callable(call)
    with pytest.raises(OutOfRange) as caught:
        call()

    assert part in str(caught.value)
