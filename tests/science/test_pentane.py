"""Pentane: mass is kept, and the two bases are not mixed."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from beadwright.errors import OutOfRange
from beadwright.science import pentane
from beadwright.science.pentane import Beads, PerDryPolymer, PerWetBead

HOUR = 3600.0
STORE = Beads(
    np.array([400.0, 300.0]), PerDryPolymer.of([0.05, 0.045]), [0.0, 7200.0], 1.5e-3, 2.3e-13
)
EDGES = [0.0, HOUR, 2 * HOUR]

shares = st.floats(0, 0.15)


@given(shares, st.floats(0, 0.2), st.floats(0, 0.003))
def test_a_basis_changes_there_and_back(share: float, water: float, spread: float) -> None:
    """With the same water, content and uncertainty come back."""
    dry = pentane.per_dry_polymer(PerWetBead.of(share, spread), water)
    back = pentane.per_wet_bead(dry, water)

    assert float(back.kg_kg) == pytest.approx(share, rel=1e-12, abs=1e-15)
    assert float(back.u_kg_kg) == pytest.approx(spread, rel=1e-9, abs=1e-15)
    assert float(dry.kg_kg) >= share


@given(shares, st.floats(0, 0.2))
def test_a_basis_is_mass_over_mass(share: float, water: float) -> None:
    """One kilogram of bead, weighed apart into pentane, water and polymer."""
    dry = float(pentane.per_dry_polymer(PerWetBead.of(share), water).kg_kg)

    assert dry * (1 - share - water) == pytest.approx(share, rel=1e-12, abs=1e-15)


@given(st.floats(0.001, 0.15), st.floats(0, 0.2))
def test_a_basis_carries_its_uncertainty(share: float, water: float) -> None:
    """To first order, the change of the result for a small change of the figure."""
    step = 1e-7
    low, high = (
        float(pentane.per_dry_polymer(PerWetBead.of(share + it), water).kg_kg)
        for it in (-step, step)
    )
    slope = pentane.per_dry_polymer(PerWetBead.of(share, 1.0), water).u_kg_kg

    assert float(slope) == pytest.approx((high - low) / (2 * step), rel=1e-5)


@given(st.floats(0.03, 0.10), st.floats(0.001, 0.02))
def test_the_mistake_of_the_wet_basis_is_what_the_beads_still_hold(
    before: float, after: float
) -> None:
    """Both ways reckoned out for one tonne of beads."""
    first, second = PerWetBead.of(before), PerWetBead.of(after)
    mistaken = 1000 * (before - after)
    true = pentane.stage_losses(
        1000 * (1 - before),
        PerDryPolymer.of([float(pentane.per_dry_polymer(it).kg_kg) for it in (first, second)]),
    ).total_kg

    shortfall = float(pentane.wet_basis_shortfall(first, second))
    assert shortfall == pytest.approx(mistaken / true - 1, rel=1e-6)
    assert shortfall == -after


def test_the_two_bases_do_not_mix() -> None:
    """A wet-basis figure where a balance needs a dry one is refused, and says what to do."""
    wet = PerWetBead.of([0.06, 0.04])
    refusals: list[Callable[[], Any]] = [
        lambda: pentane.stage_losses(940.0, wet),  # type: ignore[arg-type]
        lambda: pentane.content_left(wet, 0.0, 1e-3, 1e-13),  # type: ignore[arg-type]
        lambda: pentane.emission(replace(STORE, content=wet), EDGES),  # type: ignore[arg-type]
        lambda: pentane.per_wet_bead(wet),  # type: ignore[arg-type]
    ]
    for refused in refusals:
        with pytest.raises(OutOfRange, match="is of type PerWetBead: must be of type PerDryPol"):
            refused()
    dry: Any = PerDryPolymer.of(0.06)
    with pytest.raises(OutOfRange, match="must be of type PerWetBead"):
        pentane.per_dry_polymer(dry)
    with pytest.raises(OutOfRange, match="is of type float"):
        pentane.wet_basis_shortfall(0.06, 0.04)  # type: ignore[arg-type]


def test_stages_add_up_and_so_do_their_uncertainties() -> None:
    """The sum of the stages is the ends' difference; what simulated assays show is the spread."""
    true, spread, polymer = np.array([0.0638, 0.0515, 0.0384, 0.0256]), 0.0016, 940.0
    found = pentane.stage_losses(polymer, PerDryPolymer.of(true, spread), 5.0)
    rng = np.random.default_rng(20260601)
    n = 200_000
    masses = rng.normal(polymer, 5.0, n)
    losses = -np.diff(rng.normal(true, spread, (n, 4)), axis=1) * masses[:, None]

    assert found.total_kg == pytest.approx(polymer * (true[0] - true[-1]))
    assert float(found.loss_kg.sum()) == pytest.approx(found.total_kg)
    assert found.u_kg == pytest.approx(losses.std(axis=0, ddof=1), rel=0.01)
    assert found.u_total_kg == pytest.approx(float(losses.sum(axis=1).std(ddof=1)), rel=0.01)
    assert found.u_total_kg < np.sqrt((found.u_kg**2).sum())
    assert found.covariance_kg2[0, 1] == pytest.approx(np.cov(losses.T)[0, 1], rel=0.03)


def test_a_gain_is_shown_as_it_comes_out() -> None:
    """More pentane after a stage than before is a wrong assay, not a zero."""
    assert pentane.stage_losses(100.0, PerDryPolymer.of([0.02, 0.03])).total_kg == pytest.approx(-1)


