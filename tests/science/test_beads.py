"""Beads keep their mass, and what a plant's weighings say agrees with simulated plants."""

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from beadwright.errors import OutOfRange
from beadwright.lab import BlockWeighing, block_foam_density, cup_density
from beadwright.science import beads

sizes = st.floats(1e-4, 1e-2)
densities = st.floats(5.0, 1040.0)
shares = st.floats(0.0, 0.2)


@given(sizes, densities, densities, shares)
def test_a_bead_keeps_its_mass(diameter: float, before: float, after: float, lost: float) -> None:
    """Volume times density falls by exactly the share that left."""
    found = float(beads.expanded_diameter(diameter, before, after, lost_share=lost))

    assert found**3 * after == pytest.approx((1 - lost) * diameter**3 * before, rel=1e-12)


@given(sizes, densities, densities, shares)
def test_the_cube_law_runs_backwards(
    diameter: float, before: float, after: float, lost: float
) -> None:
    """The raw bead that a size needs, expanded, has that size."""
    raw = beads.expanded_diameter(diameter, after, before, lost_share=-lost / (1 - lost))

    assert float(beads.expanded_diameter(raw, before, after, lost_share=lost)) == pytest.approx(
        diameter, rel=1e-12
    )


@given(shares, st.floats(0, 1), densities)
def test_what_left_is_the_difference_of_two_masses(c1: float, part: float, polymer: float) -> None:
    """Masses of one bead before and after, polymer and pentane counted apart."""
    c2 = c1 * part
    before, after = polymer * (1 + c1), polymer * (1 + c2)

    assert float(beads.share_lost(c1, c2)) == pytest.approx(1 - after / before, abs=1e-12)


@given(st.floats(5, 600), st.floats(0.5, 0.7))
def test_bulk_and_bead_density_are_each_others_way_back(bead: float, packing: float) -> None:
    """A heap of beads has the beads' density times the share they fill."""
    bulk = beads.bulk_density(bead, packing)

    assert float(beads.bead_density(bulk, packing)) == pytest.approx(bead, rel=1e-12)
    assert float(bulk) < bead


@given(st.floats(0.55, 0.66), st.floats(1.0, 1.15), st.floats(10, 40))
def test_a_bead_that_closes_the_gaps_has_the_parts_density(
    packing: float, ratio: float, bulk: float
) -> None:
    """Grown by the closing growth, beads of a cup are as dense as the part filled with them."""
    bead = beads.bead_density(bulk, packing)
    moulded = bead / beads.closing_growth(packing, ratio)

    assert float(beads.fill_ratio(moulded, bulk)) == pytest.approx(ratio, rel=1e-12)


def test_the_silo_band_holds_every_packing_in_its_range() -> None:
    """No packing and raw density within their ranges gives a diameter outside the band."""
    band = beads.diameter_in_silo([0.7e-3, 1.0e-3], 21.6, lost_share=0.012)
    for packing in np.linspace(beads.PACKING.low, beads.PACKING.high, 9):
        for raw in np.linspace(beads.RAW_BEAD.low, beads.RAW_BEAD.high, 5):
            bead = beads.bead_density(21.6, packing)
            found = beads.expanded_diameter([0.7e-3, 1.0e-3], raw, bead, lost_share=0.012)
            assert np.all((band.low <= found + 1e-15) & (found <= band.high + 1e-15))


@given(st.floats(10, 100), st.floats(0, 2e5), st.floats(250, 350))
def test_air_is_that_of_the_cells(bead: float, pressure: float, temperature: float) -> None:
    """A bead's air is the gas volume in it times the density of air there."""
    volume = beads.void_share(bead) / bead

    assert float(beads.air_per_dry(bead, pressure, temperature_k=temperature)) == pytest.approx(
        float(volume * beads.air_density(temperature, pressure)), rel=1e-9
    )


@given(st.floats(10, 100), st.floats(0, 0.07), st.floats(0, 0.1))
def test_an_aged_bead_shows_what_it_holds_without_air(
    bead: float, pentane: float, water: float
) -> None:
    """Inside and outside air cancel, but for what the solid polymer pushes aside."""
    state = beads.BeadState(bead, 101325.0, pentane, water)

    expected = 1 + pentane + water - float(beads.air_density(296.15)) / 1050
    assert float(beads.scale_per_dry(state)) == pytest.approx(expected, rel=1e-9)


