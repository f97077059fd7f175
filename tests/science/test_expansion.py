"""Pre-expansion: mass is conserved, the curve solves its equation, a trial says what it cannot."""

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from scipy.optimize import minimize_scalar

from beadwright.errors import OutOfRange
from beadwright.science.expansion import (
    SteamingCurve,
    expansion_ratio,
    level_stop_charge,
    level_stop_density,
    level_volume,
    lowest_density,
    steaming_density,
    steaming_gain,
)
from beadwright.science.expansion.slopes import gain_slopes, in_fit_scale, log_ratio_slopes

EXAMPLE = SteamingCurve(42.0, 35.0, 0.0015, 6.0, 610.0)
CURVES = st.builds(
    SteamingCurve,
    st.floats(5, 80),
    st.floats(5, 120),
    st.floats(1e-4, 0.02),
    st.floats(0, 20),
    st.floats(590, 650),
)
BAD = [float("nan"), float("inf"), -1.0]


@given(st.floats(1, 100), st.floats(0.2, 5), st.floats(0, 0.08))
def test_the_level_stop_conserves_mass(charge: float, volume: float, loss: float) -> None:
    """What is in the vessel and what left it are the charge; and there and back is nothing."""
    density = float(level_stop_density(charge, volume, loss))

    assert density * volume + charge * loss == pytest.approx(charge, rel=1e-12)
    assert float(level_stop_charge(density, volume, loss)) == pytest.approx(charge, rel=1e-12)


@given(st.floats(2, 20), st.floats(0.3, 2), st.floats(0, 0.05), st.floats(0.9, 1.1))
def test_one_per_cent_of_charge_is_one_per_cent_of_density(
    charge: float, volume: float, loss: float, factor: float
) -> None:
    """The gain of ln rho to ln m is exactly 1."""
    one, other = level_stop_density([charge, charge * factor], volume, loss)

    assert other / one == pytest.approx(factor, rel=1e-12)


def test_the_level_volume_is_learnt_with_its_uncertainty() -> None:
    """Over 400 invented plants of 12 batches the two-u band holds the truth as often as t says."""
    random = np.random.default_rng(7)
    inside = 0
    for _ in range(400):
        charge = random.uniform(10, 12, 12)
        cups = level_stop_density(charge, 0.5, 0.01) * np.exp(0.012 * random.standard_normal(12))
        found = level_volume(charge, cups, 0.01)
        inside += abs(found.volume_m3 - 0.5) < 2.201 * found.u_volume_m3

    assert 0.92 < inside / 400 < 0.98


@given(CURVES, st.floats(0, 600))
def test_the_closed_form_is_the_solution_of_the_equation(curve: SteamingCurve, time: float) -> None:
    """A general solver of differential equations gives the same ratio to six digits."""
    lag, tau = float(curve.lag_s), float(curve.time_constant_s)  # type: ignore[arg-type]
    top, fall = float(curve.ceiling), float(curve.collapse_per_second)  # type: ignore[arg-type]
    since = max(time - lag, 0.0)
    run = solve_ivp(
        lambda s, x: (top * np.exp(-fall * s) - x) / tau, (0, since), [1.0], rtol=1e-9, atol=1e-12
    )

    assert float(expansion_ratio(time, curve)) == pytest.approx(run.y[0, -1], rel=1e-6)


@given(CURVES)
def test_the_minimum_is_where_a_search_finds_it(curve: SteamingCurve) -> None:
    """A bounded search over time finds no lower density, and the gain there is zero."""
    lowest = lowest_density(curve)
    when = float(lowest.time_s)
    if when > 590:
        return
    search = minimize_scalar(
        lambda t: float(steaming_density(t, curve)), bounds=(0, 600), options={"xatol": 1e-6}
    )

    assert float(lowest.density_kg_m3) <= search.fun * (1 + 1e-9)
    assert float(lowest.density_kg_m3) == pytest.approx(
        float(steaming_density(when, curve)), rel=1e-10
    )
    assert float(steaming_gain(when, curve)) == pytest.approx(0, abs=1e-9)


def test_the_worked_example_by_two_ways() -> None:
    """Its lowest density and time to the digits of a search to 1e-8 s in 30 digits by hand."""
    lowest = lowest_density(EXAMPLE)

    assert float(lowest.time_s) == pytest.approx(114.0151, abs=1e-3)
    assert float(lowest.density_kg_m3) == pytest.approx(17.0784, abs=1e-4)


@pytest.mark.parametrize("off", [0.0, 1e-9, -1e-9, 1e-4])
def test_nothing_breaks_where_the_two_rates_meet(off: float) -> None:
    """With k tau = 1 the ratio is (1 + X_e s/tau) e^(-s/tau), and its neighbours are near it."""
    tau, top, time = 30.0, 40.0, 50.0
    curve = SteamingCurve(top, tau, (1 + off) / tau, 0.0, 610.0)
    limit = (1 + top * time / tau) * np.exp(-time / tau)

    assert float(expansion_ratio(time, curve)) == pytest.approx(limit, rel=2 * abs(off) + 1e-12)
    expected = tau * (1 - 1 / top)
    assert float(lowest_density(curve).time_s) == pytest.approx(expected, rel=2 * abs(off) + 1e-9)


