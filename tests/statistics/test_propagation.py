"""Propagation of uncertainty: what must hold of any model and any inputs."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from beadwright.errors import OutOfRange
from beadwright.statistics.propagation import (
    Input,
    Shape,
    Simulation,
    arcsine,
    correlated,
    first_order_holds,
    propagate,
    rectangular,
    simulate,
    triangular,
)

Vector = NDArray[np.float64]
VALUE = st.floats(-100, 100)
SPREAD = st.floats(0.01, 10)
PAIR = st.tuples(VALUE, SPREAD).map(lambda pair: Input(*pair))


def difference(x: Vector) -> Vector:
    """First less second."""
    result: Vector = x[0] - x[1]
    return result


@given(PAIR, PAIR, st.floats(-0.99, 0.99))
def test_a_difference_has_the_spread_of_its_formula(a: Input, b: Input, r: float) -> None:
    """u² = ua² + ub² - 2 r ua ub; what goes together cancels."""
    result = propagate(difference, [a, b], [[1, r], [r, 1]])
    variance = a.u**2 + b.u**2 - 2 * r * a.u * b.u

    assert result.value == a.value - b.value
    assert result.u == pytest.approx(math.sqrt(variance), rel=1e-6)
    assert result.sensitivities == pytest.approx([1, -1], rel=1e-8)


@given(st.floats(1, 100), st.floats(0.001, 0.05), st.floats(-3, 3))
def test_a_power_has_its_exponent_as_sensitivity(value: float, share: float, power: float) -> None:
    """Relative uncertainty times the exponent."""
    result = propagate(lambda x: x[0] ** power, [Input(value, share * value)])

    assert result.u / result.value == pytest.approx(abs(power) * share, rel=1e-5, abs=1e-9)


def test_a_square_at_zero_has_a_spread_to_second_order_only() -> None:
    """The square of a standard normal value has variance 2."""
    square = [Input(0.0, 1.0)]

    assert propagate(lambda x: x[0] ** 2, square).u == pytest.approx(0, abs=1e-9)
    assert propagate(lambda x: x[0] ** 2, square, order=2).u == pytest.approx(math.sqrt(2))


def test_a_cube_has_its_second_order_terms() -> None:
    """x³ about 1: 9 u² to first order; ½·36 u⁴ and 3·6 u⁴ more to second."""
    u = 0.1
    result = propagate(lambda x: x[0] ** 3, [Input(1.0, u)], order=2)

    assert result.u**2 == pytest.approx(9 * u**2 + 18 * u**4 + 18 * u**4, rel=1e-8)


@given(st.lists(st.tuples(SPREAD, st.integers(1, 60)), min_size=1, max_size=6))
def test_degrees_of_freedom_lie_between_the_least_and_the_sum(
    pairs: list[tuple[float, int]],
) -> None:
    """Welch and Satterthwaite: never below the smallest, never above their sum."""
    inputs = [Input(0.0, u, dof) for u, dof in pairs]
    result = propagate(lambda x: x.sum(axis=0), inputs)

    assert result.dof is not None
    least, total = min(d for _, d in pairs), sum(d for _, d in pairs)
    assert least * (1 - 1e-6) <= result.dof <= total * (1 + 1e-6)


def test_few_readings_that_go_together_have_no_degrees_of_freedom() -> None:
    """The formula does not hold there, and the result says so."""
    inputs = [Input(1.0, 0.1, 4), Input(2.0, 0.1, 4)]
    result = propagate(difference, inputs, [[1, 0.5], [0.5, 1]])

    assert result.dof is None
    with pytest.raises(OutOfRange, match="dof is None"):
        result.expanded()


@pytest.mark.parametrize(
    ("one", "furthest"),
    [
        (rectangular(2.0, 4.0), 1.0),
        (triangular(2.0, 4.0), 1.0),
        (arcsine(2.0, 4.0), 1.0),
        (Input(3.0, 0.5), 5.0),
    ],
)
def test_each_shape_is_drawn_with_its_spread_and_bounds(one: Input, furthest: float) -> None:
    """Mean and standard deviation within four standard errors; nothing beyond the bounds."""
    drawn: list[Vector] = []

    def keep(x: Vector) -> Vector:
        only: Vector = x[0]
        drawn.append(only)
        return only

    result = simulate(keep, [one])

    assert abs(result.value - 3.0) < 4 * one.u / math.sqrt(result.trials)
    assert result.u == pytest.approx(one.u, rel=0.01)
    assert float(np.abs(drawn[0] - 3.0).max()) <= furthest


def test_an_input_of_few_readings_is_drawn_wider() -> None:
    """Student's distribution of 5 degrees of freedom: its variance is 5/3."""
    result = simulate(lambda x: x[0], [Input(0.0, 1.0, 5)])

    assert result.u == pytest.approx(math.sqrt(5 / 3), rel=0.02)
    assert result.symmetric[1] == pytest.approx(2.5706, rel=0.03)


