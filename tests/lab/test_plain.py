"""The plain reductions: shape, water, stability, pulls, oxygen; and what their methods ask."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from beadwright.errors import OutOfRange
from beadwright.lab import plain_method, thermal_method
from beadwright.lab.asked import Condition, Method, departures
from beadwright.lab.exposed import Immersed, dimensional_change, water_absorption
from beadwright.lab.oxygen import oxygen_index, series_of
from beadwright.lab.pulled import pulled
from beadwright.lab.shape import out_of_straight, squareness, squareness_of_diagonals, trueness
from beadwright.quality.characteristics import CHARACTERISTICS

METHODS = {**thermal_method.METHODS, **plain_method.METHODS}


@given(st.floats(0.2, 3.0), st.floats(0.1, 1.5), st.floats(-0.05, 0.05))
def test_diagonals_say_the_angle_of_a_parallelogram(
    length: float, width: float, lean: float
) -> None:
    """Its corner leans by ``lean`` radians: both ways of measuring say so."""
    across, up = width * math.sin(lean), width * math.cos(lean)
    first, second = math.hypot(length + across, up), math.hypot(length - across, up)
    found = float(squareness_of_diagonals(first, second, length, width))
    by_square = float(squareness(abs(across), up))

    assert found == pytest.approx(abs(math.sin(lean)), rel=1e-6, abs=1e-9)
    assert by_square == pytest.approx(abs(math.tan(lean)), rel=1e-9, abs=1e-12)


@given(st.floats(-0.01, 0.01), st.floats(-0.01, 0.01))
def test_a_board_that_only_lies_askew_is_straight(tilt: float, height: float) -> None:
    """Height and tilt of the table drop out; a bow does not."""
    at = [0.0, 0.3, 0.6, 0.9, 1.2]
    bow = [0.0, 0.75e-3, 1e-3, 0.75e-3, 0.0]
    plain = [height + tilt * one for one in at]

    assert out_of_straight(at, plain) == pytest.approx(0, abs=1e-12)
    bent = [one + more for one, more in zip(plain, bow, strict=True)]
    assert out_of_straight(at, bent) == pytest.approx(1e-3, abs=1e-9)
    assert float(trueness(1e-3, 1.2)) == pytest.approx(1e-3 / 1.2)


def test_shape_refuses_what_cannot_be() -> None:
    """Negative gaps, no length, two heights, places that do not rise."""
    for call in (
        lambda: squareness(-0.001, 0.5),
        lambda: trueness(0.001, 0.0),
        lambda: squareness_of_diagonals(1.0, 1.0, 0.0, 1.0),
        lambda: out_of_straight([0, 1], [0, 0]),
        lambda: out_of_straight([0, 1, 1], [0, 0, 0]),
        lambda: out_of_straight([0, 1, 2], [0, 0]),
    ):
        with pytest.raises(OutOfRange):
            call()


@given(st.floats(0, 0.05), st.floats(1e-4, 1e-2))
def test_water_taken_up_is_its_own_volume(share: float, volume: float) -> None:
    """A specimen that takes up a share of its volume in water is heavier by that mass."""
    dry = 21.6 * volume
    found = water_absorption(Immersed(dry, dry + 1000 * share * volume, volume))

    assert float(found.value) == pytest.approx(share, abs=1e-9)


def test_uncertainty_of_water_taken_up() -> None:
    """Two weighings of 0.05 g each on 2.36 L; the volume counts for little."""
    found = water_absorption(Immersed(0.051, 0.0982, 0.00236, 5e-5, 2.4e-6))

    assert float(found.u) == pytest.approx(
        math.hypot(math.sqrt(2) * 5e-5 / 2.36, 0.02 * 2.4e-6 / 0.00236), rel=1e-6
    )


def test_the_worst_dimension_decides_whichever_way_it_went() -> None:
    """Shrinkage of 1.2 % beside growth of 1 %."""
    change = dimensional_change([0.1, 0.1, 0.025], [0.1010, 0.0988, 0.025])

    assert change.worst == pytest.approx(-0.012)
    assert change.dimension == 1
    with pytest.raises(OutOfRange):
        dimensional_change([0.1], [0.1, 0.1])
    with pytest.raises(OutOfRange):
        dimensional_change([0.0], [0.1])


def test_pulls_are_told_by_tie_and_the_weakest_is_named() -> None:
    """Two flanges of one tie are two pulls of one tie."""
    held = pulled(["T1", "T2", "T1"], [1500.0, 900.0, 1300.0])

    assert (held.number, held.least_n, held.weakest) == (3, 900.0, "T2")
    assert held.of_each_n == {"T1": 1400.0, "T2": 900.0}
    assert held.mean_n == pytest.approx(1233.333, abs=1e-3)
    assert held.spread_n == pytest.approx(305.505, abs=1e-3)
    assert pulled(["T1"], [800.0]).spread_n is None
    with pytest.raises(OutOfRange):
        pulled([], [])
    with pytest.raises(OutOfRange):
        pulled(["T1", "T2"], [800.0, 0.0])


@pytest.mark.parametrize(
    ("concentration", "burned"),
    [
        ([0.26] * 6, [False] * 6),
        ([0.26, 0.262, 0.26, 0.262, 0.26], [False, True, False, True, False]),
        ([0.26, 0.262, 0.264, 0.262, 0.26, 0.262], [False, True, False, True, False, True]),
    ],
)
def test_a_series_that_is_none_has_no_oxygen_index(
    concentration: list[float], burned: list[bool]
) -> None:
    """No change of result, too few bars, a step the wrong way."""
    with pytest.raises(OutOfRange):
        oxygen_index(concentration, burned)


@pytest.mark.parametrize("text", ["", "26", "26.0 x", "26.0 n; 26.4 y", "126.0 n", "26.0 n,"])
def test_what_is_no_series_of_bars_is_refused(text: str) -> None:
    """Each bar is per cent and y or n."""
    with pytest.raises(OutOfRange, match="per cent and y or n"):
        series_of(text)


def test_a_step_too_large_for_the_spread_is_said() -> None:
    """Steps of 1 % in a series that swings between two levels do not fit it."""
    level = [0.26, 0.27, 0.26, 0.27, 0.26, 0.27]
    index = oxygen_index(level, [False, True] * 3)

    assert index.value == pytest.approx(0.265)
    assert not index.step_fits
    fine = [0.26, 0.262, 0.26, 0.262, 0.26, 0.262]
    assert oxygen_index(fine, [False, True] * 3).step_fits


@pytest.mark.parametrize("name", sorted(METHODS))
def test_every_plain_method_is_of_a_characteristic_and_can_be_met_and_missed(name: str) -> None:
    """In the middle of all bounds nothing is said; outside each, that one is."""
    method = METHODS[name]

    assert name in CHARACTERISTICS
    inside = {one.name: middle(one) for one in method.conditions}
    assert departures(method, inside) == ()
    for one in method.conditions:
        outside = one.high * 2 if math.isfinite(one.high) else one.low / 2
        assert [each.code for each in departures(method, {**inside, one.name: outside})] == [
            one.name
        ]
        assert one.source.endswith(("]",))
    unrecorded = [each.code for each in departures(method, {})]
    assert unrecorded == [f"{one.name}_not_recorded" for one in method.conditions]


def middle(one: Condition) -> float:
    """A value within the bounds."""
    return one.low * 1.01 if math.isinf(one.high) else (one.low + one.high) / 2


def test_the_ends_of_bounds_count_as_met_and_no_number_is_refused() -> None:
    """23 ± 2 °C holds at 25 °C exactly; a value that is none is no condition."""
    room = Condition("room", "the room", "temperature", "°C", 294.15, 298.15, "a method")
    method = Method("M", "1", "", (room,))

    assert departures(method, {"room": 298.15}) == ()
    assert str(departures(method, {"room": 300.15})[0]) == (
        "The room was not as asked. Was: 27 °C. Asked: 21 to 25 °C (a method)."
    )
    with pytest.raises(OutOfRange):
        departures(method, {"room": math.nan})