def test_a_bead_gains_on_the_balance_what_it_takes_in() -> None:
    """From vacuum to full air, the reading rises by exactly the air taken in."""
    fresh, aged = beads.scale_per_dry(beads.BeadState(36.0, [0.0, 101325.0]))

    assert aged - fresh == pytest.approx(float(beads.air_per_dry(36.0)))


@given(st.floats(5, 1000), st.floats(1e-4, 1e-2))
def test_a_cup_goes_there_and_back(bulk: float, volume: float) -> None:
    """The cup weight of a density, weighed, is that density."""
    assert float(cup_density(beads.cup_mass(bulk, volume), volume)) == pytest.approx(bulk)


@pytest.mark.parametrize("power", [0, 1, 2])
def test_the_line_through_nothing_is_what_many_plants_would_find(power: Any) -> None:
    """Over 4000 simulated plants slope and its uncertainty agree with what came out.

    The mean of 4000 slopes is known to 1/63 of their spread, of which four are allowed; their
    standard deviation to 1.1 %, of which four are allowed.
    """
    rng = np.random.default_rng(20260301)
    x = np.linspace(18.0, 26.0, 20)
    spread = 0.4 * x ** (power / 2) / 22.0 ** (power / 2)
    plants = 0.066 * x + 0.05 * spread * rng.standard_normal((4000, len(x)))
    fits = [beads.through_origin(x, y, power=power) for y in plants]
    slopes = np.array([fit.slope for fit in fits])
    us = np.array([fit.u for fit in fits])

    assert slopes.mean() == pytest.approx(0.066, abs=4 * slopes.std() / 63)
    assert slopes.std() == pytest.approx(np.sqrt(np.mean(us**2)), rel=0.045)


def test_least_squares_with_weights_is_the_oracle() -> None:
    """Power 0 is what a general least-squares solver gives, power 2 the mean of ratios."""
    x, y = np.array([3.0, 5.0, 9.0]), np.array([6.2, 9.9, 18.4])

    assert beads.through_origin(x, y).slope == pytest.approx(
        float(np.linalg.lstsq(x[:, None], y, rcond=None)[0][0])
    )
    assert beads.through_origin(x, y, power=2).slope == pytest.approx(float(np.mean(y / x)))
    assert beads.through_origin(x, y, power=1).slope == pytest.approx(y.sum() / x.sum())
    ratios = beads.through_origin(x, y, power=2)
    assert ratios.scatter == pytest.approx(float(np.std(y / x, ddof=1)))
    assert ratios.u == pytest.approx(float(np.std(y / x, ddof=1)) / np.sqrt(3))


def test_errors_in_density_are_undone() -> None:
    """Densities wrong by a quarter would make the volume 6 % too small; corrected, 0.2 %."""
    rng = np.random.default_rng(7)
    truth = np.full(20_000, 20.0)
    mass = 0.066 * truth
    measured = np.abs(truth + 5.0 * rng.standard_normal(len(truth)))

    assert beads.foam_volume(mass, measured).slope < 0.0625
    corrected = beads.foam_volume(mass, measured, u_density_kg_m3=5.0).slope
    assert corrected == pytest.approx(0.066, rel=0.01)


def test_one_tie_lots_error_does_not_average_away() -> None:
    """Ten times the blocks make the volume's uncertainty no smaller than the ties' share."""
    density = np.tile([21.0, 22.0], 500)
    mass = 0.066 * density
    fit = beads.foam_volume(mass, density, u_ties_kg=0.010)

    assert fit.u == pytest.approx(0.010 / 21.5, rel=0.01)


def test_a_tie_lots_spread_is_found_from_handfuls() -> None:
    """Handfuls of 5 to 20 ties give one tie's mass and the spread from tie to tie."""
    rng = np.random.default_rng(11)
    counts = np.tile([5, 10, 20], 400)
    masses = 0.270 * counts + 0.002 * np.sqrt(counts) * rng.standard_normal(len(counts))
    fit = beads.tie_lot_mass(counts, masses)

    assert abs(fit.slope - 0.270) < 4 * fit.u
    assert fit.scatter == pytest.approx(0.002, rel=0.09)  # four times 1/sqrt(2 n)
    assert fit.u == pytest.approx(0.002 / np.sqrt(counts.sum()), rel=0.09)


