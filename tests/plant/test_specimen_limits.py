"""Limits on what specimens are tested for: printed ones and the plant's own, mean and each."""

from dataclasses import replace

import pytest

from beadwright.errors import Refusal
from beadwright.ledger.draft import Reading, ReadingsDraft
from beadwright.quality.characteristics import CHARACTERISTICS, Level, Scale
from beadwright.quality.keyed import reading_faults
from beadwright.standards import standards
from tests.plant.asking import coded, the_limit, the_lot
from tests.plant.yard import Yard, ms

pytestmark = pytest.mark.django_db

STANDARD = {"standard": "ASTM C578", "edition": "10", "type": "II"}
ONE_INCH = {"thickness": "1.00 in"}


def cut(characteristic: str, *values: str, **facts: str) -> list[Reading]:
    """Specimens of lot L1, each value with its unit."""
    parted = (value.split(" ", 1) for value in values)
    return [
        Reading(characteristic, number, unit, lot="L1", specimen=f"C{i}", facts=facts)
        for i, (number, unit) in enumerate(parted, 1)
    ]


def yard_with(*characteristics: str, **changes: object) -> Yard:
    """A plant whose product is judged by a standard, with one block lot."""
    yard = Yard.open()
    yard.set("standard", "FB6", {**STANDARD, "characteristics": [*characteristics], **changes})
    yard.block_lot("L1")
    return yard


@pytest.mark.parametrize(
    ("characteristic", "good", "bad", "facts"),
    [
        ("compressive_resistance", ["15.0 psi"] * 5, ["14.9 psi"] * 5, {}),
        ("compressive_resistance", ["104 kPa"] * 5, ["103 kPa"] * 5, {}),  # 15 psi is 103.42 kPa
        ("flexural_strength", ["35 psi"] * 3, ["34.9 psi"] * 3, {}),
        ("thermal_resistance", ["4.0 °F·ft²·h/Btu"] * 3, ["3.9 °F·ft²·h/Btu"] * 3, ONE_INCH),
        # 4.0 °F·ft2·h/Btu is 0.7044 m2·K/W (0.1761 a unit, NIST SP 811).
        ("thermal_resistance", ["0.705 m²·K/W"] * 3, ["0.704 m2 K/W"] * 3, ONE_INCH),
        ("water_vapour_permeance", ["3.5 perm"] * 3, ["3.6 perm"] * 3, ONE_INCH),
        # 3.5 perm is 200.2 ng/(Pa·s·m2) (57.21 a perm, NIST SP 811).
        ("water_vapour_permeance", ["200 ng/(Pa s m2)"] * 3, ["201 ng/(Pa·s·m²)"] * 3, ONE_INCH),
        ("water_absorption", ["3.0 %"] * 3, ["3.1 vol%"] * 3, {}),
        ("water_absorption", ["0 %"] * 3, ["3.1 %"] * 3, {}),
        ("dimensional_stability", ["2.0 %", "0 %", "-2.0 %"], ["0.1 %", "-2.1 %", "1 %"], {}),
        ("oxygen_index", ["24.0 %"], ["23.9 vol%"], {}),
    ],
)
def test_each_characteristic_of_the_table_is_judged(
    characteristic: str, good: list[str], bad: list[str], facts: dict[str, str]
) -> None:
    """Type II as printed: what meets it lets the lot ship, what does not stops it."""
    yard = yard_with(characteristic)
    assert coded(the_lot(yard), "not_measured")
    key = yard.read(cut(characteristic, *good, **facts))
    assert the_lot(yard).answer == "may_ship"

    yard.void(key)
    yard.read(cut(characteristic, *bad, **facts))

    assert the_lot(yard).reasons[0].code == "limit_not_met"


def test_a_mean_waits_for_all_its_specimens() -> None:
    """Four of five cubes decide nothing, however strong."""
    yard = yard_with("compressive_resistance")
    yard.read(cut("compressive_resistance", *["20 psi"] * 4))

    (reason,) = coded(the_lot(yard), "too_few_readings")

    assert "4 of 5 pieces were measured" in reason.sentence


def test_a_mean_forgives_one_specimen_and_each_does_not() -> None:
    """15.2, 15.2, 15.2, 15.2 and 14.5 psi: mean 15.06, least 14.5."""
    yard = yard_with("compressive_resistance")
    yard.read(cut("compressive_resistance", *["15.2 psi"] * 4, "14.5 psi"))
    assert the_limit(yard).finding == "met"

    yard.limit("OWN", "compressive_resistance", "min", "15.0 psi")

    assert [one.finding for one in the_lot(yard).limits] == ["not_met", "met"]
    assert "14.50 psi (least of 5, cut specimens)" in the_lot(yard).reasons[0].sentence


