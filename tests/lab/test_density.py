"""Densities against arithmetic done another way."""

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from beadwright.errors import OutOfRange
from beadwright.lab import (
    BlockWeighing,
    block_foam_density,
    box_volume,
    cup_density,
    cylinder_volume,
    missing_ties,
    specimen_density,
    tie_mass,
)

# An invented block: 7.14 lb wet, ties of 3.50 lb, water 4 % of the foam, 2.3333 ft³ of foam.
MEANS = (3.2386, 1.5876, 0.0635, 0.066073)
US = (0.005, 0.010, 0.015, 0.0004)
BLOCK = BlockWeighing(*MEANS, *US)


@given(st.integers(1, 10**7), *[st.integers(1, 3000)] * 3)
def test_a_cuboids_density_is_mass_over_volume(mg: int, a: int, b: int, c: int) -> None:
    """For whole milligrams and millimetres, exact fractions give the same density."""
    volume = box_volume(a / 1000, b / 1000, c / 1000)
    exact = Fraction(mg, 10**6) / Fraction(a * b * c, 10**9)

    assert float(specimen_density(mg / 1e6, volume)) == pytest.approx(float(exact), rel=1e-12)


def test_a_cylinder_is_the_limit_of_its_prisms() -> None:
    """A prism of many sides has nearly the cylinder's volume, from below."""
    sides = 100_000
    prism = sides / 2 * 0.05**2 * np.sin(2 * np.pi / sides) * 0.3
    cylinder = float(cylinder_volume(0.1, 0.3))

    assert prism < cylinder < prism * (1 + 1e-8)


def test_arrays_broadcast() -> None:
    """One volume and many masses give many densities, in the shape of the masses."""
    masses = np.array([[0.020, 0.021], [0.022, 0.023]])

    assert specimen_density(masses, 0.001) == pytest.approx(np.array([[20, 21], [22, 23]]))


def test_the_air_term_adds_the_displaced_air() -> None:
    """A light foam of 1000 cm³ gets 1.220 g of displaced air per litre, not a share of its mass."""
    with_air = specimen_density([0.010, 0.014], 0.001, air_kg_m3=1.220)

    assert (with_air - specimen_density([0.010, 0.014], 0.001)).tolist() == pytest.approx(
        [1.22] * 2
    )


def test_foam_density_is_net_of_ties_and_water() -> None:
    """What remains of the block's weight over its foam volume, in pounds per cubic foot."""
    foam = block_foam_density(BLOCK)
    pounds = (3.2386 - 1.5876 - 0.0635) / 0.45359237
    cubic_feet = 0.066073 / 0.3048**3

    assert float(foam.mass_kg.value) == pytest.approx(1.5875)
    assert float(foam.density_kg_m3.value) / 16.01846337 == pytest.approx(pounds / cubic_feet)
    assert pounds / cubic_feet == pytest.approx(1.50, abs=0.001)


def test_uncertainty_is_what_many_weighings_would_show() -> None:
    """First-order propagation agrees with 400,000 simulated blocks.

    A sample standard deviation of n normal values has a relative standard error of
    1/sqrt(2n) = 0.11 %; four of them are allowed.
    """
    rng = np.random.default_rng(20260301)
    n = 400_000
    draws = [rng.normal(mean, u, n) for mean, u in zip(MEANS, US, strict=True)]
    simulated = np.std((draws[0] - draws[1] - draws[2]) / draws[3], ddof=1)

    u = float(block_foam_density(BLOCK).density_kg_m3.u)
    assert u == pytest.approx(float(simulated), rel=4 / np.sqrt(2 * n))


def test_a_tie_lot_two_per_cent_heavier_looks_like_lighter_foam() -> None:
    """Half the block is ties, so 2 % of tie mass moves the foam's density by some 2 %."""
    light = block_foam_density(BLOCK).density_kg_m3.value
    heavy = block_foam_density(BlockWeighing(3.2386, 1.5876 * 1.02, 0.0635, 0.066073))

    assert float(heavy.density_kg_m3.value / light) == pytest.approx(0.98, abs=0.0001)


def test_a_tie_lots_uncertainty_adds_up_while_its_spread_cancels() -> None:
    """Six ties: six times the mean's uncertainty, root six times the spread."""
    assert float(tie_mass(6, 0.27, u_unit_mass_kg=0.001).u) == pytest.approx(0.006)
    assert float(tie_mass(6, 0.27, spread_kg=0.002).u) == pytest.approx(0.002 * 6**0.5)
    assert float(tie_mass(6, 0.27).value) == pytest.approx(1.62)


@pytest.mark.parametrize(
    ("shortfall", "expected"),
    [
        (0.0, 0),
        (0.05, 0),
        (0.27, 1),
        (0.215, 1),
        (0.20, 0),
        (0.55, 2),
        (1.62, 6),
        (2.2, 0),
        (-0.27, 0),
    ],
)
def test_missing_ties_are_whole(shortfall: float, expected: int) -> None:
    """A shortfall is put to missing ties only within two uncertainties of a whole number."""
    assert int(missing_ties(shortfall, 0.27, u_shortfall_kg=0.03, most=6)) == expected


def test_light_ties_are_not_told_from_noise() -> None:
    """Where any shortfall would fit some count, none is given."""
    shortfalls = np.linspace(0, 0.3, 61)

    assert not missing_ties(shortfalls, 0.05, u_shortfall_kg=0.03, most=6).any()
    assert missing_ties(shortfalls, 0.05, u_shortfall_kg=0.005, most=6).max() == 6


def test_a_cup_is_weighed_over_its_volume() -> None:
    """22.5 g in a litre and 11.25 g in half a litre are one density."""
    assert cup_density([0.0225, 0.01125], [0.001, 0.0005]).tolist() == pytest.approx([22.5, 22.5])


@pytest.mark.parametrize(
    "impossible",
    [
        lambda: specimen_density(0.1, 0.0),
        lambda: specimen_density(-0.1, 0.001),
        lambda: specimen_density(0.1, [0.001, float("nan")]),
        lambda: box_volume(0.1, 0.1, 0.0),
        lambda: cylinder_volume(-0.1, 0.1),
        lambda: cup_density(0.02, 0.0),
        lambda: tie_mass(-1, 0.27),
        lambda: missing_ties(0.1, 0.0, u_shortfall_kg=0.03, most=6),
        lambda: missing_ties(float("nan"), 0.27, u_shortfall_kg=0.03, most=6),
        lambda: block_foam_density(BlockWeighing(3.2, 1.6, 0.06, 0.0)),
        lambda: block_foam_density(BlockWeighing(3.2, 1.6, 0.06, 0.066, u_wet_kg=-0.1)),
    ],
)
def test_what_cannot_be_weighed_is_refused(impossible: object) -> None:
    """No volume, no negative mass, no NaN: OutOfRange, never a number."""
    assert callable(impossible)
    with pytest.raises(OutOfRange):
        impossible()
