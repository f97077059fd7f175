"""What samples say: true numbers found again, honest bands, and no more than was told."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from beadwright.errors import OutOfRange
from beadwright.science.ageing import (
    AgeingModel,
    AgeingPrior,
    MeshSample,
    PentaneAssays,
    Rebounds,
    SampledBeads,
    SiloBeads,
    ageing_state,
    assay_posterior,
    pouch_posterior,
    rebound_posterior,
    size_classes,
    sphere_uptake,
    water_saturation,
)
from beadwright.science.beads.weight import air_density

BEADS = SampledBeads(36.0, size_classes(3e-3, 0.15, 5)[0], 298.15)
HOURS = np.array([0.3, 1.0, 4.0, 8.0, 24.0, 48.0])
TIMES = HOURS * 3600


def truth(diffusivity: float, multiplier: float, beads: SampledBeads = BEADS) -> Any:
    """Share of air and pentane at the readings, by the series."""
    radius = np.atleast_2d(beads.radius_m)
    silo = SiloBeads(beads.bead_density_kg_m3, beads.pentane_per_dry, radius, beads.temperature_k)
    model = AgeingModel(pentane_m2_s=diffusivity, air_multiplier=multiplier)
    state = ageing_state(silo, TIMES, model)
    return state.air_share[0].mean(axis=0), state.pentane_per_dry[0].mean(axis=0)


def weighed(diffusivity: float, multiplier: float, noise: Any = 0.0) -> NDArray[np.float64]:
    """Readings of 100 g of polymer on a balance in air: by hand, not by the code under test."""
    air, pentane = truth(diffusivity, multiplier)
    dry_air = 101325 - 0.8 * float(water_saturation(298.15))
    density = float(air_density(298.15))
    inside = air * dry_air / 101325 * density * (1 / 36.0 - 1 / 1050.0)
    return np.asarray(0.1 * (1 + pentane + inside - density / 36.0) + noise)


@settings(max_examples=15)
@given(st.floats(-1.2, 1.2), st.floats(-0.8, 0.8))
def test_a_clean_sample_gives_its_truth(log_pentane: float, log_air: float) -> None:
    """Without noise, weighings, assays and rebounds find both numbers within their bands."""
    diffusivity, multiplier = 2.3e-13 * np.exp(log_pentane), np.exp(log_air)
    air, pentane = truth(diffusivity, multiplier)
    pouch = pouch_posterior(MeshSample(BEADS, TIMES, weighed(diffusivity, multiplier), 2e-5))
    assay = assay_posterior(PentaneAssays(BEADS, TIMES, pentane, 0.0005))
    rebound = rebound_posterior(Rebounds(BEADS, TIMES, air, 0.02))

    for found in (pouch.pentane, assay):
        assert found.low < diffusivity < found.high
        assert found.value == pytest.approx(diffusivity, rel=0.2)
    for found in (pouch.air, rebound):
        assert found.low < multiplier < found.high
    assert np.log(pouch.air.value / multiplier) == pytest.approx(0, abs=2 * pouch.air.log_sd)


def test_five_assays_tell_it_to_a_tenth() -> None:
    """Readings at 1 to 48 h of 0.1 % of the polymer each give some 8 %, with the fill known."""
    mono = replace(BEADS, radius_m=[1.5e-3], temperature_k=296.15)
    left = 1 - sphere_uptake(2.3e-13 * TIMES[1:] / 1.5e-3**2)
    found = assay_posterior(PentaneAssays(mono, TIMES[1:], 0.05 * left, 0.001))

    assert found.log_sd == pytest.approx(0.08, abs=0.01)
    assert found.told


def test_bands_hold_as_often_as_they_say() -> None:
    """Of 300 noisy samples of drawn beads, nine in ten bands hold the truth.

    A binomial share of 300 at 0.9 has a standard error of 1.7 %; three of them are allowed.
    """
    rng = np.random.default_rng(20260402)
    held = 0
    for _ in range(300):
        diffusivity = 2.3e-13 * np.exp(1.2 * rng.standard_normal())
        left = 1 - sphere_uptake(diffusivity * TIMES[:, np.newaxis] / 1.5e-3**2).mean(axis=1)
        fill = 0.05 + 0.001 * rng.standard_normal()
        beads = replace(BEADS, radius_m=[1.5e-3], temperature_k=296.15, u_pentane_per_dry=0.001)
        content = np.maximum(fill * left + 0.001 * rng.standard_normal(TIMES.size), 0.0)
        found = assay_posterior(PentaneAssays(beads, TIMES, content, 0.001))
        held += found.low < diffusivity < found.high

    assert held / 300 == pytest.approx(0.9, abs=0.052)


def test_the_grid_is_the_integral() -> None:
    """Against a plain fine grid, written out."""
    air, _ = truth(2.3e-13, 0.6)
    share = air + np.array([0.03, -0.02, 0.0, 0.0, 0.01, 0.0])
    found = rebound_posterior(Rebounds(BEADS, TIMES, share, 0.05))
    logs = np.linspace(-3.5, 3.5, 3001)
    density = np.array([
        np.sum(((share - truth(2.3e-13, float(np.exp(f)))[0]) / 0.05) ** 2) + (f / 0.7) ** 2
        for f in logs
    ])  # fmt: skip
    weight = np.exp(-density / 2)
    weight /= weight.sum()
    mean = float(weight @ logs)
    middle = float(np.exp(np.interp(0.5, np.cumsum(weight), logs)))

    assert found.log_sd == pytest.approx(float(np.sqrt(weight @ (logs - mean) ** 2)), rel=0.02)
    assert found.value == pytest.approx(middle, rel=0.01)


def test_what_was_weighed_need_not_be_known_dry() -> None:
    """Twice the sample tells the same, to the same share of its mass."""
    mass = weighed(1.5e-13, 1.3)
    one = pouch_posterior(MeshSample(BEADS, TIMES, mass, 5e-5))
    two = pouch_posterior(MeshSample(BEADS, TIMES, 2 * mass, 1e-4))

    assert two.pentane.value == pytest.approx(one.pentane.value, rel=1e-6)
    assert two.air.log_sd == pytest.approx(one.air.log_sd, rel=1e-6)


def test_a_density_is_told_at_the_reference() -> None:
    """A sample of light beads gives the number that the model scales to any density."""
    light = replace(BEADS, bead_density_kg_m3=20.0)
    _, pentane = truth(1.5e-13, 1.0, light)
    found = assay_posterior(PentaneAssays(light, TIMES, pentane, 0.0002))

    assert found.value == pytest.approx(1.5e-13, rel=0.05)


def test_a_sample_that_tells_nothing_says_so() -> None:
    """One early, rough reading of pentane; air long after it is all in; readings that jump."""
    rough = assay_posterior(PentaneAssays(BEADS, [600.0], [0.049], 0.01))
    late = rebound_posterior(Rebounds(BEADS, [4e5, 5e5], [1.0, 1.0], 0.02))
    jumping = assay_posterior(
        PentaneAssays(BEADS, TIMES, [0.049, 0.02, 0.048, 0.02, 0.045, 0.01], 0.0005)
    )

    for found, word in ((rough, "hardly more"), (jumping, "further from any curve")):
        assert not found.told
        assert word in found.why
    # Air that is all in says that permeability is not tiny, and no more.
    assert late.low > 0.1
    early = rebound_posterior(Rebounds(BEADS, [1800.0, 3600.0], truth(2.3e-13, 1.0)[0][:2], 0.02))
    assert early.log_sd < late.log_sd


def test_a_shared_doubt_about_the_fill_widens_the_band() -> None:
    """As it is one error in all readings, more readings do not take it away."""
    _, pentane = truth(2.3e-13, 1.0)
    known = assay_posterior(PentaneAssays(BEADS, TIMES, pentane, 0.0005))
    doubted = assay_posterior(
        PentaneAssays(replace(BEADS, u_pentane_per_dry=0.003), TIMES, pentane, 0.0005)
    )

    assert doubted.log_sd > 1.3 * known.log_sd


def test_the_whole_posterior_is_given() -> None:
    """Weights of one, on a rising grid that holds the band."""
    found = rebound_posterior(Rebounds(BEADS, TIMES, truth(2.3e-13, 1.0)[0], 0.05))

    assert float(found.weight.sum()) == pytest.approx(1)
    assert np.all(np.diff(found.grid) > 0)
    assert found.grid[0] < found.low < found.value < found.high < found.grid[-1]


MASS = weighed(2.3e-13, 1.0)
BAD: list[tuple[str, Callable[[], object]]] = [
    ("time_s", lambda: assay_posterior(PentaneAssays(BEADS, [-1.0], [0.05], 0.001))),
    ("time_s", lambda: assay_posterior(PentaneAssays(BEADS, [], [0.05], 0.001))),
    ("time_s", lambda: rebound_posterior(Rebounds(BEADS, [9.0, 5.0], 0.5, 0.1))),
    ("pentane_per_dry", lambda: assay_posterior(PentaneAssays(BEADS, TIMES, [0.05, 0.04], 0.001))),
    ("pentane_per_dry", lambda: assay_posterior(PentaneAssays(BEADS, [9.0], [-0.05], 0.001))),
    ("u_pentane_per_dry", lambda: assay_posterior(PentaneAssays(BEADS, [9.0], [0.05], 0.0))),
    ("air_share", lambda: rebound_posterior(Rebounds(BEADS, [9.0], [np.nan], 0.1))),
    ("u_air_share", lambda: rebound_posterior(Rebounds(BEADS, [9.0], [0.5], -0.1))),
    ("mass_kg", lambda: pouch_posterior(MeshSample(BEADS, TIMES, 0 * MASS, 1e-5))),
    ("mass_kg", lambda: pouch_posterior(MeshSample(BEADS, TIMES[:2], MASS[:2], 1e-5))),
    ("u_mass_kg", lambda: pouch_posterior(MeshSample(BEADS, TIMES, MASS, np.inf))),
]
BAD_BEADS: list[tuple[str, Any]] = [
    ("bead_density_kg_m3", -1.0),
    ("bead_density_kg_m3", 1050.0),
    ("radius_m", [0.0]),
    ("temperature_k", -5.0),
    ("pentane_per_dry", np.nan),
    ("u_pentane_per_dry", -0.1),
]


@pytest.mark.parametrize(("name", "call"), BAD)
def test_bad_readings_are_named(name: str, call: Callable[[], object]) -> None:
    """Each by its name."""
    with pytest.raises(OutOfRange, match=f"^{name}"):
        call()


@pytest.mark.parametrize(("name", "bad"), BAD_BEADS)
def test_bad_beads_are_named(name: str, bad: Any) -> None:
    """By each of the three."""
    beads = replace(BEADS, **{name: bad})
    with pytest.raises(OutOfRange, match=f"^{name}"):
        assay_posterior(PentaneAssays(beads, TIMES, 0.05, 0.001))
    with pytest.raises(OutOfRange, match=f"^{name}"):
        rebound_posterior(Rebounds(beads, TIMES, 0.5, 0.1))
    with pytest.raises(OutOfRange, match=f"^{name}"):
        pouch_posterior(MeshSample(beads, TIMES, MASS, 1e-5))


@pytest.mark.parametrize("name", ["pentane_m2_s", "pentane_spread", "air_multiplier", "air_spread"])
def test_a_bad_prior_is_named(name: str) -> None:
    """Each of its numbers."""
    prior = replace(AgeingPrior(), **{name: 0.0})
    with pytest.raises(OutOfRange, match=f"^{name}"):
        rebound_posterior(Rebounds(BEADS, TIMES, 0.5, 0.1), prior)
