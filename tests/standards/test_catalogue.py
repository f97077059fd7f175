"""Published limits: what is asked of which product, by which edition, and how far to trust it."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from beadwright.errors import Misuse
from beadwright.standards import (
    cross_checks,
    describe,
    find,
    judge_columns,
    limits,
    standard,
    standards,
)
from beadwright.standards.rows import Limit
from beadwright.units import to_si

EPS_TYPES = ("XI", "I", "VIII", "II", "IX", "XIV", "XV")
TABLE_1 = (
    "density",
    "compressive_resistance",
    "flexural_strength",
    "thermal_resistance",
    "water_vapour_permeance",
    "water_absorption",
    "dimensional_stability",
    "oxygen_index",
)


def one(characteristic: str, product_type: str = "II") -> Limit:
    """The C578-10 limit on one characteristic of one type."""
    rows = limits("ASTM C578", "10", product_type)
    return next(each for each in rows if each.characteristic == characteristic)


@pytest.mark.parametrize("product_type", EPS_TYPES)
def test_a_form_block_is_asked_the_whole_table(product_type: str) -> None:
    """Every moulded type carries each characteristic of Table 1, once, and nothing else."""
    rows = limits("ASTM C578", "10", product_type)

    assert tuple(each.characteristic for each in rows) == TABLE_1


def test_board_tolerances_are_no_form_blocks() -> None:
    """A form block's interlock and cavity are not judged by the tolerances of a board."""
    board = {each.characteristic for each in limits("ASTM C578", "10", "II", product="board")}
    block = {each.characteristic for each in limits("ASTM C578", "10", "II")}

    assert board - block == {"length", "width", "edge_trueness", "face_trueness", "squareness"}
    assert not find(characteristic="length", product="form block")


def test_every_row_has_an_edition_and_a_source() -> None:
    """No limit stands without edition, clause, method, and how its figure was read."""
    for each in find():
        editions = {edition.id for edition in standard(each.standard).editions}
        assert each.edition in editions
        assert each.cite
        assert each.clause
        assert each.methods
        assert each.normative.read.what or each.normative.read.grade in {"hi", "med"}


def test_nothing_is_shipped_as_verified() -> None:
    """Only a person with the paid text verifies; the package claims nothing."""
    rows = find()

    assert rows
    assert not [each for each in rows if each.is_verified]


def test_the_other_column_is_no_conversion_but_no_other_value() -> None:
    """Two printed columns, read in different places, agree within 8 %: no digit is mistyped."""
    rows = [each for each in find() if each.informative]

    assert len(rows) > 30
    for each in rows:
        assert each.informative
        ratio = each.informative.si / each.normative.si
        assert Decimal("0.92") < ratio < Decimal("1.08"), describe(each)


def test_denser_types_ask_for_more() -> None:
    """From type XI to XV every minimum rises or stays, and every maximum falls or stays."""
    for characteristic in TABLE_1:
        values = [one(characteristic, each).normative.si for each in EPS_TYPES]
        rising = one(characteristic).bound == "min"
        assert values == sorted(values, reverse=not rising), characteristic


def test_an_exact_hit_meets_the_limit() -> None:
    """A value at the limit meets it, as a decimal or as the float of the same figure."""
    for each in find():
        at_limit = to_si(each.normative.value, each.normative.unit, each.kind)

        assert judge_columns(each, at_limit).met
        assert judge_columns(each, float(at_limit)).met
        assert judge_columns(each, at_limit).margin_si == 0


@pytest.mark.parametrize(
    ("bound", "inside"), [("min", 1.0001), ("max", 0.9999), ("within", 0.9999)]
)
def test_each_bound_stops_on_its_own_side(bound: str, inside: float) -> None:
    """Just inside is met, just outside is not, and the margin's sign says so."""
    each = next(row for row in find() if row.bound == bound)
    good = judge_columns(each, float(each.normative.si) * inside)
    bad = judge_columns(each, float(each.normative.si) * (2 - inside))

    assert (good.met, bad.met) == (True, False)
    assert good.margin_si > 0 > bad.margin_si


def test_a_shrinkage_counts_like_a_growth() -> None:
    """Dimensional stability judges the size of the change: -2.1 % is as bad as +2.1 %."""
    each = one("dimensional_stability")

    assert judge_columns(each, -0.019).met
    assert not judge_columns(each, -0.021).met
    assert not judge_columns(each, 0.021).met


def test_a_warning_is_given_only_where_the_columns_part() -> None:
    """Type II: 14.97 psi meets neither column, 15.01 psi meets psi and is warned about on kPa."""
    each = one("compressive_resistance")
    low = judge_columns(each, to_si(Decimal("14.97"), "psi", "pressure"))
    between = judge_columns(each, to_si(Decimal("15.01"), "psi", "pressure"))

    assert (low.met, low.warning) == (False, "")
    assert between.met
    assert between.warning == (
        "compressive resistance 103.5 kPa meets 15.0 psi, which decides; "
        "104 kPa, printed beside it, is not met."
    )


def test_one_product_two_unit_bases() -> None:
    """21.8 kg/m³ meets C578 Type II, judged on lb/ft³, and not E2634, judged on kg/m³."""
    (e2634,) = (
        each for each in limits("ASTM E2634", "18", "EPS") if each.characteristic == "density"
    )

    assert judge_columns(one("density"), 21.8).met
    assert "22 kg/m3, printed beside it, is not met" in judge_columns(one("density"), 21.8).warning
    assert not judge_columns(e2634, 21.8).met
    assert "1.35 lb/ft3, printed beside it, is met" in judge_columns(e2634, 21.8).warning


