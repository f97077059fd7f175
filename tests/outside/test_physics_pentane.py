"""Pentane in air, its rules and its rooms against what is printed."""

import numpy as np
import pytest

from beadwright.science import pentane
from beadwright.science.pentane import (
    RULE_CAPTURED,
    RULE_DESTROYED,
    RULE_PER_HUNDRED,
    STRICTER_LIMIT,
    WIDER_LIMIT,
    Air,
    DilutionTask,
    LowerLimit,
)
from tests.outside.printed import agrees

FOOT, POUND, US_PINT = 0.3048, 0.45359237, 473.176473e-6
P0 = 101_325.0
HOUR = 3600.0


@pytest.mark.parametrize(
    ("ppm", "printed"), [(120, 350), (610, 1800), (600, 1770), (750, 2210), (1000, 2950)]
)
def test_limits_of_workplaces_are_the_same_both_ways(ppm: float, printed: float) -> None:
    """[niosh-pentane] Five limits printed in ppm and mg/m³; to tens of mg/m³ there."""
    half = 5.0  # of the last printed digit, mg/m³

    assert float(pentane.mg_m3_of(ppm)) == pytest.approx(printed, abs=half)
    assert float(pentane.ppm_of(printed)) == pytest.approx(ppm, abs=float(pentane.ppm_of(half)))


def test_the_wider_limit_is_the_documented_one() -> None:
    """[niosh-pentane] 1.5 %, and a tenth of it is the IDLH of 1500 ppm."""
    assert agrees(100 * WIDER_LIMIT.share, "1.5")
    assert 0.10 * WIDER_LIMIT.share * 1e6 == pytest.approx(1500)


def test_the_two_published_limits_are_a_third_apart() -> None:
    """[lel-tables] 1.1 % of the one table, 1.5 % of the other: 36 % more air for the same gas."""
    air = [
        float(pentane.dilution_air(DilutionTask(1 / HOUR, 298.15, P0, limit=limit)))
        for limit in (STRICTER_LIMIT, WIDER_LIMIT)
    ]

    assert STRICTER_LIMIT.share == 0.011
    assert air[0] / air[1] == pytest.approx(1.36, abs=0.005)


@pytest.mark.parametrize("limit", [0.015, 0.014, 0.013, 0.011])
def test_air_for_a_kilogram_an_hour_at_a_quarter_of_the_limit(limit: float) -> None:
    """[gas-law] 24.465 l/mol at 25 °C: 1 kg/h needs so many m³/h; provisional, from memory."""
    task = DilutionTask(1 / HOUR, 298.15, P0, 0.25, limit=LowerLimit(limit, "as asked"))
    by_hand = 1000 / 72.1488 * 24.465e-3 / (0.25 * limit)

    assert float(pentane.dilution_air(task)) * HOUR == pytest.approx(
        by_hand,
        rel=0.0005 / 24.465,  # half the last digit of the molar volume
    )


def test_air_for_a_kilogram_an_hour_at_a_tenth_of_the_limit() -> None:
    """[gas-law] 24.055 l/mol at 20 °C: 1 kg/h at a tenth of 1.5 %; provisional, from memory."""
    task = DilutionTask(1 / HOUR, 293.15, P0, limit=WIDER_LIMIT)

    by_hand = 1000 / 72.1488 * 24.055e-3 / 0.0015

    # 24.055 is printed to half of 0.001, which is 2e-5 of it.
    assert float(pentane.dilution_air(task)) * HOUR == pytest.approx(by_hand, rel=2.1e-5)


