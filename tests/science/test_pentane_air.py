"""Pentane in the air of a room: mass is kept, and a missing input never reassures."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from beadwright.science import pentane
from beadwright.science.pentane import (
    STRICTER_LIMIT,
    WIDER_LIMIT,
    Air,
    DilutionTask,
    LowerLimit,
    Room,
)
from beadwright.science.trust import Banded

HOUR = 3600.0
KNOWN = Room(2400.0, 2.5, fan_running=True, pressure_pa=99_000.0, mixing=2.0)
RATE = Banded.of([2e-4, 1e-4], [1e-4, 5e-5], [4e-4, 2e-4])
EDGES = [0.0, HOUR, 2 * HOUR]


@given(st.floats(0, 1e6), st.floats(250, 330), st.floats(6e4, 1.05e5))
def test_concentrations_there_and_back(parts: float, kelvin: float, pressure: float) -> None:
    """By volume to by mass and back."""
    back = pentane.ppm_of(pentane.mg_m3_of(parts, kelvin, pressure), kelvin, pressure)
    assert float(back) == pytest.approx(parts, rel=1e-12)


def test_undiluted_vapour_sinks_and_diluted_does_not() -> None:
    """2.5 times as heavy as air alone; 0.2 % at a tenth of the limit."""
    vapour = float(pentane.vapour_density(293.15, 101_325.0))
    air = 101_325.0 * 0.0289647 / (8.314462618 * 293.15)
    share = 0.1 * WIDER_LIMIT.share

    assert vapour / air == pytest.approx(2.49, abs=0.005)
    assert share * vapour / air + 1 - share == pytest.approx(1.002, abs=0.0003)


def test_dilution_air_holds_the_share_it_is_for() -> None:
    """A room with that air, run for long, comes to the stated share of the limit."""
    task = DilutionTask(3e-4, 293.15, 99_000.0, 0.25, 3.0)
    air = float(pentane.dilution_air(task))
    level = pentane.room_air(Air(100.0, air, 3.0), [3e-4], [0.0, 1e7]).edge_kg_m3[-1]
    density = float(pentane.vapour_density(293.15, 99_000.0))

    assert float(level) == pytest.approx(0.25 * STRICTER_LIMIT.share * density)


def test_the_default_limit_is_the_stricter() -> None:
    """It asks for 15/11 of the air."""
    strict, wide = (
        float(pentane.dilution_air(DilutionTask(1e-4, 293.15, 1e5, limit=it)))
        for it in (STRICTER_LIMIT, WIDER_LIMIT)
    )

    assert strict / wide == pytest.approx(15 / 11)
    assert float(pentane.dilution_air(DilutionTask(1e-4, 293.15, 1e5))) == strict


@given(st.just(0.0) | st.floats(1e-9, 1e9), st.integers(1, 5))
def test_a_need_is_rounded_up(value: float, digits: int) -> None:
    """Never down, and by less than one step of its last digit."""
    shown = float(pentane.rounded_up(value, digits))

    assert shown >= value * (1 - 1e-11)
    assert shown <= value * (1 + 10.0 ** (1 - digits)) + 1e-9


def test_a_rooms_air_keeps_mass() -> None:
    """What comes in less what goes out is what gathers, interval by interval."""
    rng = np.random.default_rng(7)
    edges = np.concatenate([[0.0], rng.uniform(10, 5000, 20).cumsum()])
    rate = rng.uniform(0, 1e-3, 20)
    air = Air(2400.0, 2.5, 2.0, 1e-3)
    found = pentane.room_air(air, rate, edges)
    steps = np.diff(edges)

    gathered = 2400.0 * np.diff(found.edge_kg_m3)
    assert gathered == pytest.approx((rate - 2.5 / 2.0 * found.mean_kg_m3) * steps, abs=1e-12)


def test_a_rooms_air_is_what_a_general_solver_finds() -> None:
    """The same equation, integrated numerically; and one interval in many parts is the same."""
    rate = np.array([3e-4, 0.0, 1e-4])
    edges = np.array([0.0, 1800.0, 5400.0, 9000.0])
    level = 0.0
    for i in range(3):
        solved = solve_ivp(
            lambda _, c, g=rate[i]: (g - 1.25 * c) / 2400.0,
            (edges[i], edges[i + 1]),
            [level],
            rtol=1e-10,
            atol=1e-14,
        )
        level = float(solved.y[0, -1])
    found = pentane.room_air(Air(2400.0, 2.5, 2.0), rate, edges)
    parts = pentane.room_air(
        Air(2400.0, 2.5, 2.0), np.repeat(rate, 10), np.interp(np.arange(31) / 10, range(4), edges)
    )

    assert float(found.edge_kg_m3[-1]) == pytest.approx(level, rel=1e-7)
    assert parts.edge_kg_m3[::10] == pytest.approx(found.edge_kg_m3)


def test_without_air_it_only_gathers() -> None:
    """The limit as the air goes to nothing is the straight line of no air at all."""
    rate = [1e-4, 2e-4]
    still = pentane.room_air(Air(500.0, 0.0), rate, EDGES).edge_kg_m3
    hardly = pentane.room_air(Air(500.0, 1e-9), rate, EDGES).edge_kg_m3

    assert still == pytest.approx(np.array([0, 0.36, 1.08]) / 500)
    assert hardly == pytest.approx(still, rel=1e-7)


def test_rooms_side_by_side() -> None:
    """Many rooms at once are each alone."""
    rates = np.array([[1e-4, 2e-4], [3e-4, 0.0]])
    volumes, flows = np.array([500.0, 900.0]), np.array([0.0, 1.5])
    found = pentane.room_air(Air(volumes, flows), rates, EDGES)

    for i in range(2):
        alone = pentane.room_air(Air(volumes[i], flows[i]), rates[i], EDGES)
        assert found.edge_kg_m3[i] == pytest.approx(alone.edge_kg_m3)
        assert found.mean_kg_m3[i] == pytest.approx(alone.mean_kg_m3)


@pytest.mark.parametrize(
    ("field", "named"),
    [
        ("volume_m3", "volume of the room"),
        ("air_m3_s", "air flow"),
        ("fan_running", "whether the fan runs"),
        ("pressure_pa", "barometer or altitude"),
        ("mixing", "mixing factor"),
        ("share", "share of the lower explosive limit"),
    ],
)
def test_what_is_missing_makes_it_unknown(field: str, named: str) -> None:
    """Each input alone: unknown, its name, no number, no verdict, the caution all the same."""
    gap: dict[str, Any] = {field: None}
    screen = pentane.screen_room(replace(KNOWN, **gap), RATE, EDGES)

    assert screen.unknown
    assert screen.missing == (named,)
    assert (screen.needed_m3_s, screen.limit_share, screen.above) == (None, None, None)
    assert screen.caution == pentane.CAUTION


def test_nothing_known_names_everything() -> None:
    """An empty room, and beads of which nobody knows what they give off."""
    screen = pentane.screen_room(Room(), None, EDGES)
    assert screen.unknown
    assert len(screen.missing) == 6
    assert pentane.screen_room(KNOWN, None, EDGES).missing == ("what is given off",)


def test_a_screen_with_everything_known_says_how_much() -> None:
    """Its shares are those of the room's air, and more emission or less air is worse."""
    screen = pentane.screen_room(KNOWN, RATE, EDGES)
    level = pentane.room_air(Air(2400.0, 2.5, 2.0), RATE.value, EDGES).edge_kg_m3
    density = float(pentane.vapour_density(303.15, 99_000.0))

    assert not screen.unknown
    shown, needed, above = _known(screen)
    greatest = np.maximum(level[1:], level[:-1]) / (density * 0.011)
    assert shown.value == pytest.approx(greatest)
    assert (shown.low <= shown.value).all()
    assert (shown.high >= shown.value).all()
    assert not above.any()
    assert (needed.high == 2 * needed.value).all()

    still, _, gathers = _known(
        pentane.screen_room(replace(KNOWN, fan_running=False, air_m3_s=None), RATE, EDGES)
    )
    assert (still.value > shown.value).all()
    weak, _, exceeds = _known(
        pentane.screen_room(replace(KNOWN, volume_m3=50.0, air_m3_s=0.01), RATE, EDGES)
    )
    assert (weak.value > shown.value).all()
    assert exceeds.all()
    assert gathers.shape == (2,)


