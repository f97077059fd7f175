"""The diffusion series of a sphere against its plain form, its limits and its balances."""

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from beadwright.errors import OutOfRange
from beadwright.science.ageing import (
    sphere_centre,
    sphere_roots,
    sphere_time,
    sphere_uptake,
    sphere_uptake_resisted,
)

TAUS = np.array([1e-3, 3e-3, 0.01, 0.0299999, 0.03, 0.0499999, 0.05, 0.1, 0.3, 1.0])
BIOTS = np.array([0.3, 0.999999, 1.0, 1.000001, 2.0, 7.0, 34.0, 100.0, 1000.0])
times = st.floats(0, 5)
biots = st.floats(1e-3, 1e4)


def plain(tau: float, terms: int = 400) -> float:
    """The series as it stands in the book."""
    n = np.arange(1, terms + 1)
    return float(1 - 6 / np.pi**2 * np.sum(np.exp(-((n * np.pi) ** 2) * tau) / n**2))


def plain_resisted(tau: float, biot: float, terms: int = 600) -> float:
    """The same with surface resistance, its roots found by halving alone."""
    low = np.arange(terms) * np.pi + 1e-12
    high = low + np.pi - 2e-12
    for _ in range(80):
        middle = (low + high) / 2
        above = middle / np.tan(middle) + biot - 1 > 0
        low, high = np.where(above, middle, low), np.where(above, high, middle)
    square = low**2
    weight = 6 * biot**2 / (square * (square + biot * (biot - 1)))
    return float(1 - np.sum(weight * np.exp(-square * tau)))


@pytest.mark.parametrize("tau", TAUS)
def test_uptake_is_the_plain_series(tau: float) -> None:
    """Short-time form and long series agree with 400 terms on both sides of the switch."""
    assert float(sphere_uptake(tau)) == pytest.approx(plain(tau), abs=1e-13)


@pytest.mark.parametrize("biot", BIOTS)
def test_resisted_uptake_is_the_plain_series(biot: float) -> None:
    """Both forms agree with 600 terms, at L = 1 too, where the short form divides by nothing."""
    mine = sphere_uptake_resisted(TAUS, biot)

    assert mine == pytest.approx([plain_resisted(t, biot) for t in TAUS], abs=2e-12)


def test_centre_is_the_plain_series() -> None:
    """Both forms agree with 300 terms on both sides of the switch."""
    n = np.arange(1, 301)
    taus = [0.01, 0.1, 0.2999999, 0.3, 1.0]
    expected = [float(1 + 2 * np.sum((-1.0) ** n * np.exp(-((n * np.pi) ** 2) * t))) for t in taus]

    assert sphere_centre(taus) == pytest.approx(expected, abs=1e-13)


@given(times, times)
def test_uptake_rises_from_nothing_to_all(one: float, other: float) -> None:
    """Between 0 and 1, and later is more."""
    early, late = sphere_uptake(sorted([one, other]))

    assert 0 <= early <= late <= 1


@given(times, biots, biots)
def test_resistance_holds_back(tau: float, one: float, other: float) -> None:
    """The more freely the surface lets through, the more is in, up to no resistance at all."""
    less, more = sphere_uptake_resisted(tau, sorted([one, other]))

    assert -1e-14 <= less <= more + 1e-14 <= float(sphere_uptake(tau)) + 2e-14


def test_limits() -> None:
    """Nothing at the start, all in the end, and no resistance as L grows."""
    assert sphere_uptake([0.0, 50.0]).tolist() == [0.0, 1.0]
    assert sphere_centre([0.0, 50.0]).tolist() == [0.0, 1.0]
    assert sphere_uptake_resisted([0.0, 50.0], 3.0).tolist() == [0.0, 1.0]
    assert sphere_uptake_resisted(TAUS, 1e12) == pytest.approx(sphere_uptake(TAUS), abs=1e-11)
    # A surface that lets little through leaves the inside even: one exponential.
    assert sphere_uptake_resisted(2e4, 1e-5) == pytest.approx(1 - np.exp(-0.6), rel=1e-5)


@given(st.floats(0, 0.999999))
def test_time_undoes_uptake(share: float) -> None:
    """At the time found, the share is the one asked for."""
    assert float(sphere_uptake(sphere_time(share))) == pytest.approx(share, abs=2e-15)


@given(biots)
def test_roots_lie_where_they_must(biot: float) -> None:
    """One in each half wave, and each solves its equation."""
    roots = sphere_roots(biot, 8)

    assert np.all(roots > np.arange(8) * np.pi)
    assert np.all(roots < np.arange(1, 9) * np.pi)
    left = roots * np.cos(roots) + (biot - 1) * np.sin(roots)
    slope = (
        1 + biot + roots
    )  # rounding of a root by 16 last places moves the left side by this much
    assert np.all(np.abs(left) <= 16 * np.spacing(roots) * slope)


def test_what_is_in_balances_with_the_flux() -> None:
    """The rise of uptake is the flux through the surface, 3 L (1 - surface), by differences."""
    taus = np.linspace(0.05, 0.06, 2001)
    roots = sphere_roots(4.0, 12)
    surface = 1 - sum(
        2 * 4.0 / (b**2 + 12.0) * np.exp(-(b**2) * taus) for b in roots
    )  # Crank 6.40 at r = a
    flux = 3 * 4.0 * (1 - surface)
    gained = float(np.sum((flux[1:] + flux[:-1]) / 2) * (taus[1] - taus[0]))
    rise = float(np.diff(sphere_uptake_resisted([0.05, 0.06], 4.0))[0])

    assert rise == pytest.approx(gained, rel=1e-7)


@pytest.mark.parametrize("bad", [-1e-3, np.nan, np.inf, [], "much"])
def test_bad_input_is_named(bad: Any) -> None:
    """Each function names its argument."""
    calls: dict[str, tuple[Callable[[Any], object], ...]] = {
        "tau": (sphere_uptake, sphere_centre, lambda x: sphere_uptake_resisted(x, 1.0)),
        "biot": (lambda x: sphere_roots(x, 1), lambda x: sphere_uptake_resisted(1.0, x)),
        "uptake": (sphere_time,),
    }
    for name, functions in calls.items():
        for function in functions:
            with pytest.raises(OutOfRange, match=f"^{name} is|^{name}\\["):
                function(bad)


def test_bad_input_is_placed() -> None:
    """The first bad value is told with its index."""
    with pytest.raises(OutOfRange, match=r"^tau\[1, 0\] is -2.0"):
        sphere_uptake([[0.1, 0.2], [-2.0, np.nan]])
    with pytest.raises(OutOfRange, match="shape"):
        sphere_uptake_resisted([1.0, 2.0], [1.0, 2.0, 3.0])
    with pytest.raises(OutOfRange, match="count"):
        sphere_roots(1.0, 0)