def test_dilution_is_the_printed_formula() -> None:
    """[dilution-403] 403e6 SG ER / (M C): a pint a minute to 3750 ppm takes 932 ft³/min.

    A finding: ours is 933.6; for a pint of water of 1000 kg/m³ the 403 is 403.5.
    """
    printed = 403e6 * 0.626 * 1.0 / (72.15 * 3750)
    emission = US_PINT * 626.0 / 60  # a pint a minute of 626 kg/m³
    air = float(pentane.dilution_air(DilutionTask(emission, 294.26, P0, 0.25, limit=WIDER_LIMIT)))

    assert agrees(printed, "932")
    # 403e6 is printed to three digits: half of the last is 1.24e-3; 0.626 and 72.15 are shared.
    assert air * 60 / FOOT**3 == pytest.approx(printed, rel=1.24e-3)


def test_dilution_is_the_other_printed_formula() -> None:
    """[dilution-387] 387 ft³ of vapour for each pound-mole: 1.041 lb a pint times 0.626."""
    pounds = 1.041 * 0.626
    printed = 387 * pounds / 72.15 * 1e6 / 3750
    task = DilutionTask(pounds * POUND / 60, 294.26, P0, 0.25, limit=WIDER_LIMIT)

    assert agrees(printed, "932")
    assert agrees(float(pentane.dilution_air(task)) * 60 / FOOT**3, "932")


@pytest.mark.parametrize(
    ("changes", "after"),
    [
        (0.5, ["0.1599", "0.3070", "0.5669", "0.9732", "1.4728", "1.8610", "1.9903"]),
        (1.0, ["0.1535", "0.2835", "0.4866", "0.7364", "0.9305", "0.9952", "1.0000"]),
        (2.0, ["0.1417", "0.2433", "0.3682", "0.4653", "0.4976", "0.5000", "0.5000"]),
        (4.0, ["0.1216", "0.1841", "0.2326", "0.2488", "0.2500", "0.2500", "0.2500"]),
    ],
)
def test_a_rooms_air_is_the_printed_table(changes: float, after: list[str]) -> None:
    """[room-table] Unit source in a unit room, by changes an hour, after 10, 20, … 640 min."""
    minutes = np.array([0, 10, 20, 40, 80, 160, 320, 640])
    air = Air(1.0, changes / HOUR)
    found = pentane.room_air(air, np.full(7, 1 / HOUR), minutes * 60.0).edge_kg_m3[1:]

    assert [agrees(float(it), text) for it, text in zip(found, after, strict=True)] == [True] * 7


def test_the_rules_control_is_85_per_cent() -> None:
    """[rule-1175] 90 % collected, 95 % of that destroyed: 85.5 % of all."""
    assert 1 - float(pentane.emitted_share()) == pytest.approx(0.855)
    assert (RULE_CAPTURED, RULE_DESTROYED) == (0.90, 0.95)


def test_the_rules_figure_is_by_raw_material() -> None:
    """[rule-1175] 2.4 lb per 100 lb are 24 kg per tonne; the unit is from memory: provisional."""
    assert float(pentane.per_hundred_raw(24.0, 1000.0)) == RULE_PER_HUNDRED


def test_pentane_of_a_bead_is_in_the_published_range() -> None:
    """[ccr-1001-30] 3.5 to 7 % of bead weight are 3.6 to 7.5 % of its polymer."""
    found = pentane.per_dry_polymer(pentane.PerWetBead.of([0.035, 0.07])).kg_kg

    assert [agrees(100 * float(it), text) for it, text in zip(found, ("3.6", "7.5"), strict=True)]
    assert found[0] == pytest.approx(0.035 / 0.965)


@pytest.mark.parametrize(("days", "kelvin_d"), [(23, 2.3e-13), (5, 1.05e-12)])
def test_boards_are_done_when_they_were_found_to_be(days: float, kelvin_d: float) -> None:
    """[simpson-2020] 50 mm boards settle in 23 d at 23 °C and 5 d at 70 °C; provisional.

    That eighty per cent of the pentane has gone then, from beads of 2 mm radius, is our reading.
    """
    left = pentane.content_left(pentane.PerDryPolymer.of(0.02), days * 86400.0, 2e-3, kelvin_d)

    assert 1 - float(left.kg_kg) / 0.02 == pytest.approx(0.80, abs=0.005)
