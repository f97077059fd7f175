"""Moulding: shot, steam and conduction against balances, limits and a naive twin."""

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from beadwright.errors import OutOfRange
from beadwright.science.moulding import (
    HeatedShot,
    conduction_time,
    shot_mass,
    steam_need,
    wall_excess,
    wall_roots,
)

SHOT = {
    "foam_kg": 1.43,
    "foam_rise_k": 92.4,
    "tool_kg": 150.0,
    "tool_rise_k": 55.4,
    "chest_m3": 0.25,
    "latent_j_kg": 2.2767e6,
    "steam_density_kg_m3": 0.977,
    "purges": 1.0,
    "wall_loss_j": 1e5,
    "foam_heat_j_kgk": 1300.0,
    "tool_heat_j_kgk": 900.0,
}
STRICT = {"latent_j_kg", "steam_density_kg_m3", "foam_heat_j_kgk", "tool_heat_j_kgk"}
BAD = [float("nan"), float("inf"), -1.0]
BIOTS = st.floats(1e-4, 1e4)


@given(st.floats(1, 1050), st.floats(1e-3, 1), st.floats(0, 1))
def test_a_shot_is_what_stays_and_what_is_blown_back(
    density: float, volume: float, more: float
) -> None:
    """What stays in the cavities is density times volume; the rest is the stated share of it."""
    mass = float(shot_mass(density, volume, more))

    assert mass - density * volume == pytest.approx(more * density * volume, abs=1e-9 * mass)


@given(st.floats(0, 300), st.floats(0, 80), st.floats(0, 5), st.floats(0, 1e6))
def test_the_steam_carries_the_heat(tool: float, rise: float, foam: float, loss: float) -> None:
    """Condensate times its heat is what foam, tool and surroundings take up; chests come apart."""
    need = steam_need(
        HeatedShot(
            **{**SHOT, "tool_kg": tool, "tool_rise_k": rise, "foam_kg": foam, "wall_loss_j": loss}
        )
    )
    heat = foam * 1300.0 * 92.4 + tool * 900.0 * rise + loss
    condensed = need.foam_kg + need.tool_kg + need.wall_kg

    assert float(condensed) * 2.2767e6 == pytest.approx(heat, rel=1e-9, abs=1e-3)
    assert float(need.fill_kg) == pytest.approx(0.25 * 0.977)
    assert float(need.purge_kg) == float(need.fill_kg)
    assert float(need.least_kg) >= float(condensed)


def test_most_of_the_heat_goes_into_the_tool() -> None:
    """The foam takes between 1 and 8 per cent over the tools and swings of the trade."""
    tools, rises = np.array([80.0, 150.0, 250.0]), np.array([[30.0], [55.0]])
    need = steam_need(HeatedShot(1.43, 92.4, tools, rises, 0.25, 2.2767e6, 0.977))
    share = need.foam_kg / (need.foam_kg + need.tool_kg)

    assert need.least_kg.shape == (2, 3)
    assert np.all((share > 0.01) & (share < 0.08))


def test_a_worked_shot_by_hand() -> None:
    """1.43 kg in 150 kg of tool, by pocket calculator: 0.0754 + 3.2852 + 0.4885 kg."""
    need = steam_need(HeatedShot(1.43, 92.4, 150.0, 55.4, 0.25, 2.2767e6, 0.977))

    assert float(need.least_kg) == pytest.approx(0.07545 + 3.28502 + 0.48850, abs=1e-4)


@pytest.mark.parametrize("name", sorted(SHOT))
@pytest.mark.parametrize("bad", BAD)
def test_a_bad_number_of_a_shot_is_named(name: str, bad: float) -> None:
    """Each in turn, with its value and place; what divides or multiplies all must be above 0."""
    good = SHOT[name]
    with pytest.raises(OutOfRange, match=rf"{name}\[1\] is {bad}"):
        steam_need(HeatedShot(**{**SHOT, name: [good, bad]}))  # type: ignore[arg-type]
    if name in STRICT:
        with pytest.raises(OutOfRange, match=rf"{name} is 0\.0: must be a finite number above 0"):
            steam_need(HeatedShot(**{**SHOT, name: 0.0}))


@given(BIOTS, st.integers(1, 60))
def test_the_roots_solve_their_equation(biot: float, count: int) -> None:
    """Each lies in its own branch and is where a bracketing search finds it."""
    for number, root in enumerate(wall_roots(biot, count)):
        low, high = number * np.pi, (number + 0.5) * np.pi
        found = brentq(lambda z: z * np.sin(z) - biot * np.cos(z), low, high, xtol=1e-15)
        assert low <= root < high
        assert root == pytest.approx(found, rel=1e-9)


