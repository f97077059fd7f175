"""Gases in walls and cells, and the warmth of a silo: limits, signs, balances, bad input."""

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.optimize import brentq

from beadwright.errors import OutOfRange
from beadwright.science.ageing import (
    LIQUID_PENTANE,
    MOLAR_PENTANE,
    NITROGEN,
    arrhenius,
    core_temperature,
    diffusion_path,
    dissolved_activity,
    gas_diffusivity,
    pentane_diffusivity,
    pentane_pressure,
    pentane_saturation,
    probed_temperature,
    saturated_ratio,
    vapour_to_dissolved,
    water_saturation,
)
from beadwright.science.beads.growth import SOLID_POLYMER

R = 8.314462618
densities = st.floats(10, 60)
kelvins = st.floats(263.15, 363.15)
chis = st.floats(0, 2)


@given(st.floats(0, 0.12), densities, kelvins, chis)
def test_pentane_in_walls_and_cells_is_all_of_it(
    c: float, rho: float, t: float, chi: float
) -> None:
    """Dissolved and vapour at the pressure found add up to the content, up to saturation."""
    pressure = float(pentane_pressure(c, rho, t, chi=chi))
    full = float(pentane_saturation(t))
    vapour = pressure * (1 / rho - 1 / SOLID_POLYMER.value) * MOLAR_PENTANE / (R * t)
    if pressure >= full * (1 - 1e-9):
        held = float(saturated_ratio(chi)) * LIQUID_PENTANE.value / SOLID_POLYMER.value
        assert c >= (held + vapour) * (1 - 1e-6)
        return
    top = min(float(saturated_ratio(chi)), 1e4)
    ratio = brentq(
        lambda s: float(dissolved_activity(s, chi)) - pressure / full, 0, top, xtol=1e-16
    )
    dissolved = ratio * LIQUID_PENTANE.value / SOLID_POLYMER.value

    assert dissolved + vapour == pytest.approx(c, rel=1e-6, abs=1e-12)


@given(st.floats(0, 0.1), st.floats(0, 0.1), densities, kelvins)
def test_more_pentane_presses_more(one: float, other: float, rho: float, t: float) -> None:
    """Pressure rises with content, and stays below that of the liquid."""
    less, more = pentane_pressure(sorted([one, other]), rho, t)

    assert 0 <= less <= more <= float(pentane_saturation(t)) * (1 + 1e-12)


def test_a_trace_obeys_henry() -> None:
    """With next to nothing dissolved the pressure is proportional to the content."""
    small, ten_times = pentane_pressure([1e-9, 1e-8], 36.0, 298.15)

    assert ten_times == pytest.approx(10 * small, rel=1e-6)


def test_no_pentane_no_pressure() -> None:
    """And far too much of it presses as its liquid does."""
    none, flood = pentane_pressure([0.0, 5.0], 36.0, 298.15)

    assert none == 0
    assert flood == pytest.approx(float(pentane_saturation(298.15)))


@given(chis)
def test_activity_ends_where_it_reaches_one(chi: float) -> None:
    """Below the saturated ratio it rises and is under 1, above it is 1."""
    top = min(float(saturated_ratio(chi)), 100.0)
    activity = dissolved_activity(np.linspace(0, top, 200), chi)

    assert np.all(np.diff(activity) >= -1e-15)
    assert activity[-1] <= 1
    if top == saturated_ratio(chi):
        assert float(dissolved_activity(top, chi)) == pytest.approx(1, abs=1e-9)
        assert float(dissolved_activity(2 * top, chi)) == 1


@given(densities, densities, kelvins)
def test_denser_and_colder_beads_are_slower(one: float, other: float, t: float) -> None:
    """Thicker walls hold both air and pentane back, and so does the cold."""
    light, dense = sorted([one, other])
    air = gas_diffusivity(NITROGEN.value, [light, dense], t)
    pentane = pentane_diffusivity(t, [light, dense])

    assert air[0] >= air[1] > 0
    assert pentane[0] >= pentane[1] > 0
    assert pentane_diffusivity(t + 5)[()] > pentane_diffusivity(t)[()]
    assert arrhenius(3e4, t, t) == 1