def test_water_without_pairs_stays_what_was_thought() -> None:
    """As the prior's uncertainty goes to 0, pairs do not move the share."""
    sure = beads.WaterPrior(0.04, 1e-9, 0.008)
    found = beads.learn_water([3.2], [3.0], 1.5, [0], sure)

    assert found.share.tolist() == pytest.approx([0.04])


def test_many_pairs_go_their_own_way() -> None:
    """Of 2000 pairs mean and spread are those of the pairs, whatever was thought."""
    rng = np.random.default_rng(3)
    dry = 3.0 + 0.02 * rng.standard_normal(2000)
    shares = 0.055 + 0.006 * rng.standard_normal(2000)
    found = beads.learn_water(dry + shares * (dry - 1.6), dry, 1.6, np.zeros(2000))

    assert found.share[0] == pytest.approx(0.055, abs=4 * 0.006 / np.sqrt(2000))
    assert found.u_next[0] == pytest.approx(0.006, rel=0.07)
    assert found.u_share[0] == pytest.approx(0.006 / np.sqrt(2000), rel=0.07)


def test_groups_are_learnt_apart() -> None:
    """Pairs of one mould say nothing of another's, and order does not matter."""
    wet, dry = [3.08, 3.05, 3.09, 3.06], [3.0, 3.0, 3.0, 3.0]
    both = beads.learn_water(wet, dry, 1.5, [7, 2, 7, 2])
    alone = beads.learn_water(wet[0::2], dry[0::2], 1.5, [7, 7])

    assert both.group.tolist() == [2, 7]
    assert both.count.tolist() == [2, 2]
    assert both.share[1] == alone.share[0]
    assert both.share[0] < both.share[1]


def test_the_posterior_of_water_is_that_of_a_grid() -> None:
    """Mean and uncertainty agree with the same prior and likelihood summed on a fine grid."""
    prior = beads.WaterPrior(0.04, 0.01, 0.008)
    shares = np.array([0.052, 0.061, 0.049])
    found = beads.learn_water(1.0 + shares, np.ones(3), 0.0, [0, 0, 0], prior)
    mean = np.linspace(-0.06, 0.16, 2201)[:, None]
    sd = np.exp(np.linspace(np.log(5e-4), np.log(0.4), 1200))[None, :]
    # Var ~ inverse gamma(2, 0.008²); on a grid of log sd its density is times Var itself.
    log = -2 * np.log(sd**2) - 0.008**2 / sd**2
    log = log - np.log(sd) - (mean - 0.04) ** 2 / (2 * sd**2 / 0.64)
    for share in shares:
        log = log - np.log(sd) - (share - mean) ** 2 / (2 * sd**2)
    weight = np.exp(log - log.max())
    weight /= weight.sum()
    middle = float((weight * mean).sum())

    assert found.share[0] == pytest.approx(middle, rel=1e-6)
    assert found.u_share[0] == pytest.approx(
        float(np.sqrt((weight * (mean - middle) ** 2).sum())), rel=1e-3
    )
    assert found.u_next[0] == pytest.approx(
        float(np.sqrt((weight * (sd**2 + (mean - middle) ** 2)).sum())), rel=5e-3
    )


def test_water_comes_off_a_block_as_it_was_learnt() -> None:
    """Taking the learnt water off the wet block leaves the dry one, through to the density."""
    dry, ties, share = 1.43, 1.70, 0.045
    wet = ties + dry * (1 + share)
    water, u = beads.water_in_foam(wet, ties, share, 0.01)
    foam = block_foam_density(BlockWeighing(wet, ties, water, 0.066, u_water_kg=u))

    assert float(foam.mass_kg.value) == pytest.approx(dry)
    assert float(u) == pytest.approx(
        float(beads.water_in_foam(wet, ties, share + 5e-5)[0] - water) / 5e-5 * 0.01, rel=1e-3
    )