def naive_excess(fourier: float, biot: float, cells: int = 60) -> float:
    """Middle of a wall by finite volumes and the exact exponential of their matrix."""
    width = 1.0 / cells
    matrix = np.zeros((cells, cells))
    for cell in range(cells):
        for side in (cell - 1, cell + 1):
            if 0 <= side < cells:
                matrix[cell, cell] -= 1 / width**2
                matrix[cell, side] += 1 / width**2
    matrix[-1, -1] -= 1 / width / (width / 2 + 1 / biot)
    values, vectors = np.linalg.eigh(matrix)
    state = vectors @ (np.exp(values * fourier) * (vectors.T @ np.ones(cells)))
    return float(1.125 * state[0] - 0.125 * state[1])  # from cell centres to the middle


@given(st.floats(0.02, 3), st.floats(0.05, 50))
def test_the_series_is_what_finite_volumes_give(fourier: float, biot: float) -> None:
    """A discretised wall of 60 cells agrees to a thousandth."""
    assert float(wall_excess(fourier, biot)) == pytest.approx(naive_excess(fourier, biot), abs=1e-3)


@given(BIOTS, st.floats(0, 0.99))
def test_limits_of_cooling(biot: float, place: float) -> None:
    """At once nothing has cooled inside, at last everything has; the surface leads the middle."""
    early, later, last = wall_excess([1e-3, 0.5, 4e5], biot, [0.0, place, place])

    assert float(early) == pytest.approx(1.0, abs=1e-2)
    assert float(last) < 1e-9
    assert later <= float(wall_excess(0.5, biot)) + 1e-12


def test_short_times_are_those_of_a_thick_wall() -> None:
    """Near the surface, soon, the excess is the error function of a half space."""
    from math import erf  # noqa: PLC0415 - used here only

    depth = np.array([0.01, 0.05])
    seen = wall_excess(1e-3, float("inf"), 1 - depth)
    assert seen == pytest.approx([erf(d / (2 * np.sqrt(1e-3))) for d in depth], abs=1e-9)


@given(st.floats(0.01, 0.2), st.floats(0.01, 0.9), st.floats(0.5, 1e3))
def test_conduction_time_is_when_the_middle_gets_there(
    thickness: float, excess: float, biot: float
) -> None:
    """At that time the series gives the wanted share; twice the thickness takes four times."""
    time = conduction_time(thickness, excess, biot=biot)
    fourier = 1.23e-6 * time / (thickness / 2) ** 2

    assert float(wall_excess(fourier, biot)) == pytest.approx(excess, abs=1e-6)
    assert conduction_time(2 * thickness, excess, biot=biot) == pytest.approx(4 * time, rel=1e-9)
    assert conduction_time(thickness, excess) <= time


@pytest.mark.parametrize(
    ("ask", "message"),
    [
        (lambda: shot_mass([20.0, -1.0], 0.066), r"density_kg_m3\[1\] is -1.0"),
        (lambda: shot_mass(1051.0, 0.066), r"density_kg_m3 is 1051.0: .* from 0 to 1050"),
        (lambda: shot_mass(20.0, [0.066, np.nan]), r"foam_volume_m3\[1\] is nan"),
        (lambda: shot_mass(20.0, 0.066, 1.5), r"overfill is 1.5"),
        (lambda: shot_mass([], 0.066), r"density_kg_m3 is empty"),
        (lambda: shot_mass([1.0, 2.0], [1.0, 2.0, 3.0]), r"foam_volume_m3 is of shape \(3,\)"),
        (lambda: wall_roots(0.0, 1), r"biot is 0.0"),
        (lambda: wall_roots(float("nan"), 1), r"biot is nan"),
        (lambda: wall_roots(1.0, 0), r"count is 0"),
        (lambda: wall_excess([0.1, 0.0], 1.0), r"fourier\[1\] is 0.0"),
        (lambda: wall_excess(0.1, -1.0), r"biot is -1.0"),
        (lambda: wall_excess(0.1, 1.0, [0.5, 1.1]), r"position\[1\] is 1.1"),
        (lambda: conduction_time(-0.1, 0.2), r"thickness_m is -0.1"),
        (lambda: conduction_time(0.1, 1.0), r"excess is 1.0"),
        (lambda: conduction_time(0.1, 0.2, biot=0.0), r"biot is 0.0"),
        (lambda: conduction_time(0.1, 0.2, diffusivity_m2_s=0.0), r"diffusivity_m2_s is 0.0"),
    ],
)
def test_bad_input_is_named(ask: Callable[[], object], message: str) -> None:
    """By argument, first bad value, index and range."""
    with pytest.raises(OutOfRange, match=message):
        ask()
