"""Air, pentane and pressure in silos: limits, signs, and the fast way beside the plain one."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from beadwright.errors import OutOfRange
from beadwright.science.ageing import (
    AgeingModel,
    AgeingState,
    SiloBeads,
    ageing_means,
    ageing_over,
    ageing_state,
    pentane_diffusivity,
    pentane_pressure,
    size_classes,
    sphere_uptake,
    water_saturation,
)

TIMES = np.concatenate([[0.0, 60.0], np.geomspace(600, 4e5, 30)])
BEADS = SiloBeads(36.0, 0.05, [[1.5e-3]], 298.15)


def drawn(silos: int, classes: int, seed: int) -> SiloBeads:
    """Invented silos, some cooling from hot."""
    rng = np.random.default_rng(seed)
    over = rng.uniform(0, 40, silos)[:, np.newaxis] * np.exp(-TIMES / 3e4)
    return SiloBeads(
        rng.uniform(12, 60, silos),
        rng.uniform(0.0, 0.08, silos),
        size_classes(rng.uniform(1.5e-3, 5e-3, silos), 0.15, classes),
        rng.uniform(278, 303, silos)[:, np.newaxis] + over,
    )


def kept(state: AgeingState) -> AgeingState:
    """A copy, as the fast way writes over what it gave."""
    return AgeingState(
        state.air_share.copy(), state.pentane_per_dry.copy(), state.pressure_pa.copy()
    )


def assert_as_the_series(silos: SiloBeads, model: AgeingModel, workers: int = 1) -> None:
    """Share and pentane to 1e-7, pressure to 1e-7 of an atmosphere."""
    plain = ageing_state(silos, TIMES, model)
    parts = ageing_over(silos, TIMES, kept, model, workers=workers)
    for name, unit in (("air_share", 1.0), ("pentane_per_dry", 1.0), ("pressure_pa", 101325.0)):
        quick = np.concatenate([getattr(part, name) for part in parts])
        assert quick == pytest.approx(getattr(plain, name), abs=2e-7 * unit), name


@settings(max_examples=15)
@given(st.integers(1, 10**6), st.sampled_from([np.inf, 0.5, 4.0, 50.0]), st.floats(0, 0.9))
def test_the_fast_way_is_the_series(seed: int, biot: float, start: float) -> None:
    """Tables and polynomials against the series, with and without a skin."""
    model = AgeingModel(biot=biot, air_at_start=start, chi=1.2, isopentane_share=0.3)
    assert_as_the_series(drawn(5, 4, seed), model)


def test_many_chunks_and_threads_change_nothing() -> None:
    """Silos keep their order and do not write into each other."""
    assert_as_the_series(drawn(130, 20, 7), AgeingModel(), workers=3)


def test_where_the_fast_way_would_be_wrong_the_series_are_taken() -> None:
    """Liquid pentane beside the polymer, and a skin too thin for the table."""
    flooded = replace(drawn(3, 2, 5), pentane_per_dry=[0.05, 0.4, 0.9])
    assert_as_the_series(flooded, AgeingModel(chi=1.4))
    assert_as_the_series(drawn(3, 2, 5), AgeingModel(biot=5e4))


def test_one_temperature_or_one_for_each_time_are_alike() -> None:
    """A temperature that stays may be given once."""
    once = ageing_state(BEADS, TIMES)
    each = ageing_state(replace(BEADS, temperature_k=np.full((1, TIMES.size), 298.15)), TIMES)

    assert each.pressure_pa == pytest.approx(once.pressure_pa, rel=1e-12)


def test_means_are_over_the_classes() -> None:
    """Of equal mass."""
    silos = drawn(3, 5, 11)
    mean, each = ageing_means(silos, TIMES), ageing_state(silos, TIMES)

    assert mean.air_share == pytest.approx(each.air_share.mean(axis=1), abs=1e-7)
    assert mean.pressure_pa == pytest.approx(each.pressure_pa.mean(axis=1), abs=0.02)


def test_limits() -> None:
    """At once: no air, all pentane, a vacuum. In the end: all air, no pentane, one atmosphere."""
    state = ageing_state(BEADS, [0.0, 1e9])
    water = 0.8 * float(water_saturation(298.15))
    fresh = float(pentane_pressure(0.05, 36.0, 298.15)) + water

    assert state.air_share[0, 0].tolist() == [0.0, 1.0]
    assert state.pentane_per_dry[0, 0].tolist() == [0.05, 0.0]
    assert state.pressure_pa[0, 0] == pytest.approx([fresh, 101325.0])


def test_a_changing_temperature_is_the_diffusion_equation() -> None:
    """Pentane of a cooling bead by finite volumes in time, against tau as an integral.

    Shells of equal thickness have an error of the order of their number squared: 1e-4 at 200.
    """
    ages = np.linspace(0.0, 86400.0, 200)
    kelvin = 296.15 + 40 * np.exp(-ages / 2e4)
    beads = SiloBeads(36.0, 0.05, [[1.5e-3]], kelvin[np.newaxis])
    left = ageing_state(beads, ages).pentane_per_dry[0, 0]
    shells = 200
    r = np.linspace(0, 1.5e-3, shells + 1)
    volume = np.diff(r**3) / 3
    inner = r[1:-1] ** 2 / (r[1] - r[0])
    surface = r[-1] ** 2 / ((r[1] - r[0]) / 2)

    def flow(t: float, c: NDArray[np.float64]) -> NDArray[np.float64]:
        d = float(pentane_diffusivity(float(np.interp(t, ages, kelvin)), 36.0))
        through = np.concatenate([[0.0], inner * np.diff(c), [-surface * c[-1]]])
        return np.asarray(d * np.diff(through) / volume)

    found = solve_ivp(flow, (0, 86400), np.full(shells, 0.05), "LSODA", [43200, 86400],
                      rtol=1e-8, atol=1e-11, lband=1, uband=1)  # fmt: skip
    mean = (found.y * volume[:, np.newaxis]).sum(axis=0) / volume.sum()

    assert mean == pytest.approx(np.interp([43200, 86400], ages, left), rel=3e-4)


def test_pentane_is_conserved() -> None:
    """What is left and what was given off are what was there."""
    left = ageing_state(BEADS, TIMES).pentane_per_dry[0, 0]
    factor = np.exp(27.4e3 / 8.314462618 * (1 / 296.15 - 1 / 298.15))
    given_off = 0.05 * sphere_uptake(2.3e-13 * factor * TIMES / 1.5e-3**2)

    assert left + given_off == pytest.approx(np.full(TIMES.size, 0.05), abs=1e-12)


@given(st.floats(15, 60), st.floats(1.05, 1.5))
def test_state_moves_the_right_way(density: float, more: float) -> None:
    """Larger, colder, denser: less air, more pentane. A larger multiplier: more air."""
    silos = SiloBeads(
        [density, density, density, density * more],
        0.05,
        [[1.5e-3], [1.5e-3 * more], [1.5e-3], [1.5e-3]],
        [298.15, 298.15, 298.15 - 10 * (more - 1), 298.15],
    )
    state = ageing_state(silos, [3600.0])
    air, pentane = state.air_share[:, 0, 0], state.pentane_per_dry[:, 0, 0]

    assert np.all(air[1:] < air[0])
    assert np.all(pentane[1:] > pentane[0])
    quicker = ageing_state(silos, [3600.0], AgeingModel(air_multiplier=more))
    assert np.all(quicker.air_share[:, 0, 0] > air)


def test_classes_have_their_spread() -> None:
    """Median as asked, spread as asked; none at all is one size."""
    radius = size_classes([3e-3, 4e-3], 0.15, 2001)

    assert np.median(radius, axis=1) == pytest.approx([1.5e-3, 2e-3])
    assert radius.std(axis=1) / radius.mean(axis=1) == pytest.approx([0.15, 0.15], rel=5e-3)
    assert size_classes(3e-3, 0.0, 3).tolist() == [[1.5e-3] * 3]


BAD_BEADS: dict[str, Any] = {
    "bead_density_kg_m3": [0.0, -1.0, 100.0, 1050.0, np.nan, [], [[36.0]]],
    "pentane_per_dry": [-0.01, np.nan, []],
    "radius_m": [[[0.0]], [[np.nan]], [], [[[1e-3]]], [[1e-3], [1e-3]]],
    "temperature_k": [-3.0, 0.0, 400.0, np.nan, [], [[298.0, 297.0]]],
}
BAD_MODEL: dict[str, Any] = {
    "nitrogen_mol_mspa": [0.0, np.nan],
    "oxygen_mol_mspa": [-1.0],
    "air_activation_j_mol": [-1.0],
    "air_multiplier": [0.0, [1.0, np.nan]],
    "pentane_m2_s": [0.0, np.inf],
    "pentane_activation_j_mol": [-1.0],
    "chi": [-0.1, 9.0],
    "isopentane_share": [1.5],
    "biot": [0.0, np.nan],
    "humidity": [1.2],
    "atmosphere_pa": [0.0],
    "air_at_start": [-0.1],
}


@pytest.mark.parametrize(("name", "bad"), [(n, b) for n, many in BAD_BEADS.items() for b in many])
def test_bad_beads_are_named(name: str, bad: Any) -> None:
    """Negative, of solid polymer, below 0 K, NaN, empty, of a shape that does not fit."""
    silos = replace(BEADS, **{name: bad})
    for function in (ageing_state, ageing_means):
        with pytest.raises(OutOfRange, match=name):
            function(silos, TIMES)


@pytest.mark.parametrize(("name", "bad"), [(n, b) for n, many in BAD_MODEL.items() for b in many])
def test_a_bad_model_is_named(name: str, bad: Any) -> None:
    """Each of its numbers."""
    with pytest.raises(OutOfRange, match=name):
        ageing_state(BEADS, TIMES, replace(AgeingModel(), **{name: bad}))


def test_other_bad_input() -> None:
    """Times that fall, no classes, no worker."""
    with pytest.raises(OutOfRange, match=r"time_s\[1\]"):
        ageing_state(BEADS, [5.0, 1.0])
    with pytest.raises(OutOfRange, match="workers"):
        ageing_means(BEADS, TIMES, workers=0)
    for name, arguments in (("diameter_m", (-1.0,)), ("spread", (3e-3, 2.0)),
                            ("count", (3e-3, 0.1, 0))):  # fmt: skip
        with pytest.raises(OutOfRange, match=name):
            size_classes(*arguments)