def test_struts_take_polymer_from_the_walls() -> None:
    """Half of it in struts leaves walls half as thick."""
    whole, half = gas_diffusivity(NITROGEN.value, 36.0, 298.15, [0.0, 0.5])

    assert half == pytest.approx(2 * whole)


def test_a_blend_lies_between_its_isomers() -> None:
    """By its shares."""
    low, blend, high = pentane_saturation(298.15, [0.0, 0.3, 1.0])

    assert blend == pytest.approx(0.7 * low + 0.3 * high)
    assert np.all(np.diff(water_saturation(np.linspace(253.15, 640, 100))) > 0)
    assert vapour_to_dissolved(36.0, 298.15, 1.0) > vapour_to_dissolved(36.0, 298.15)


def test_a_core_cools_from_start_to_room() -> None:
    """It begins as filled, ends as the room, and a wider bag is later."""
    times = np.array([0.0, 3600.0, 86400.0, 1e8])
    narrow = core_temperature(times, 0.6, 333.15, 293.15)
    wide = core_temperature(times, 1.0, 333.15, 293.15)

    assert narrow[0] == 333.15
    assert narrow[-1] == pytest.approx(293.15)
    assert np.all(np.diff(narrow) <= 0)
    assert np.all(wide >= narrow)


def test_a_probe_is_believed_between_its_readings() -> None:
    """And held before the first and after the last."""
    asked = probed_temperature([[0.0, 10.0], [15.0, 99.0]], [10.0, 20.0], [300.0, 310.0])

    assert asked.tolist() == [[300.0, 300.0], [305.0, 310.0]]


def test_a_path_is_the_integral() -> None:
    """Simpson's rule over a cooling bag against adaptive quadrature of the straight lines."""
    times = np.array([600.0, 3600.0, 7200.0, 20000.0, 86400.0])
    kelvin = np.array([335.0, 330.0, 322.0, 310.0, 296.0])
    path = diffusion_path(times, kelvin, 27.4e3, 296.15)

    def rate(t: float) -> float:
        return float(arrhenius(27.4e3, np.interp(t, times, kelvin), 296.15))

    exact = [quad(rate, 0, end, points=[t for t in times if t < end], epsrel=1e-10)[0]
             for end in times]  # fmt: skip
    assert path == pytest.approx(exact, rel=5e-6)


def test_a_path_at_one_temperature_is_time() -> None:
    """At the reference it is the time itself, for one silo or many."""
    times = [0.0, 10.0, 30.0]

    assert diffusion_path(times, 296.15, 27.4e3, 296.15).tolist() == times
    many = diffusion_path(times, np.full((2, 3), 296.15), 27.4e3, 296.15)
    assert many == pytest.approx(np.tile(times, (2, 1)))