@pytest.mark.parametrize(
    ("statistic", "values", "finding"),
    [
        ("each", ["-2.1 %", "0.1 %"], "not_met"),
        ("each", ["1.9 %", "-1.9 %"], "met"),
        ("mean", ["2.5 %", "-2.5 %"], "not_met"),
        ("mean", ["-2.5 %", "0.5 %"], "met"),
    ],
)
def test_a_limit_on_a_change_holds_to_either_side(
    statistic: str, values: list[str], finding: str
) -> None:
    """A shrinkage is never offset by a growth, in a lot's mean neither."""
    yard = Yard.open()
    yard.limit("OWN", "dimensional_stability", "max", "2.0 %", statistic=statistic)
    yard.block_lot("L1")
    yard.read(cut("dimensional_stability", *values))

    assert the_limit(yard).finding == finding


def test_the_axes_of_one_specimen_do_not_hide_each_other() -> None:
    """Keyed as replicates: 1.0 % one way and -2.4 % the other is a change of 2.4 %."""
    yard = Yard.open()
    yard.limit("OWN", "dimensional_stability", "max", "2.0 %")
    yard.block_lot("L1")
    one, other = cut("dimensional_stability", "1.0 %", "-2.4 %")
    yard.read([one, replace(other, specimen=one.specimen, replicate=2)])

    assert the_limit(yard).value == "-2.40 %"
    assert the_limit(yard).margin == "-0.40 %"


def test_a_least_change_is_no_limit() -> None:
    """It asks, and says why."""
    yard = Yard.open()
    yard.limit("OWN", "dimensional_stability", "min", "2.0 %")
    yard.block_lot("L1")

    assert "limited by the most it may be" in coded(the_lot(yard), "limit_unusable")[0].sentence


def test_fusion_is_a_share_of_the_beads_and_may_be_none() -> None:
    """Nothing torn through at all is a result, and a bad one."""
    yard = Yard.open()
    yard.limit("OWN", "fusion", "min", "60 %")
    yard.block_lot("L1")
    yard.read(cut("fusion", "0 %"))

    assert the_limit(yard).finding == "not_met"


@pytest.mark.parametrize(
    ("reading", "code"),
    [
        (("thermal_resistance", "4.2", "°F·ft2·h/Btu", {}), "fact_missing"),
        (("thermal_resistance", "10", "°F·ft2·h/Btu", {"thickness": "2.5 in"}), "fact_unknown"),
        (("water_vapour_permeance", "1.4", "perm", {"thickness": "63.5 mm"}), "fact_unknown"),
        (("water_vapour_permeance", "1.4", "perm", {"thickness": "1"}), "unit_missing"),
        (("compressive_resistance", "-1", "psi", {}), "amount_negative"),
        (("compressive_resistance", "0", "psi", {}), "amount_negative"),
        (("thermal_conductivity", "0.036", "m2·K/W", {}), "unit_unknown"),
        (("water_absorption", "-0.1", "%", {}), "amount_negative"),
    ],
)
def test_what_cannot_be_meant_of_a_specimen_has_a_code(
    reading: tuple[str, str, str, dict[str, str]], code: str
) -> None:
    """A panel's resistance passes any limit on one inch; so the thickness is asked, and judged."""
    name, value, unit, facts = reading
    one = Reading(name, value, unit, lot="L1", facts=facts)

    assert [f.code for f in reading_faults(ReadingsDraft("k", ms(60), (one,)))] == [code]


def test_the_door_refuses_a_resistance_of_another_thickness() -> None:
    """Not only the reader of files looks."""
    yard = yard_with("thermal_resistance")

    with pytest.raises(Refusal, match=r"25\.4 mm"):
        yard.read(cut("thermal_resistance", "10 °F·ft2·h/Btu", thickness="2.5 in"))


def test_what_a_standard_asks_of_foam_is_measured_in_the_same_unit_kind() -> None:
    """Or a limit we carry could never be met."""
    asked = {
        (row.characteristic, row.kind, row.bound == "within")
        for source in standards()
        if source.use == "limits"
        for row in source.limits
        if "form block" in row.applies_to and row.statistic != "declared_90_90"
    }
    for name, kind, either_side in sorted(asked):
        known = CHARACTERISTICS[name]
        assert known.level is Level.SPECIMEN
        assert known.kind == kind
        assert (known.scale is Scale.CHANGE) == either_side