def test_limits_of_time() -> None:
    """At first nothing has happened; at last, if nothing collapses, the ceiling is reached."""
    still = SteamingCurve(42.0, 5.0, 0.0, 6.0, 610.0)

    assert steaming_density([0.0, 6.0], EXAMPLE).tolist() == [610.0, 610.0]
    assert float(steaming_density(600.0, still)) == pytest.approx(610 / 42, rel=1e-12)
    assert steaming_gain([0.0, 5.9], EXAMPLE).tolist() == [0.0, 0.0]


@given(CURVES, st.floats(1, 500))
def test_the_gain_is_the_slope(curve: SteamingCurve, time: float) -> None:
    """A central difference of ln rho agrees, away from the kink at the lag."""
    if abs(time - float(curve.lag_s)) < 1e-2:  # type: ignore[arg-type]
        return
    before, after = np.log(steaming_density([time - 1e-4, time + 1e-4], curve))

    assert float(steaming_gain(time, curve)) == pytest.approx((after - before) / 2e-4, abs=1e-7)


@given(CURVES)
def test_less_collapse_is_lighter_and_later(curve: SteamingCurve) -> None:
    """Slower loss of pentane moves the minimum later and lower."""
    slower = SteamingCurve(
        curve.ceiling,
        curve.time_constant_s,
        float(curve.collapse_per_second) * 0.5,  # type: ignore[arg-type]
        curve.lag_s,
        curve.raw_density_kg_m3,
    )
    one, other = lowest_density(curve), lowest_density(slower)

    assert other.time_s > one.time_s
    assert other.density_kg_m3 < one.density_kg_m3


@given(CURVES, st.floats(21, 590))
def test_the_fits_slopes_are_those_of_small_steps(curve: SteamingCurve, time: float) -> None:
    """Analytic derivatives of ln X and of the gain, against central differences."""
    at, times = in_fit_scale(curve), np.array([time])
    for slopes_of in (log_ratio_slopes, gain_slopes):
        analytic = slopes_of(times, at)[1][0]
        by_steps = [
            float((slopes_of(times, at + h)[0] - slopes_of(times, at - h)[0])[0] / 2e-6)
            for h in np.eye(4) * 1e-6
        ]
        assert analytic == pytest.approx(by_steps, rel=1e-4, abs=1e-6)


@pytest.mark.parametrize("bad", BAD)
@pytest.mark.parametrize(
    ("function", "arguments"),
    [
        (level_stop_density, {"charge_kg": 11.0, "vessel_volume_m3": 0.5, "pentane_loss": 0.01}),
        (level_stop_charge, {"density_kg_m3": 22.0, "vessel_volume_m3": 0.5, "pentane_loss": 0.0}),
        (
            level_volume,
            {"charge_kg": 9.0, "density_kg_m3": 20.0, "pentane_loss": 0.0},
        ),
    ],
)
def test_bad_numbers_are_named(
    function: Callable[..., object], arguments: dict[str, float], bad: float
) -> None:
    """Each argument in turn, second of three: its name, value and index."""
    for name, good in arguments.items():
        with pytest.raises(OutOfRange, match=rf"{name}\[1\] is {bad}"):
            function(**{**arguments, name: [good, bad, good]})


@pytest.mark.parametrize("function", [expansion_ratio, steaming_density, steaming_gain])
@pytest.mark.parametrize("bad", [*BAD, 600.5])
def test_a_bad_time_is_named(function: Callable[..., object], bad: float) -> None:
    """Also one beyond what the curve speaks of."""
    with pytest.raises(OutOfRange, match=rf"time_s\[1\] is {bad}: must be a number from 0 to 600"):
        function([10.0, bad], EXAMPLE)


@pytest.mark.parametrize(
    ("name", "bad"),
    [
        ("ceiling", 1.0),
        ("time_constant_s", 0.0),
        ("collapse_per_second", -0.001),
        ("lag_s", -1.0),
        ("raw_density_kg_m3", 1051.0),
        ("ceiling", float("nan")),
    ],
)
def test_a_bad_parameter_is_named(name: str, bad: float) -> None:
    """In the curve as in the search for its minimum."""
    curve = SteamingCurve(**{name: [30.0 if name == "ceiling" else 0.05, bad]})
    for ask in (lambda: steaming_density(60.0, curve), lambda: lowest_density(curve)):
        with pytest.raises(OutOfRange, match=rf"{name}\[1\] is {bad}"):
            ask()


def test_misfits_are_named() -> None:
    """Empty arguments, shapes that do not fit, densities above solid polymer, no collapse."""
    with pytest.raises(OutOfRange, match="time_s is empty"):
        steaming_density([], EXAMPLE)
    with pytest.raises(OutOfRange, match=r"vessel_volume_m3 is of shape \(3,\)"):
        level_stop_density([1.0, 2.0], [1.0, 1.0, 1.0])
    with pytest.raises(
        OutOfRange, match=r"density_kg_m3 is 2000\.0: must be a number from 0 to 1050"
    ):
        level_stop_density(100.0, 0.05)
    with pytest.raises(OutOfRange, match=r"collapse_per_second is 0\.0"):
        lowest_density(SteamingCurve(collapse_per_second=0.0))
    with pytest.raises(OutOfRange, match="charge_kg is 2 batches"):
        level_volume([10.0, 10.0], [20.0, 20.0])