def test_beads_give_off_all_they_hold_and_no_more() -> None:
    """From the filling to the end of time; nothing before; parts of an interval add up."""
    ever = pentane.emission(STORE, [-HOUR, 0.0, 1e12])
    fine = pentane.emission(STORE, np.linspace(0.0, 1e6, 101))
    coarse = pentane.emission(STORE, [0.0, 1e6])

    assert ever[:, 0].tolist() == [0, 0]
    assert ever[:, 1].tolist() == pytest.approx([400 * 0.05, 300 * 0.045])
    assert fine.sum(axis=1) == pytest.approx(coarse[:, 0])
    assert (fine >= 0).all()


def test_what_is_given_off_is_what_is_missing_from_the_beads() -> None:
    """Content at two ages, by the other function, differs by the emission between."""
    ages = np.array([3.0, 40.0]) * HOUR
    left = pentane.content_left(PerDryPolymer.of(0.05), ages, 1.5e-3, 2.3e-13).kg_kg
    given_off = pentane.emission(Beads(1.0, PerDryPolymer.of(0.05), 0.0, 1.5e-3, 2.3e-13), ages)

    assert float(left[0] - left[1]) == pytest.approx(float(given_off[0]))


def test_the_series_of_the_emission_is_that_of_every_textbook() -> None:
    """The naive twin: 20 000 terms of the sum, for each edge alone."""
    n = np.arange(1, 20_001)[:, None]
    edges = np.array([0.0, 1.0, 6.0, 24.0, 300.0]) * HOUR
    tau = 2.3e-13 * edges / 1.5e-3**2
    uptake = 1 - 6 / np.pi**2 * (np.exp(-(n**2) * np.pi**2 * tau) / n**2).sum(axis=0)
    uptake[0] = 0.0
    found = pentane.emission(Beads(836.0, PerDryPolymer.of(0.05), 0.0, 1.5e-3, 2.3e-13), edges)

    assert found == pytest.approx(836.0 * 0.05 * np.diff(uptake), rel=1e-9)


def test_drawn_beads_give_off_nothing_more_here() -> None:
    """Half of a silo drawn at an hour is half of it from then on."""
    edges = np.arange(5) * HOUR
    content = PerDryPolymer.of(0.05)
    whole = pentane.emission(Beads(400.0, content, 0.0, 1.5e-3, 2.3e-13), edges)
    parts = pentane.emission(
        Beads([200.0, 200.0], content, 0.0, 1.5e-3, 2.3e-13, [np.inf, 2 * HOUR]), edges
    ).sum(axis=0)

    assert parts[:2] == pytest.approx(whole[:2])
    assert parts[2:] == pytest.approx(whole[2:] / 2)


def test_smaller_and_warmer_beads_give_off_more_at_first() -> None:
    """The first hour grows with diffusivity and shrinks with radius, nearly as their roots."""
    first = {
        (a, d): float(
            pentane.emission(Beads(1.0, PerDryPolymer.of(0.05), 0.0, a, d), [0.0, HOUR])[0]
        )
        for a in (1e-3, 2e-3)
        for d in (1e-13, 4e-13)
    }

    assert first[2e-3, 1e-13] < first[1e-3, 1e-13] < first[1e-3, 4e-13]
    assert first[1e-3, 4e-13] / first[1e-3, 1e-13] == pytest.approx(2, rel=0.06)


def test_a_band_holds_every_diffusivity_within_it() -> None:
    """Also where faster beads give off less, because they have little left."""
    edges = np.array([0.0, 1.0, 10.0, 100.0, 1000.0, 3000.0]) * HOUR
    band = pentane.emission_rate(STORE, edges, 12.0)
    alone = pentane.emission_rate(STORE, edges, 1.0)

    for factor in np.geomspace(1 / 12, 12, 41):
        changed = replace(STORE, diffusivity_m2_s=2.3e-13 * factor)
        rate = pentane.emission(changed, edges).sum(axis=0) / np.diff(edges)
        assert (rate <= band.high * 1.01).all()
        assert (rate >= band.low * 0.99).all()
    assert alone.low.tolist() == pytest.approx(alone.high.tolist())
    assert band.value == pytest.approx(alone.value)


def test_a_panels_lag_grows_with_the_square_of_its_thickness() -> None:
    """And is small against the days that its beads take."""
    lag = pentane.board_lag([0.05, 0.10])

    assert float(lag.value[1] / lag.value[0]) == pytest.approx(4)
    assert (lag.low < lag.value).all()
    assert float(pentane.board_lag(2.625 * 0.0254).high) < 3 * HOUR


def test_pin_a_thousand_parts_per_million() -> None:
    """1000 ppm at 25 °C are 2949.01 mg/m³: our own figure, kept so that a change is noticed."""
    assert float(pentane.mg_m3_of(1000)) == pytest.approx(2949.01, abs=0.005)


def test_what_is_left_is_as_uncertain_as_what_was_there() -> None:
    """As a share: half of 2.5 ± 0.2 % is 1.25 ± 0.1 %."""
    ages = np.array([0.0, 1.0, 7.0, 28.0]) * 24 * HOUR
    start = PerDryPolymer.of(0.025, 0.002)
    left = pentane.content_left(start, ages, 1.8e-3, 2.3e-13)

    assert (left.u_kg_kg / left.kg_kg).tolist() == pytest.approx([0.08] * 4)
    assert left.kg_kg[0] == 0.025
