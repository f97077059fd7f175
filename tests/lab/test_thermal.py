"""Conductivity: a board of known conductivity is found again, whatever the apparatus."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from beadwright.errors import OutOfRange
from beadwright.lab.asked import departures
from beadwright.lab.mean_temperature import at_mean_temperature
from beadwright.lab.thermal import (
    HotPlate,
    Meter,
    Slab,
    calibration_factor,
    guarded_hot_plate,
    heat_flow_meter,
    resistance_of,
)
from beadwright.lab.thermal_method import METHODS
from beadwright.statistics.propagation import Input, simulate


def exact(value: float) -> Input:
    """A quantity that nothing is uncertain in."""
    return Input(value, 0.0)


def slab(hot: float, cold: float, thickness: float, u_k: float = 0.0, u_m: float = 0.0) -> Slab:
    """A specimen between plates."""
    return Slab(Input(hot, u_k), Input(cold, u_k), Input(thickness, u_m))


@given(
    conductivity=st.floats(0.02, 0.06),
    thickness=st.floats(0.01, 0.2),
    difference=st.floats(5, 40),
    sides=st.integers(1, 2),
)
def test_a_hot_plate_finds_the_conductivity_that_let_its_heat_through(
    conductivity: float, thickness: float, difference: float, sides: int
) -> None:
    """One specimen or one each side: the heat of Fourier's law gives the conductivity back."""
    area = 0.09
    heat = sides * conductivity * area * difference / thickness
    board = slab(290 + difference, 290, thickness)
    found = guarded_hot_plate(HotPlate(exact(heat), exact(area)), [board] * sides)

    assert found.conductivity_w_mk.value == pytest.approx(conductivity, rel=1e-9)
    assert found.resistance_m2k_w.value == pytest.approx(thickness / conductivity, rel=1e-9)
    assert found.mean_k == pytest.approx(290 + difference / 2)


def test_two_specimens_of_unlike_thickness_share_the_heat_by_their_gradients() -> None:
    """Each side carries what its own gradient lets through."""
    conductivity, area = 0.035, 0.09
    one, other = slab(308, 288, 0.0254), slab(308, 288, 0.0508)
    heat = conductivity * area * (20 / 0.0254 + 20 / 0.0508)
    found = guarded_hot_plate(HotPlate(exact(heat), exact(area)), [one, other])

    assert found.conductivity_w_mk.value == pytest.approx(conductivity, rel=1e-9)


def test_a_meter_calibrated_with_a_board_finds_another() -> None:
    """The factor carries over at another thickness and difference."""
    factor = calibration_factor(Input(0.0336, 0.00025), exact(0.0019), slab(307, 287, 0.0134))
    signal = 0.0350 * 25 / 0.0254 / factor.value
    meter = Meter(exact(signal), Input(factor.value, factor.u))
    found = heat_flow_meter([meter, meter], slab(310, 285, 0.0254))

    assert found.conductivity_w_mk.value == pytest.approx(0.0350, rel=1e-9)
    assert found.inch_m2k_w.value == pytest.approx(0.0254 / 0.0350, rel=1e-9)
    # Two meters with factors of their own share out the uncertainty of one.
    share = 0.00025 / 0.0336 / math.sqrt(2)
    assert found.conductivity_w_mk.u / 0.0350 == pytest.approx(share, rel=1e-6)


def test_uncertainty_is_that_of_drawn_numbers() -> None:
    """The law of propagation agrees with drawing temperatures, thickness and flux."""
    inputs = [Input(307.15, 0.2), Input(287.15, 0.2), Input(0.0254, 2e-4),
              Input(0.001, 3e-6), Input(26440, 200)]  # fmt: skip
    found = heat_flow_meter([Meter(inputs[3], inputs[4])], Slab(*inputs[:3]))
    drawn = simulate(lambda x: np.asarray(x[3] * x[4] * x[2] / (x[0] - x[1])), inputs)

    assert found.conductivity_w_mk.u == pytest.approx(drawn.u, rel=0.02)


def test_a_line_through_results_gives_back_a_line() -> None:
    """At any temperature between, with the least uncertainty near the middle."""
    at = [283.15, 297.15, 311.15]
    found = [Input(0.0340 + 1e-4 * (one - 283.15), 2e-4) for one in at]
    asked = at_mean_temperature(at, found, 290.0)
    middle = at_mean_temperature(at, found, 297.15)

    assert asked.conductivity_w_mk == pytest.approx(0.0340 + 1e-4 * 6.85)
    assert asked.slope_w_mk2 == pytest.approx(1e-4)
    assert asked.furthest_w_mk == pytest.approx(0, abs=1e-12)
    assert middle.u_w_mk == pytest.approx(2e-4 / math.sqrt(3))
    assert middle.u_w_mk < asked.u_w_mk
    shared = at_mean_temperature(at, found, 297.15, shared=0.01)
    assert shared.u_w_mk == pytest.approx(math.hypot(middle.u_w_mk, 0.01 * 0.0354))


@pytest.mark.parametrize(
    ("at", "wanted", "name"),
    [
        ([283.15], 283.15, "conductivity_w_mk"),
        ([283.15, 283.15], 283.15, "wanted_k"),
        ([283.15, 297.15], 311.15, "wanted_k"),
        ([283.15, 297.15], 273.15, "wanted_k"),
    ],
)
def test_no_line_reaches_beyond_what_was_measured(
    at: list[float], wanted: float, name: str
) -> None:
    """Outside the temperatures measured, or with one alone, it is refused."""
    with pytest.raises(OutOfRange) as refused:
        at_mean_temperature(at, [Input(0.035, 1e-4)] * len(at), wanted)

    assert refused.value.argument == name


def test_what_cannot_be_a_test_is_refused() -> None:
    """Plates the wrong way round, no thickness, no heat, no meter, three sides."""
    plate, board = HotPlate(exact(1.0), exact(0.09)), slab(308, 288, 0.0254)
    for call, argument in (
        (lambda: guarded_hot_plate(plate, [slab(288, 308, 0.0254)]), "hot_k"),
        (lambda: guarded_hot_plate(plate, [slab(308, 288, 0.0)]), "thickness_m"),
        (lambda: guarded_hot_plate(plate, [board] * 3), "slabs"),
        (lambda: guarded_hot_plate(HotPlate(exact(0.0), exact(0.09)), [board]), "flux_w_m2"),
        (lambda: heat_flow_meter([], board), "meters"),
        (lambda: calibration_factor(exact(0.03), exact(0.0), board), "signal_v"),
        (lambda: resistance_of(0.0254, exact(0.0)), "conductivity_w_mk"),
    ):
        with pytest.raises(OutOfRange) as refused:
            call()
        assert refused.value.argument == argument


AS_ASKED = {
    "mean_temperature": 297.04,
    "temperature_difference": 25.0,
    "thickness": 0.0254,
    "specimen_resistance": 0.70,
    "specimens": 3.0,
}


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("mean_temperature", 299.0),
        ("temperature_difference", 20.0),
        ("thickness", 0.0508),
        ("specimen_resistance", 0.05),
        ("specimens", 2.0),
    ],
)
def test_each_condition_of_a_thermal_test_can_be_departed_from(name: str, value: float) -> None:
    """As asked nothing is said; one condition off is said alone; one not recorded as that."""
    method = METHODS["thermal_resistance"]

    assert departures(method, AS_ASKED) == ()
    assert [one.code for one in departures(method, {**AS_ASKED, name: value})] == [name]
    missing = {**AS_ASKED, name: None}
    assert [one.code for one in departures(method, missing)] == [f"{name}_not_recorded"]
