"""Least squares against a general solver, and against a mean that can be done by hand."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.optimize import curve_fit

from beadwright.errors import OutOfRange
from beadwright.science.curve_fit import (
    Box,
    Measured,
    Solution,
    Symbol,
    covariance,
    expanded_uncertainty,
    fit,
    least_squares,
    noise_of,
    profile_rises,
    quantile,
)

Vector = NDArray[np.float64]
WIDE = Box(np.array([-1e3, -5.0]), np.array([1e3, 9.0]))
TIMES = np.array([1.0, 2.0, 4.0, 7.0, 11.0, 16.0])


def decay(at: Vector) -> tuple[Vector, Vector]:
    """A e^(-t/tau), with ln tau as second parameter."""
    cooled = np.exp(-TIMES / np.exp(at[1]))
    slopes = np.array([cooled, at[0] * cooled * TIMES / np.exp(at[1])]).T
    return at[0] * cooled, slopes


@given(st.floats(0.5, 20), st.floats(1.5, 10), st.integers(0, 9999))
def test_it_finds_what_a_general_solver_finds(height: float, tau: float, seed: int) -> None:
    """Value and covariance are those of scipy's curve_fit, to six digits."""
    noise = 0.01 * np.random.default_rng(seed).standard_normal(6)
    seen = height * (np.exp(-TIMES / tau) + noise)
    found = least_squares(decay, seen, [1.0, 1.0], WIDE)
    variance, degrees = noise_of(found, None)

    other, matrix = curve_fit(
        lambda t, a, b: a * np.exp(-t / np.exp(b)),
        TIMES,
        seen,
        p0=[height, np.log(tau)],
        ftol=1e-14,
    )
    assert degrees == 4
    assert found.parameters == pytest.approx(other, rel=1e-6, abs=1e-7)
    assert covariance(found, variance, WIDE) == pytest.approx(
        matrix, rel=1e-3, abs=1e-9 * height**2
    )


def test_a_parameter_at_a_wall_waits_there() -> None:
    """With the best tau outside the box it rests on the wall."""
    seen = decay(np.array([5.0, np.log(8.0)]))[0]
    box = Box(np.array([-1e3, 0.0]), np.array([1e3, 1.0]))
    found = least_squares(decay, seen, [1.0, 0.5], box)

    assert found.parameters[1] == 1.0
    assert found.free.tolist() == [True, False]


def test_what_the_measurements_do_not_touch_is_as_uncertain_as_its_box() -> None:
    """A parameter without any slope keeps the width of its box; a held one has no uncertainty."""
    blind = Solution(np.zeros(2), np.zeros(3), np.array([[1.0, 0.0]] * 3), np.array([True] * 2))
    box = Box(np.array([-1e3, 0.0]), np.array([1e3, 4.0]))

    assert covariance(blind, 0.25, box) == pytest.approx(np.diag([0.25 / 3, 16.0]), rel=1e-5)
    assert covariance(blind, 0.25, box.holding(1, 0.0))[1].tolist() == [0.0, 0.0]


def test_a_held_parameter_stays() -> None:
    """A box of no width holds a parameter, and the other is fitted."""
    seen = decay(np.array([5.0, np.log(8.0)]))[0]
    found = least_squares(decay, seen, [1.0, 0.0], WIDE.holding(1, np.log(8.0)))

    assert found.parameters == pytest.approx([5.0, np.log(8.0)], rel=1e-9)


@given(st.lists(st.floats(-5, 5), min_size=3, max_size=9), st.floats(0.1, 3))
def test_the_profile_of_a_mean_is_a_parabola(values: list[float], step: float) -> None:
    """Held a step off the mean of n values, the sum of squares rises by n step²."""
    seen = np.array(values)

    def mean(at: Vector) -> tuple[Vector, Vector]:
        return np.full(seen.size, at[0]), np.ones((seen.size, 1))

    box = Box(np.array([-1e3]), np.array([1e3]))
    found = least_squares(mean, seen, [0.0], box)

    centre = found.parameters[0]
    (rise,) = profile_rises(mean, seen, found, box, [[centre - step, centre + step]])
    assert rise == pytest.approx(seen.size * step**2, rel=1e-6)
    assert profile_rises(mean, seen, found, box, [[0.0, 0.0]]) == (np.inf,)


def test_no_measurement_left_over_asks_for_the_spread() -> None:
    """As many measurements as parameters say nothing of the scatter."""
    exact = Solution(np.ones(2), np.zeros(2), np.eye(2), np.array([True, True]))

    with pytest.raises(OutOfRange, match=r"spread is None: .*no measurement is left over"):
        noise_of(exact, None)
    assert noise_of(exact, 0.5) == (0.25, None)


@pytest.mark.parametrize("bad", [0.0, -1.0, float("nan")])
def test_a_spread_is_above_zero(bad: float) -> None:
    """A spread of nothing would make every curve a misfit."""
    exact = Solution(np.ones(1), np.zeros(2), np.ones((2, 1)), np.array([True]))

    with pytest.raises(OutOfRange, match=f"spread is {bad}"):
        noise_of(exact, bad)


@pytest.mark.parametrize("bad", [0.0, 1.0, -0.5, float("nan")])
def test_a_coverage_is_between_0_and_1(bad: float) -> None:
    """Certainty has no band."""
    with pytest.raises(OutOfRange, match="coverage"):
        quantile(bad, None)


def test_a_variance_is_not_negative() -> None:
    """Nor is its root then a number."""
    exact = Solution(np.ones(1), np.zeros(2), np.ones((2, 1)), np.array([True]))

    with pytest.raises(OutOfRange, match="variance is -1"):
        covariance(exact, -1.0, Box(-np.ones(1), np.ones(1)))


def test_what_is_told_to_within_one_step_is_not_told_to_within_a_smaller_one() -> None:
    """Of a decay with its scatter known, height is told to 1 but not to a thousandth."""
    seen = decay(np.array([5.0, np.log(8.0)]))[0]
    measured = Measured(decay, seen, WIDE, spread=0.05, least_variance=0.0)
    symbols = [Symbol("A", "1"), Symbol("tau", "s", logarithm=True)]

    wide = fit(measured, [1.0, 1.0], lambda _: [[-1.0, 1.0], [-0.5, 0.5]])
    narrow = fit(measured, [1.0, 1.0], lambda _: [[-1e-3, 1e-3], [-np.inf, np.inf]])

    assert (wide.told.tolist(), narrow.told.tolist()) == ([True, True], [False, True])
    height, tau = wide.reported(symbols, ["", ""])
    assert [height.value, tau.value] == pytest.approx([5.0, 8.0])
    assert tau.u == pytest.approx(8 * np.sqrt(wide.covariance[1, 1]))
    assert narrow.reported(symbols, ["too few", ""])[0].why == "too few"


@pytest.mark.parametrize(
    ("slopes", "matrix", "coverage"),
    [
        ([[1.0, np.nan]], np.eye(2), 0.95),
        ([[1.0, 1.0]], np.diag([np.inf, 1.0]), 0.95),
        ([[1.0, 1.0]], np.eye(2), 1.0),
        ([], np.eye(2), 0.95),
    ],
)
def test_a_band_of_what_is_no_number_is_refused(
    slopes: list[list[float]], matrix: Vector, coverage: float
) -> None:
    """Slopes, covariance and coverage are looked at before the band is worked out."""
    with pytest.raises(OutOfRange):
        expanded_uncertainty(slopes, matrix, coverage, None)
