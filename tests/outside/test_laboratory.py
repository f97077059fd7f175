"""The laboratory beyond curves against certificates, a textbook and a printed table."""

import csv
from decimal import Decimal
from pathlib import Path

import numpy as np
import pytest

from beadwright.lab.mean_temperature import at_mean_temperature
from beadwright.lab.oxygen import oxygen_index
from beadwright.lab.shape import trueness
from beadwright.lab.thermal import (
    HotPlate,
    Meter,
    Slab,
    calibration_factor,
    guarded_hot_plate,
    heat_flow_meter,
    resistance_of,
)
from beadwright.science import foam
from beadwright.statistics.propagation import Input
from beadwright.units import to_si
from tests.outside.printed import agrees

STUDY = Path(__file__).parent / "data" / "interlaboratory" / "conductivity.csv"


def exact(value: float) -> Input:
    """A quantity that nothing is uncertain in."""
    return Input(value, 0.0)


def slab(hot: float, cold: float, thickness: float) -> Slab:
    """A specimen between plates."""
    return Slab(exact(hot), exact(cold), exact(thickness))


def test_a_heater_between_two_samples() -> None:
    """[heat-transfer-textbook] 14 W a side, 0.01 m², 82 and 74 °C, 5 mm: 0.875 W/(m °C)."""
    sample = slab(82 + 273.15, 74 + 273.15, 0.005)
    found = guarded_hot_plate(HotPlate(exact(28.0), exact(0.01)), [sample, sample])

    assert found.flux_w_m2.value * 0.01 == pytest.approx(28 / 2)
    assert found.difference_k == pytest.approx(8)
    assert agrees(found.conductivity_w_mk.value, "0.875")


def test_a_meter_calibrated_with_the_reference_board_reads_five_laboratories() -> None:
    """[srm-1453] [conductivity-study] Five laboratories' mean reads within the board's 1.5 %.

    The board's equation gives a factor; the signal is what their mean conductivity sends through
    the board. Equation and 1.5 % from memory, so provisional; the data are as published.
    """
    with STUDY.open(encoding="utf-8", newline="") as sheet:
        rows = [row for row in csv.DictReader(sheet) if row["material"] == "4"]
    measured = float(np.mean([float(row["conductivity"]) for row in rows]))
    certified = foam.reference_board_conductivity(40.0, 297.15)
    board = slab(307.15, 287.15, 0.0134)
    expanded = float(certified.high - certified.value)
    factor = calibration_factor(Input(float(certified.value), expanded / 2), exact(0.0019), board)
    signal = measured * 20 / 0.0134 / factor.value
    found = heat_flow_meter([Meter(exact(signal), Input(factor.value, factor.u))], board)

    assert agrees(measured, "0.0337812")
    assert found.mean_k == pytest.approx(297.15)
    assert found.conductivity_w_mk.value == pytest.approx(float(certified.value), rel=0.015)
    assert found.conductivity_w_mk.expanded() == pytest.approx(0.0147 * measured, rel=0.02)


def test_a_line_between_ten_and_forty_degrees_finds_the_certificate_at_24() -> None:
    """[irmm-440] A certified curve that bends: the line is off by less than its uncertainty.

    0.0293949 + 1.060e-4 T + 2.047e-7 T², T in °C, uncertainty 0.00028 W/(m K).
    """

    def certified(celsius: float) -> float:
        return 2.93949e-2 + 1.060e-4 * celsius + 2.047e-7 * celsius**2

    at = [10.0, 25.0, 40.0]
    found = at_mean_temperature(
        [one + 273.15 for one in at], [Input(certified(one), 0.00014) for one in at], 24 + 273.15
    )

    assert found.conductivity_w_mk == pytest.approx(certified(24.0), abs=0.00028)
    # A line through three even points of a parabola lies a third of its sagitta beyond the middle.
    assert found.furthest_w_mk == pytest.approx(2 / 3 * 2.047e-7 * 15**2, rel=1e-6)


@pytest.mark.parametrize(
    ("inch_pound", "si"),
    [("3.1", "0.55"), ("3.6", "0.63"), ("3.8", "0.67"), ("4.0", "0.70"), ("4.2", "0.74")],
)
def test_resistances_of_an_inch(inch_pound: str, si: str) -> None:
    """[c578-columns] R of 25.4 mm in both systems, by way of the conductivity that gives it."""
    resistance = float(to_si(Decimal(inch_pound), "°F·ft2·h/Btu", "thermal_resistance"))
    found = resistance_of(0.0254, exact(0.0254 / resistance))

    assert agrees(found.value, si)


def test_a_tolerance_of_trueness_in_both_systems() -> None:
    """[c578-shape] 0.03 in/ft, printed beside 2.5 mm/m."""
    assert agrees(float(trueness(0.03 * 0.0254, 0.3048)) * 1000, "2.5")


# One bar that did not burn, then five (X burned, O did not): k of the printed table.
DIXON = {
    "XOOOO": "-0.547", "XOOOX": "-1.250", "XOOXO": "0.372", "XOOXX": "-0.169",
    "XOXOO": "0.022", "XOXOX": "-0.500", "XOXXO": "1.169", "XOXXX": "0.611",
    "XXOOO": "-0.296", "XXOOX": "-0.831", "XXOXO": "0.831", "XXOXX": "0.296",
    "XXXOO": "0.500", "XXXOX": "-0.043", "XXXXO": "1.603", "XXXXX": "0.893",
}  # fmt: skip
# The same after four bars or more that did not burn, to the two places of the method's own table.
FOUR = {
    "XOOOO": "-0.55", "XOOOX": "-1.25", "XOOXO": "0.38", "XOOXX": "-0.14",
    "XOXOO": "0.04", "XOXOX": "-0.45", "XOXXO": "1.25", "XOXXX": "0.76",
    "XXOOO": "-0.26", "XXOOX": "-0.75", "XXOXO": "0.95", "XXOXX": "0.50",
    "XXXOO": "0.68", "XXXOX": "0.25", "XXXXO": "2.01", "XXXXX": "1.50",
}  # fmt: skip


@pytest.mark.parametrize(("before", "table"), [(1, DIXON), (4, FOUR)])
def test_the_table_of_k(before: int, table: dict[str, str]) -> None:
    """[dixon-1965] Every line of the table, and its mirror, is the likeliest index."""
    step, level = 0.004, 0.26
    for line, k in table.items():
        fire = [False] * before + [sign == "X" for sign in line]
        levels = [level]
        for burned in fire[:-1]:
            levels.append(levels[-1] + (-step if burned else step))
        found = oxygen_index(levels, fire)
        mirrored = oxygen_index([2 * level - one for one in levels], [not one for one in fire])

        assert agrees(found.k, k), line
        assert mirrored.k == pytest.approx(-found.k, abs=1e-9)
        assert found.value == pytest.approx(levels[-1] + found.k * step)
