"""ASTM C578 and D6817 as printed: the column that decides, and the one beside it."""

from decimal import Decimal

import pytest

from beadwright.standards import cross_checks, judge_columns, limits
from beadwright.units import from_si, to_si
from tests.outside.printed import agrees


def test_type_ii_is_asked_what_table_1_prints() -> None:
    """[c578-columns] 1.35 pcf, 15 psi, 35 psi, R 4.0, 3.5 perm, 3.0 %, 2.0 %, index 24.0."""
    printed = [str(each.normative.value) for each in limits("ASTM C578", "10", "II")]

    assert printed == ["1.35", "15.0", "35.0", "4.0", "3.5", "3.0", "2.0", "24.0"]


def test_the_column_that_decides_passes_what_the_other_would_fail() -> None:
    """[c578-columns] Type I at 14.6 kg/m³ is 0.911 pcf: met on 0.90 pcf, warned about 15 kg/m³."""
    density = limits("ASTM C578", "10", "I")[0]
    verdict = judge_columns(density, Decimal("14.6"))

    assert agrees(from_si(Decimal("14.6"), "lb/ft3", "density"), "0.911")
    assert verdict.met
    assert verdict.warning == (
        "density 14.60 kg/m3 meets 0.90 lb/ft3, which decides; "
        "15 kg/m3, printed beside it, is not met."
    )


@pytest.mark.parametrize(
    ("product_type", "converted", "printed"),
    [("XI", "11.21", "12"), ("I", "14.42", "15"), ("II", "21.62", "22")],
)
def test_the_printed_si_density_is_no_conversion(
    product_type: str, converted: str, printed: str
) -> None:
    """[c578-columns] 0.70, 0.90 and 1.35 pcf convert to one figure, and another is printed."""
    density = limits("ASTM C578", "10", product_type)[0]

    assert agrees(density.normative.si, converted)
    assert density.informative
    assert str(density.informative.value) == printed


@pytest.mark.parametrize(
    ("characteristic", "printed"),
    [
        ("density", "12 15 18 22 29 38 46"),
        ("compressive_resistance", "35 69 90 104 173 276 414"),
        ("flexural_strength", "70 173 208 240 345 414 517"),
        ("water_vapour_permeance", "287 287 201 201 143 143 143"),
    ],
)
def test_the_si_column_of_every_type_is_as_printed(characteristic: str, printed: str) -> None:
    """[c578-columns] kg/m³, kPa and ng/(Pa·s·m²) of types XI, I, VIII, II, IX, XIV, XV."""
    found = [
        str(each.informative.value)
        for type_ in ("XI", "I", "VIII", "II", "IX", "XIV", "XV")
        for each in limits("ASTM C578", "10", type_)
        if each.characteristic == characteristic and each.informative
    ]

    assert found == printed.split()


@pytest.mark.parametrize(
    ("type_", "printed"),
    [
        ("I", "0.90 10.0 25.0 24.0"),
        ("VIII", "1.15 13.0 30.0 24.0"),
        ("II", "1.35 15.0 40.0 24.0"),
        ("IX", "1.80 25.0 50.0 24.0"),
    ],
)
def test_the_older_sheet_is_carried_under_its_own_edition(type_: str, printed: str) -> None:
    """[c578-07-sheet] lb/ft³, psi, psi of flexure, and oxygen index: lower ends of its ranges."""
    rows = limits("ASTM C578", "07", type_)

    assert [str(each.normative.value) for each in rows] == printed.split()


@pytest.mark.parametrize(
    ("grade", "printed"),
    [
        ("EPS S", "50 75 0.042 0.5"),
        ("EPS 70", "70 115 0.039 0.5"),
        ("EPS 100", "100 150 0.037 0.2"),
        ("EPS 150", "150 200 0.035 0.2"),
        ("EPS 200", "200 250 0.034 0.2"),
    ],
)
def test_a_grade_is_asked_what_the_summary_prints(grade: str, printed: str) -> None:
    """[en-13163-summary] kPa at 10 %, kPa bending, declared W/(m·K), per cent of DS(N)."""
    rows = [each for each in limits("EN 13163", "2012", grade) if each.product_type == grade]

    assert [str(each.normative.value) for each in rows] == printed.split()
    assert rows[2].statistic == "declared_90_90"


@pytest.mark.parametrize("foam", ["EPS12", "EPS15", "EPS19", "EPS22", "EPS29", "EPS39"])
def test_the_geofoam_columns_are_conversions(foam: str) -> None:
    """[d6817-columns] psi and kPa are two readings of one figure: each is the other, rounded.

    Tolerance 0.7 kPa or 0.1 psi, whichever is wider: the page prints kPa whole and psi to a
    tenth, or whole for flexure.
    """
    for each in cross_checks("ASTM D6817", "07", foam):
        if each.informative:
            kpa = from_si(to_si(each.informative.value, "psi", "pressure"), "kPa", "pressure")
            assert abs(kpa - each.normative.value) <= Decimal("0.7"), each