def test_a_tolerance_widens_with_the_nominal() -> None:
    """EN 13163 L(3): 0.6 % or 3 mm, whichever is greater, so 5 mm is in on 1000 mm, not on 500."""
    (each,) = find(product_type="L(3)", characteristic="length", designation="EN 13163")

    assert judge_columns(each, -0.005, nominal_si=1.0).met
    assert not judge_columns(each, -0.005, nominal_si=0.5).met
    assert judge_columns(each, -0.003, nominal_si=0.1).met
    assert not judge_columns(each, -0.005).met


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        (("ASTM C578", "10", "IV"), "extruded polystyrene"),
        (("ASTM C578", "10", "IIX"), "there are: XI, I, VIII, II, IX, XIV, XV"),
        (("ASTM C578", "22", "II"), 'no figure of edition "22" is carried; there are: 10'),
        (("ASTM C999", "10", "II"), "there are: ASTM C578, ASTM D6817, ASTM E2634, EN 13163"),
        (("ASTM D6817", "07", "EPS22"), "a cross-check, not a limit"),
    ],
)
def test_what_is_not_carried_is_said(asked: tuple[str, str, str], says: str) -> None:
    """A wrong type, edition or standard is refused with what there is, never answered empty."""
    with pytest.raises(Misuse, match=says):
        limits(*asked)


def test_a_cross_check_is_never_found_as_a_limit() -> None:
    """Geofoam minima are higher than those of the same foam here, and must not mix with them."""
    assert standard("ASTM D6817").use == "cross-check"
    assert not find(designation="ASTM D6817")
    with pytest.raises(Misuse, match="ask with limits"):
        cross_checks("ASTM C578", "10", "II")


def test_find_filters_by_each_part() -> None:
    """Characteristic, product, type, edition and standard each narrow the answer."""
    assert {each.standard for each in find(characteristic="density", product="form block")} == {
        "ASTM C578",
        "ASTM E2634",
    }
    assert [each.normative.value for each in find(product_type="XI", characteristic="density")] == [
        Decimal("0.70")
    ]
    assert {each.characteristic for each in find(product="tie")} == {
        "self_ignition_temperature",
        "smoke_density",
    }
    assert find(edition="2012") == find(designation="EN 13163")
    assert not find(edition="10", designation="EN 13163")


def test_dates_are_dates() -> None:
    """An edition that was superseded says when, as a date."""
    editions = {each.id: each for each in standard("ASTM C578").editions}

    assert editions["19"].superseded_on == date(2023, 9, 10)


def test_an_edition_names_the_next_one_seen() -> None:
    """Of each standard only the newest edition seen has none after it."""
    after = {each.id: each.superseded_by for each in standard("ASTM C578").editions}

    assert (after["10"], after["19"], after["22"]) == ("ASTM C578-12b", "ASTM C578-22", "")
    for source in standards():
        assert [each.superseded_by for each in source.editions].count("") == 1, source.designation


def test_the_same_type_has_other_minima_in_another_edition() -> None:
    """Flexure of type II: 40 psi in a sheet citing -07, 35 psi in -10."""
    rows = find(characteristic="flexural_strength", product_type="II", designation="ASTM C578")

    assert {each.edition: str(each.normative) for each in rows} == {
        "07": "40.0 psi",
        "10": "35.0 psi",
    }


def test_a_range_is_two_bounds() -> None:
    """MU 20 to 40: 19 is below the one, 41 above the other."""
    low, high = find(characteristic="water_vapour_resistance_factor")

    assert (low.bound, high.bound) == ("min", "max")
    assert [judge_columns(low, v).met for v in (19.0, 20.0, 40.0)] == [False, True, True]
    assert [judge_columns(high, v).met for v in (20.0, 40.0, 41.0)] == [True, True, False]


def test_a_level_asks_what_its_name_says() -> None:
    """CS(10)100 is 100 kPa, BS150 is 150 kPa, TR100 is 100 kPa: no row is under a wrong name."""
    levels = [each for each in find() if each.product_type.startswith(("CS(10)", "BS", "TR"))]

    assert len(levels) == 14
    for each in levels:
        assert each.product_type.removeprefix("CS(10)").lstrip("BSTR") == str(each.normative.value)
        assert each.normative.unit == "kPa"


def test_a_description_says_how_far_to_trust_it() -> None:
    """One line: what, how, by which clause; unverified until somebody signed, then who and when."""
    each = one("density")
    signed = replace(each, verified_by="A. Engineer", verified_on=date(2026, 3, 1))

    assert describe(each).startswith(
        "density at least 1.35 lb/ft3 (mean of specimens, ASTM C303 or ASTM D1622); "
        "ASTM C578-10, Table 1, II; unverified: read in "
    )
    assert describe(signed).endswith("; verified by A. Engineer on 2026-03-01")


def test_what_is_missing_is_listed() -> None:
    """Each standard that limits more than we carry says what is missing and why."""
    gaps = {(each.designation, gap.characteristic) for each in standards() for gap in each.gaps}

    assert ("ASTM C578", "thickness") in gaps
    assert ("ASTM E2634", "fastener_withdrawal") in gaps
