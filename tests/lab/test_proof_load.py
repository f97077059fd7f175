"""The proof load: there and back, by the sizes of the strip, and never without its caution."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from beadwright.errors import OutOfRange
from beadwright.lab.proof_load import CAUTION, Strip, carried, proof_load
from beadwright.statistics.propagation import Input

INCH, POUND, PSI = 0.0254, 0.45359237, 6894.757293168
STRIP = Strip(Input(10 * INCH, 1e-3), Input(3 * INCH, 0.3e-3), Input(INCH, 0.3e-3))


def test_a_strip_of_the_trade_carries_seven_pounds() -> None:
    """3 in wide and 1 in thick on 10 in, at 35 psi; a good one breaks at 12.5 lb."""
    load = proof_load(STRIP, Input(35 * PSI, 0))

    assert load.mass_kg == pytest.approx(7 * POUND, rel=1e-9)
    assert carried(STRIP, Input(12.5 * POUND, 0)).stress_pa == pytest.approx(62.5 * PSI, rel=1e-9)


@given(
    span=st.floats(0.1, 0.6), width=st.floats(0.03, 0.2), depth=st.floats(0.01, 0.06),
    limit=st.floats(50e3, 600e3),
)  # fmt: skip
def test_what_it_must_carry_brings_it_to_its_limit(
    span: float, width: float, depth: float, limit: float
) -> None:
    """There and back."""
    strip = Strip(Input(span, 1e-4), Input(width, 1e-4), Input(depth, 1e-4))
    load = proof_load(strip, Input(limit, 0))
    broke = carried(strip, Input(load.mass_kg, 0), limit)

    assert broke.stress_pa == pytest.approx(limit, rel=1e-9)
    assert broke.share == pytest.approx(1)
    assert load.force_n == pytest.approx(load.mass_kg * 9.80665)


def test_the_uncertainty_is_that_of_the_sizes_depth_counted_twice() -> None:
    """Relative parts add by squares, of depth twice; and drawing numbers gives the same."""
    load = proof_load(STRIP, Input(35 * PSI, 0))
    parts = (1e-3 / (10 * INCH), 0.3e-3 / (3 * INCH), 2 * 0.3e-3 / INCH)
    rng = np.random.default_rng(4)
    span, width, depth = (rng.normal(one.value, one.u, 200_000) for one in STRIP.sizes)
    drawn = 2 * 35 * PSI * width * depth**2 / (3 * span)

    assert load.u_force_n / load.force_n == pytest.approx(math.hypot(*parts), rel=1e-6)
    assert load.u_force_n == pytest.approx(float(drawn.std()), rel=0.01)


def test_a_strip_that_carries_the_sure_mass_was_at_its_limit_nineteen_times_of_twenty() -> None:
    """Whatever the true sizes are within their uncertainty."""
    load = proof_load(STRIP, Input(35 * PSI, 0))
    rng = np.random.default_rng(5)
    span, width, depth = (rng.normal(one.value, one.u, 200_000) for one in STRIP.sizes)
    reached = 3 * load.sure_mass_kg * 9.80665 * span / (2 * width * depth**2) >= 35 * PSI

    assert reached.mean() == pytest.approx(0.95, abs=0.005)


def test_the_caution_stands_beside_every_figure() -> None:
    """Where it can hurt someone."""
    assert "Stand clear, catch tray under." in CAUTION
    assert proof_load(STRIP, Input(35 * PSI, 0)).caution == CAUTION
    assert carried(STRIP, Input(3.0, 0)).caution == CAUTION


def test_what_cannot_be_is_refused() -> None:
    """A strip without width, a negative mass, a limit of nothing to hold against."""
    with pytest.raises(OutOfRange, match="width_m"):
        Strip(Input(0.25, 0), Input(0.0, 0), Input(0.02, 0))
    with pytest.raises(OutOfRange, match="mass"):
        carried(STRIP, Input(-1.0, 0))
    with pytest.raises(OutOfRange, match="limit_pa"):
        carried(STRIP, Input(1.0, 0), 0.0)