BAD: list[tuple[Callable[[], object], str]] = [
    (lambda: beads.expanded_diameter([1e-3, 0.0], 1025, 36), r"diameter_m\[1\] is 0.0"),
    (lambda: beads.expanded_diameter(1e-3, 1051, 36), "density_before_kg_m3 is 1051"),
    (lambda: beads.expanded_diameter(1e-3, 1025, -36), "density_after_kg_m3 is -36"),
    (lambda: beads.expanded_diameter(1e-3, 1025, 36, lost_share=1.0), "lost_share is 1"),
    (lambda: beads.expanded_diameter([1e-3] * 2, [36.0] * 3, 36), r"of shape \(3,\)"),
    (lambda: beads.expanded_diameter([], 1025, 36), "diameter_m is empty"),
    (lambda: beads.share_lost(float("nan"), 0.0), "before_per_dry is nan"),
    (lambda: beads.share_lost([0.05, 0.04], 0.045), r"after_per_dry\[1\] is 0.045"),
    (lambda: beads.bulk_density(2000.0, 0.6), "bead_density_kg_m3 is 2000"),
    (lambda: beads.bulk_density(36.0, 0.0), "packing is 0"),
    (lambda: beads.bead_density(900.0, 0.6), "bulk_density_over_packing is 1500"),
    (lambda: beads.bead_density(float("nan"), 0.6), "bulk_density_kg_m3 is nan"),
    (lambda: beads.diameter_in_silo(-1e-3, 21.6), "diameter_m is -0.001"),
    (lambda: beads.fill_ratio(22.0, 0.0), "bulk_density_kg_m3 is 0"),
    (lambda: beads.closing_growth(0.6, 0.0), "fill_ratio is 0"),
    (lambda: beads.void_share(1051.0), "density_kg_m3 is 1051"),
    (lambda: beads.air_density(0.0), "temperature_k is 0"),
    (lambda: beads.air_density(300.0, -1.0), "pressure_pa is -1"),
    (lambda: beads.air_per_dry(36.0, -1.0), "air_pressure_pa is -1"),
    (lambda: beads.air_per_dry(36.0, temperature_k=-5.0), "temperature_k is -5"),
    (lambda: beads.scale_per_dry(beads.BeadState(36.0, 0.0, -0.1)), "pentane_per_dry is -0.1"),
    (lambda: beads.scale_per_dry(beads.BeadState([], 0.0)), "bead_density_kg_m3 is empty"),
    (lambda: beads.cup_mass(22.0, 0.0), "cup_volume_m3 is 0"),
    (lambda: beads.cup_mass(1200.0, 0.001), "bulk_density_kg_m3 is 1200"),
    (lambda: beads.through_origin([1.0], [1.0]), r"x is of shape \(1,\)"),
    (lambda: beads.through_origin([1.0, -2.0], [1.0, 2.0]), r"x\[1\] is -2"),
    (lambda: beads.through_origin([1.0, 2.0], [1.0, 2.0], u_x=3.0), "u_x is 3.0"),
    (lambda: beads.packing_of_cups([21.0, 22.0], [36.0, 1100.0]), r"bead_density_kg_m3\[1\]"),
    (lambda: beads.foam_volume([1.4, 1.5], [21.0, 0.0]), r"density_kg_m3\[1\] is 0"),
    (lambda: beads.foam_volume([1.4, 1.5], [21.0, 22.0, 23.0]), r"of shape \(3,\)"),
    (lambda: beads.tie_lot_mass([10, 0], [2.7, 2.7]), r"count\[1\] is 0"),
    (lambda: beads.learn_water([3.1], [1.0], 1.5, [0]), r"dry_less_tie_kg\[0\] is -0.5"),
    (lambda: beads.learn_water([], [], 1.5, []), "wet_kg is empty"),
    (lambda: beads.learn_water([[3.1]], [[3.0]], 1.5, [[0]]), "wet_kg is of shape"),
    (lambda: beads.water_in_foam(1.0, 1.5, 0.04), "wet_less_tie_kg is -0.5"),
    (lambda: beads.water_in_foam(3.0, 1.5, -0.04), "share is -0.04"),
]


@pytest.mark.parametrize(("call", "said"), BAD, ids=[said for _, said in BAD])
def test_what_cannot_be_is_refused_by_name(call: Callable[[], object], said: str) -> None:
    """The message names the argument, the first bad value and where it stands."""
    with pytest.raises(OutOfRange, match=said):
        call()
