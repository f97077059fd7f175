"""Steam and water: balances that close, limits, and the same answer one by one and all at once."""

import subprocess
import sys
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from beadwright.errors import OutOfRange
from beadwright.science import steam
from beadwright.science.steam import BoilerDuty, BoilerWater

P0 = 101_325.0
pressures = st.floats(700, 20e6)
flows = st.floats(0.01, 50)
solids = st.floats(0, 900)


def test_the_library_is_loaded_only_when_asked() -> None:
    """Its import takes seconds, and a command that asks no steam must not wait for it."""
    code = (
        "import sys, beadwright.science.steam as s; s.standard_atmosphere(0);"
        "sys.exit(any(name.startswith('CoolProp') for name in sys.modules))"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


@given(st.floats(273.16, 647.0))
def test_boiling_there_and_back(temperature: float) -> None:
    """The temperature at the pressure at which water of a temperature boils is that temperature."""
    back = steam.saturation_temperature(steam.saturation_pressure(temperature))
    assert float(back) == pytest.approx(temperature, rel=1e-6)


def test_vapour_and_liquid_grow_alike_towards_the_critical_point() -> None:
    """Latent heat and the ratio of densities fall all the way."""
    state = steam.saturated(np.geomspace(700, 22e6, 400))

    assert (np.diff(state.latent_j_kg) < 0).all()
    assert (np.diff(state.liquid_kg_m3 / state.vapour_kg_m3) < 0).all()


@given(pressures, st.floats(0, 1))
def test_wet_steam_lies_between_its_phases(pressure: float, dryness: float) -> None:
    """By mass in enthalpy and in volume; the ends are the phases themselves."""
    state = steam.saturated(pressure)
    h, volume = (
        float(steam.wet_steam_enthalpy(pressure, dryness)),
        1 / float(steam.wet_steam_density(pressure, dryness)),
    )

    assert h - float(state.liquid_j_kg) == pytest.approx(
        dryness * float(state.latent_j_kg), rel=1e-9, abs=1e-6
    )
    wet, dry = 1 / float(state.liquid_kg_m3), 1 / float(state.vapour_kg_m3)
    assert volume == pytest.approx(wet + dryness * (dry - wet), rel=1e-9)


@given(pressures, pressures)
def test_flash_keeps_mass_and_heat(one: float, other: float) -> None:
    """Water and vapour after the valve carry the heat that the water before it had."""
    high, low = max(one, other), min(one, other)
    share = float(steam.flash_share(high, low))
    before, after = steam.saturated(high), steam.saturated(low)
    carried = (1 - share) * float(after.liquid_j_kg) + share * float(after.vapour_j_kg)

    assert 0 <= share < 1
    assert carried == pytest.approx(float(before.liquid_j_kg), rel=1e-9, abs=1e-6)


def test_no_flash_without_a_drop() -> None:
    """At one pressure nothing flashes, and a rise is refused by its place."""
    assert steam.flash_share([P0, 8e5], [P0, 8e5]).tolist() == [0, 0]
    with pytest.raises(OutOfRange, match=r"after_pa\[1\] is 900000.0: must be not above before_pa"):
        steam.flash_share([8e5, 8e5], [P0, 9e5])


@example(1.0, 2.2250738585e-313, 0.0, 1.0, 1000.0)
@given(flows, st.floats(0, 1), solids, solids, st.floats(1000, 5000))
def test_a_boilers_waters_balance(
    drawn: float, share: float, make_up: float, back: float, boiler: float
) -> None:
    """Water and solids in = out, whatever returns; and the naive way round finds the same."""
    returned = drawn * share
    water = BoilerWater(drawn, boiler, make_up, returned, back)
    found = steam.water_balance(water)
    blown, feed, fresh = (
        float(it) for it in (found.blowdown_kg_s, found.feed_kg_s, found.make_up_kg_s)
    )

    assert fresh + returned == pytest.approx(drawn + blown, rel=1e-9)
    assert fresh * make_up + returned * back == pytest.approx(
        blown * boiler, rel=1e-9, abs=1e-9 * boiler
    )
    assert feed * float(found.feed_solids) == pytest.approx(blown * boiler, rel=1e-9)
    assert blown == pytest.approx(_round_and_round(water), rel=1e-6, abs=1e-9)


def _round_and_round(water: BoilerWater) -> float:
    """Blow down, look at the feed that this gives, blow down again, until nothing changes."""
    drawn, boiler, make_up, returned, back = (
        float(np.asarray(it))
        for it in (
            water.steam_kg_s,
            water.boiler_solids,
            water.make_up_solids,
            water.condensate_kg_s,
            water.condensate_solids,
        )
    )
    blown = 0.0
    for _ in range(10_000):
        feed = drawn + blown
        carried = (feed - returned) * make_up + returned * back
        after = carried / boiler
        if abs(after - blown) <= 1e-12 * feed:
            break
        blown = after
    return blown


def test_blowdown_by_cycles_is_the_same_as_by_solids() -> None:
    """Ten cycles are a boiler of ten times its feed's solids."""
    found = steam.water_balance(BoilerWater(2.0, 2500.0, 250.0))

    assert float(found.cycles) == pytest.approx(10)
    assert float(found.blowdown_kg_s) == pytest.approx(float(steam.blowdown_rate(2.0, 10.0)))


def test_pure_make_up_needs_no_blowdown() -> None:
    """Without solids nothing is blown down and the cycles are without end; also with no steam."""
    found = steam.water_balance(BoilerWater([1.0, 0.0], 2500.0, 0.0))

    assert found.blowdown_kg_s.tolist() == [0, 0]
    assert np.isinf(found.cycles).all()


def test_a_boilers_heat_adds_up() -> None:
    """Heat of steam and blowdown above the feed; wet steam takes less."""
    pressure, feed = 8e5, 353.15
    both = steam.boiler_heat(BoilerDuty(pressure, feed, 2.0, 0.5))
    steam_alone = steam.boiler_heat(BoilerDuty(pressure, feed, 2.0))

    assert float(both - steam_alone) == pytest.approx(
        float(steam.blowdown_heat(0.5, pressure, feed))
    )
    wet = steam.boiler_heat(BoilerDuty(pressure, feed, 2.0, dryness=0.95))
    latent = float(steam.saturated(pressure).latent_j_kg)
    assert float(steam_alone - wet) == pytest.approx(2.0 * 0.05 * latent)


def test_steam_from_pentane_takes_the_heat_that_a_boiler_needs() -> None:
    """What the steam took over the efficiency is the pentane's net heat."""
    raised = steam.steam_from_pentane([0.0, 2.0], 0.8, 8e5, 353.15)
    heat = steam.boiler_heat(BoilerDuty(8e5, 353.15, raised))

    assert (heat / 0.8).tolist() == pytest.approx([0, 2 * 45.35e6])


def test_the_atmosphere_thins_with_height() -> None:
    """Everywhere; and a day's reading at sea level becomes the site's own."""
    heights = np.linspace(-500, 9000, 100)

    assert (np.diff(steam.standard_atmosphere(heights)) < 0).all()
    assert steam.station_pressure(P0, heights) == pytest.approx(steam.standard_atmosphere(heights))
    assert steam.station_pressure(np.array([9.7e4, 1.04e5]), 0.0) == pytest.approx([9.7e4, 1.04e5])


def test_a_gauge_without_its_height_is_four_kelvin_off() -> None:
    """0.2 bar gauge at 1500 m is not 105.1 °C."""
    sea, site = (
        float(steam.saturation_temperature(steam.absolute_pressure(2e4, air)))
        for air in (P0, steam.standard_atmosphere(1500))
    )

    assert sea - 273.15 == pytest.approx(105.10, abs=0.01)
    assert sea - site == pytest.approx(4.24, abs=0.01)


def test_arrays_of_any_shape_are_the_scalars_side_by_side() -> None:
    """The naive twin of each call is a loop."""
    p = np.array([[1.2e5, 3e5, 8e5]])
    t = np.array([[300.0], [350.0], [600.0]])
    shown = steam.enthalpy(p, t)

    assert shown.shape == (3, 3)
    for i in range(3):
        for j in range(3):
            assert shown[i, j] == float(steam.enthalpy(p[0, j], t[i, 0]))
    assert steam.saturated(p).latent_j_kg.shape == (1, 3)
    assert steam.density(p, 300.0).shape == (1, 3)
    assert steam.saturation_temperature(2e5).shape == ()


NAN = float("nan")
BAD: list[tuple[Callable[..., Any], tuple[Any, ...], str]] = [
    (steam.standard_atmosphere, (10_000.0,), "altitude_m is 10000.0"),
    (steam.standard_atmosphere, ([0.0, NAN],), r"altitude_m\[1\] is nan"),
    (steam.standard_atmosphere, ([],), "altitude_m is empty"),
    (steam.local_atmosphere, (-600.0,), "altitude_m is -600.0"),
    (steam.station_pressure, (1013.25, 0.0), "sea_level_pa is 1013.25"),
    (steam.station_pressure, (P0, [0.0, 9e9]), r"altitude_m\[1\]"),
    (steam.absolute_pressure, (2e4, 1.01325), "atmosphere_pa is 1.01325"),
    (steam.absolute_pressure, ([2e4, -9e4], 8e4), r"pressure_pa\[1\] is -10000.0"),
    (steam.absolute_pressure, (NAN, P0), "gauge_pa is nan"),
    (steam.saturation_pressure, (273.0,), "temperature_k is 273.0"),
    (steam.saturation_pressure, (647.2,), "temperature_k is 647.2"),
    (steam.saturation_temperature, ([1e5, 600.0],), r"pressure_pa\[1\] is 600.0"),
    (steam.saturation_temperature, (23e6,), "pressure_pa is 23000000.0"),
    (steam.saturated, ([],), "pressure_pa is empty"),
    (steam.saturated, (NAN,), "pressure_pa is nan"),
    (steam.wet_steam_enthalpy, (1e5, 1.1), "dryness is 1.1"),
    (steam.wet_steam_density, ([1e5, 2e5], [0.5, 0.6, 0.7]), r"dryness is of shape \(3,\)"),
    (steam.enthalpy, (1e5, -5.0), "temperature_k is -5.0"),
    (steam.enthalpy, (1e5, 1100.0), "temperature_k is 1100.0"),
    (steam.enthalpy, (101e6, 300.0), "pressure_pa is 101000000.0"),
    (steam.density, (100.0, 300.0), "pressure_pa is 100.0"),
    (steam.flash_share, (NAN, 1e5), "before_pa is nan"),
    (steam.blowdown_rate, (-1.0, 10.0), "steam_kg_s is -1.0"),
    (steam.blowdown_rate, (1.0, [2.0, 1.0]), r"cycles\[1\] is 1.0"),
    (steam.water_balance, (BoilerWater(1.0, 200.0, 200.0),), "make_up_solids is 200.0"),
    (steam.water_balance, (BoilerWater(1.0, 2e3, 2e2, 1.1),), "condensate_kg_s is 1.1"),
    (steam.water_balance, (BoilerWater(1.0, 2e3, 2e2, 1.0, 3e3),), "condensate_solids is 3000.0"),
    (steam.water_balance, (BoilerWater(1.0, 2e3, -1.0),), "make_up_solids is -1.0"),
    (steam.boiler_heat, (BoilerDuty(8e5, 450.0, 1.0),), "feed_temperature_k is 450.0"),
    (steam.boiler_heat, (BoilerDuty(8e5, 350.0, -1.0),), "steam_kg_s is -1.0"),
    (steam.blowdown_heat, (-1.0, 8e5, 283.15), "blowdown_kg_s is -1.0"),
    (steam.blowdown_heat, (1.0, 8e5, [283.15, 500.0]), r"reference_k\[1\] is 500.0"),
    (steam.steam_from_pentane, (-1.0, 0.8, 8e5, 350.0), "pentane_kg is -1.0"),
    (steam.steam_from_pentane, (1.0, 1.8, 8e5, 350.0), "efficiency is 1.8"),
    (steam.steam_from_pentane, (1.0, 0.8, 30e6, 350.0), "pressure_pa is 30000000.0"),
]


@pytest.mark.parametrize(("function", "given", "said"), BAD)
def test_bad_input_is_named(
    function: Callable[..., Any], given: tuple[Any, ...], said: str
) -> None:
    """The argument, its first bad value, its place, and the valid range."""
    with pytest.raises(OutOfRange, match=said) as caught:
        function(*given)
    assert "must be" in str(caught.value)


def test_every_function_is_tried_with_bad_input() -> None:
    """None is left out of the list above."""
    functions = {it for it in steam.__all__ if it[0].islower()}
    assert functions == {function.__name__ for function, *_ in BAD}