BAD: list[tuple[str, Callable[[Any], object]]] = [
    ("temperature_k", lambda x: arrhenius(3e4, x, 298.15)),
    ("reference_k", lambda x: arrhenius(3e4, 298.15, x)),
    ("activation_j_mol", lambda x: arrhenius(x, 298.15, 298.15)),
    ("permeability_mol_mspa", lambda x: gas_diffusivity(x, 36.0, 298.15)),
    ("bead_density_kg_m3", lambda x: gas_diffusivity(1e-16, x, 298.15)),
    ("temperature_k", lambda x: gas_diffusivity(1e-16, 36.0, x)),
    ("strut_share", lambda x: gas_diffusivity(1e-16, 36.0, 298.15, x)),
    ("temperature_k", pentane_saturation),
    ("isopentane_share", lambda x: pentane_saturation(298.15, x)),
    ("temperature_k", water_saturation),
    ("volume_ratio", dissolved_activity),
    ("chi", lambda x: dissolved_activity(0.1, x)),
    ("chi", saturated_ratio),
    ("bead_density_kg_m3", lambda x: vapour_to_dissolved(x, 298.15)),
    ("temperature_k", lambda x: vapour_to_dissolved(36.0, x)),
    ("isopentane_share", lambda x: vapour_to_dissolved(36.0, 298.15, x)),
    ("pentane_per_dry", lambda x: pentane_pressure(x, 36.0, 298.15)),
    ("bead_density_kg_m3", lambda x: pentane_pressure(0.05, x, 298.15)),
    ("temperature_k", lambda x: pentane_pressure(0.05, 36.0, x)),
    ("chi", lambda x: pentane_pressure(0.05, 36.0, 298.15, chi=x)),
    ("isopentane_share", lambda x: pentane_pressure(0.05, 36.0, 298.15, isopentane_share=x)),
    ("temperature_k", pentane_diffusivity),
    ("bead_density_kg_m3", lambda x: pentane_diffusivity(298.15, x)),
    ("reference_m2_s", lambda x: pentane_diffusivity(298.15, reference_m2_s=x)),
    ("activation_j_mol", lambda x: pentane_diffusivity(298.15, activation_j_mol=x)),
    ("time_s", lambda x: core_temperature(x, 0.8, 330.0, 293.0)),
    ("radius_m", lambda x: core_temperature(1.0, x, 330.0, 293.0)),
    ("start_k", lambda x: core_temperature(1.0, 0.8, x, 293.0)),
    ("room_k", lambda x: core_temperature(1.0, 0.8, 330.0, x)),
    ("diffusivity_m2_s", lambda x: core_temperature(1.0, 0.8, 330.0, 293.0, x)),
    ("time_s", lambda x: probed_temperature(x, [0.0], [300.0])),
    ("reading_k", lambda x: probed_temperature(1.0, [0.0], [x])),
    ("time_s", lambda x: diffusion_path(x, 300.0, 3e4, 298.15)),
    ("temperature_k", lambda x: diffusion_path([1.0], x, 3e4, 298.15)),
]


@pytest.mark.parametrize(("name", "call"), BAD)
@pytest.mark.parametrize("bad", [-1.0, np.nan, np.inf, "warm", []])
def test_bad_input_is_named(name: str, call: Callable[[Any], object], bad: Any) -> None:
    """Every argument of every function, by its name."""
    with pytest.raises(OutOfRange, match=rf"^{name}( is|\[)"):
        call(bad)


def test_bad_input_is_placed() -> None:
    """The first bad value with its index; a density of solid polymer is no bead's."""
    with pytest.raises(OutOfRange, match=r"^bead_density_kg_m3\[1\] is 1050.0"):
        pentane_pressure(0.05, [36.0, 1050.0], 298.15)
    with pytest.raises(OutOfRange, match=r"^time_s\[2\] is 5.0: must be later"):
        diffusion_path([0.0, 10.0, 5.0], 300.0, 3e4, 298.15)
    with pytest.raises(OutOfRange, match="reading_k"):
        probed_temperature([1.0], [0.0, 1.0], [300.0, 301.0, 302.0])
    with pytest.raises(OutOfRange, match="shape"):
        pentane_pressure([0.05, 0.04], [36.0, 30.0, 20.0], 298.15)


@pytest.mark.parametrize("density", [15.0, 22.0, 30.0, 55.0])
def test_pentane_leaves_by_what_walls_and_cells_store(density: float) -> None:
    """A denser bead is slower by its walls squared, and by its store: content over pressure."""
    trace = 1e-7
    at, here = (trace / pentane_pressure(trace, it, 296.15) for it in (36.0, density))
    ratio = pentane_diffusivity(296.15, density) / pentane_diffusivity(296.15, 36.0)

    assert float(ratio) == pytest.approx(float((36.0 / density) ** 2 * at / here), rel=1e-5)