def test_what_goes_together_is_drawn_together() -> None:
    """A difference of two inputs with r = 0.9 has the spread of its formula; the third is apart."""
    related = np.array([[1, 0.9, 0], [0.9, 1, 0], [0, 0, 1]])
    inputs = [Input(0, 1), Input(0, 1), rectangular(-1, 1)]
    result = simulate(difference, inputs, related)

    assert result.u == pytest.approx(math.sqrt(0.2), rel=0.01)


def test_the_shortest_interval_of_a_skewed_result_starts_at_its_peak() -> None:
    """Exponential: 95 % from 0 to ln 20, where the symmetric one starts at -ln 0.975."""
    result = simulate(
        lambda x: -np.log((x[0] + 1) / 2), [Input(0.0, 1 / math.sqrt(3), shape=Shape.RECTANGULAR)]
    )

    assert result.shortest[0] == pytest.approx(0, abs=0.01)
    assert result.shortest[1] == pytest.approx(math.log(20), abs=0.06)
    assert result.symmetric[0] == pytest.approx(-math.log(0.975), abs=0.003)


def test_the_same_seed_gives_the_same_result() -> None:
    """And another one another."""
    one, again = (simulate(difference, [Input(0, 1)] * 2) for _ in range(2))
    other = simulate(difference, [Input(0, 1)] * 2, simulation=Simulation(seed=2))

    assert one == again
    assert one != other


@given(PAIR, PAIR)
def test_a_result_goes_wholly_together_with_itself(a: Input, b: Input) -> None:
    """Correlation 1 with itself, -1 with its negative."""
    one = propagate(difference, [a, b])
    other = propagate(lambda x: -difference(x), [a, b])

    assert correlated(one, one) == pytest.approx(1)
    assert correlated(one, other) == pytest.approx(-1)


TWO = [Input(0, 1), Input(0, 1)]


@pytest.mark.parametrize(
    ("call", "part"),
    [
        (lambda: Input(0.0, -1.0), "u is -1.0"),
        (lambda: Input(math.nan, 1.0), "value is nan"),
        (lambda: Input(0.0, 1.0, 0.0), "dof is 0.0"),
        (lambda: rectangular(1.0, 1.0), "upper is 1.0: must be a number above lower, 1."),
        (lambda: propagate(difference, []), "inputs is empty"),
        (lambda: propagate(difference, TWO, np.eye(3)), "correlation is of shape (3, 3)"),
        (lambda: propagate(difference, TWO, [[1, 2], [2, 1]]), "correlation[0, 1] is 2.0"),
        (
            lambda: propagate(difference, TWO, np.array([[1, 0.5], [0, 1]])),
            "correlation[0, 1] is 0.5",
        ),
        (lambda: propagate(difference, TWO, np.diag([1, 0.5])), "correlation[1, 1] is 0.5"),
        (lambda: propagate(difference, TWO, order=3), "order is 3: must be 1 or 2."),
        (
            lambda: propagate(lambda x: x.sum(axis=0), [Input(0, 1)] * 3, 1.9 * np.eye(3) - 0.9),
            "correlation is of least eigenvalue -0.8",
        ),
        (lambda: propagate(lambda _: np.array([1.0, 2.0]), TWO), "model's result is of shape (2,)"),
        (lambda: propagate(lambda x: x[0] * math.nan, TWO), "model[0] is nan"),
        (lambda: Simulation(trials=100), "trials is 100"),
        (
            lambda: simulate(difference, [Input(0, 1, 5)] * 2, [[1, 0.5], [0.5, 1]]),
            "inputs[0] is normal, of 5 degrees of freedom",
        ),
        (
            lambda: first_order_holds(
                propagate(difference, TWO), simulate(difference, TWO), digits=4
            ),
            "simulated is of an error of",
        ),
    ],
)
def test_what_has_no_sense_is_refused_by_name(call: object, part: str) -> None:
    """The argument, its first bad value, where, and what it must be."""
    assert callable(call)
    with pytest.raises(OutOfRange) as caught:
        call()

    assert part in str(caught.value)
