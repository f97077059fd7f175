"""Steam, water and the atmosphere against what is printed."""

import pytest

from beadwright.science import steam
from beadwright.science.steam import BoilerWater
from tests.outside.printed import agrees

BAR = 1e5
P0 = 101_325.0


@pytest.mark.parametrize(
    ("kelvin", "mpa", "volume", "kj"),
    [
        (300.0, 3.0, "0.100215168e-2", "0.115331273e3"),
        (300.0, 80.0, "0.971180894e-3", "0.184142828e3"),
        (500.0, 3.0, "0.120241800e-2", "0.975542239e3"),
        (300.0, 0.0035, "0.394913866e2", "0.254991145e4"),
        (700.0, 0.0035, "0.923015898e2", "0.333568375e4"),
        (700.0, 30.0, "0.542946619e-2", "0.263149474e4"),
    ],
)
def test_water_and_steam_have_the_printed_states(
    kelvin: float, mpa: float, volume: str, kj: str
) -> None:
    """[iapws-if97] Regions 1 and 2, tables 5 and 15, to all printed digits."""
    assert agrees(float(1 / steam.density(mpa * 1e6, kelvin)), volume)
    assert agrees(float(steam.enthalpy(mpa * 1e6, kelvin)) / 1e3, kj)


@pytest.mark.parametrize(
    ("kelvin", "mpa"),
    [(300.0, "0.353658941e-2"), (500.0, "0.263889776e1"), (600.0, "0.123443146e2")],
)
def test_water_boils_at_the_printed_pressure(kelvin: float, mpa: str) -> None:
    """[iapws-if97] Table 35."""
    assert agrees(float(steam.saturation_pressure(kelvin)) / 1e6, mpa)


@pytest.mark.parametrize(
    ("mpa", "kelvin"),
    [(0.1, "0.372755919e3"), (1.0, "0.453035632e3"), (10.0, "0.584149488e3")],
)
def test_water_boils_at_the_printed_temperature(mpa: float, kelvin: str) -> None:
    """[iapws-if97] Table 36."""
    assert agrees(float(steam.saturation_temperature(mpa * 1e6)), kelvin)


def test_steam_of_two_bar_is_as_steam_tables_have_it() -> None:
    """[steam-tables] 120.21 °C and 2201.6 kJ/kg at 2 bar absolute; provisional, from memory."""
    state = steam.saturated(2 * BAR)

    assert agrees(float(state.temperature_k) - 273.15, "120.21")
    assert agrees(float(state.latent_j_kg) / 1e3, "2201.6")


def test_flash_is_as_steam_tables_give_it() -> None:
    """[steam-tables] h_f 721.3 at 8.013 bar, 419.1 at 1 atm, h_fg 2256.5 there; provisional.

    By hand: (721.3 - 419.1) / 2256.5 = 13.4 %.
    """
    assert float(steam.flash_share(P0 + 7 * BAR, P0)) == pytest.approx(
        (721.3 - 419.1) / 2256.5, abs=0.0002
    )


def test_blowdown_is_the_manuals() -> None:
    """[ufc-3-240-13fn] 5 kg/s at 5000 and 250 µmho: 20 cycles, 5 %, 0.26 and 5.26 kg/s."""
    balance = steam.water_balance(BoilerWater(5.0, 5000.0, 250.0))

    assert agrees(float(balance.cycles), "20")
    assert agrees(float(balance.blowdown_kg_s), "0.26")
    assert agrees(float(balance.feed_kg_s), "5.26")
    assert agrees(100 * float(balance.blowdown_kg_s / balance.feed_kg_s), "5")
    assert agrees(float(steam.blowdown_rate(5.0, 20.0)), "0.26")


def test_make_up_is_the_manuals() -> None:
    """[ufc-3-240-13fn] 3.8 kg/s of condensate return, so that 1.5 kg/s of make-up are needed.

    The manual's 250 is of its feed; here make-up and condensate mix to it.
    """
    feed, back = 5.0 + 5.0 / 19, 3.8
    make_up = 250 * feed / (feed - back)
    balance = steam.water_balance(BoilerWater(5.0, 5000.0, make_up, back, 0.0))

    assert float(balance.feed_solids) == pytest.approx(250)
    assert agrees(float(balance.make_up_kg_s), "1.5")
    assert agrees(float(balance.blowdown_kg_s), "0.26")


def test_blowdown_by_dissolved_solids_is_the_printed_formula() -> None:
    """[blowdown-by-solids] q = S f / (b - f), 10 000 kg/h at 200 in 3000 ppm: 714 kg/h."""
    steam_flow, feed, boiler = 10_000.0, 200.0, 3000.0
    balance = steam.water_balance(BoilerWater(steam_flow, boiler, feed))

    assert float(balance.blowdown_kg_s) == pytest.approx(steam_flow * feed / (boiler - feed))
    assert agrees(float(balance.blowdown_kg_s), "714")


@pytest.mark.parametrize(
    ("geopotential", "pressure"),
    [
        (0, "101325.0"),
        (1000, "89874.6"),
        (2000, "79495.2"),
        (4000, "61640.2"),
        (5000, "54019.9"),
        (8000, "35599.8"),
    ],
)
def test_the_standard_atmosphere_is_the_table(geopotential: float, pressure: str) -> None:
    """[iso-2533] Pressure by geopotential altitude; ours goes by height above sea level."""
    earth = 6_356_766.0
    height = earth * geopotential / (earth - geopotential)

    assert agrees(float(steam.standard_atmosphere(height)), pressure)


def test_captured_pentane_raises_steam_as_its_heat_of_combustion_says() -> None:
    """[nist-webbook-pentane] 3535 to 3536 kJ/mol of gas, less the water's heat; provisional."""
    molar_mass, water = 0.0721488, 44.0
    low, high = ((gross - 6 * water) * 1e3 / molar_mass for gross in (3535.0, 3536.0))
    pressure, feed = P0 + 7 * BAR, 353.15
    gain = float(steam.saturated(pressure).vapour_j_kg - steam.enthalpy(pressure, feed))

    heat = float(steam.steam_from_pentane(1.0, 1.0, pressure, feed)) * gain

    assert low <= heat <= high