def _known(screen: pentane.RoomScreen) -> tuple[Banded, Banded, NDArray[np.bool_]]:
    shown, needed, above = screen.limit_share, screen.needed_m3_s, screen.above
    assert shown is not None
    assert needed is not None
    assert above is not None
    return shown, needed, above


def test_the_caution_says_what_it_must() -> None:
    """No gas test, no permission, what to do at an alarm, who governs."""
    for part in (
        "Calculated, not measured. Not a gas test, not permission to enter or do hot work.",
        "At a detector alarm leave, isolate, follow the site plan.",
        "Local code and licensed practice govern.",
    ):
        assert part in pentane.CAUTION


def test_our_own_figure_of_air_stays() -> None:
    """A pin, not an outside check: air for 1 kg/h to a tenth of 1.5 vol % at 20 °C is 222.273."""
    task = DilutionTask(1 / 3600, 293.15, 101_325.0, limit=WIDER_LIMIT)

    assert float(pentane.dilution_air(task)) * 3600 == pytest.approx(222.273, abs=5e-4)


@pytest.mark.parametrize(
    ("limit", "cubic_metres"), [(0.015, 90.4), (0.014, 96.9), (0.013, 104.3), (0.011, 123.3)]
)
def test_pin_air_at_a_quarter_of_each_limit_in_use(limit: float, cubic_metres: float) -> None:
    """Our own arithmetic for 1 kg/h at 25 °C, kept so that a change is noticed."""
    task = DilutionTask(1 / 3600, 298.15, 101_325.0, 0.25, limit=LowerLimit(limit, "as asked"))

    assert float(pentane.dilution_air(task)) * 3600 == pytest.approx(cubic_metres, abs=0.05)
