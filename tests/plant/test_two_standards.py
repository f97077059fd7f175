"""One product under two standards: the stricter of two like limits, and both of two unlike ones."""

from dataclasses import replace
from decimal import Decimal

import pytest

from beadwright.ledger.draft import Reading
from beadwright.plant.bounds import LimitInForce, covered
from tests.plant.asking import block, coded, the_lot
from tests.plant.yard import Yard

ONE = LimitInForce(
    "ONE", "density", "min", "mean", value_si=Decimal("21.62"), specimens=3, methods=("M1", "M2")
)
OTHER = replace(ONE, name="OTHER", value_si=Decimal(22), methods=("M2", "M1"))


def two_standards(*characteristics: str) -> Yard:
    """FB6 under ASTM C578-10 type II and ASTM E2634-18, with one lot."""
    yard = Yard.open()
    named = {"characteristics": list(characteristics)}
    yard.set("standard", "FB6", named, standard="ASTM C578", edition="10", type="II")
    form = {"standard": "ASTM E2634", "edition": "18", "type": "EPS", "product": "FB6"}
    yard.set("standard", "FB6-FORM", {**named, **form})
    yard.block_lot("L1")
    return yard


@pytest.mark.django_db
def test_the_stricter_of_two_like_limits_decides_and_covers_the_other() -> None:
    """21.8 kg/m3 is more than the 1.35 lb/ft3 (21.62) of the one and less than 22 of the other."""
    yard = two_standards("density")
    yard.weigh("L1", "24h", [block(21.8)] * 3)

    lot = the_lot(yard)

    assert lot.answer == "may_not_ship"
    found = {one.limit.standard: (one.finding, one.limit.covered_by) for one in lot.limits}
    assert found == {
        "ASTM C578": ("met", "ASTM E2634-18 (2022) EPS density"),
        "ASTM E2634": ("not_met", ""),
    }
    (reason,) = coded(lot, "limit_not_met")
    assert "ASTM E2634" in reason.source


@pytest.mark.django_db
def test_both_are_met_where_both_are_asked() -> None:
    """One density above either, five cubes above either."""
    yard = two_standards("density", "compressive_resistance")
    yard.weigh("L1", "24h", [block(23)] * 3)
    yard.read([
        Reading("compressive_resistance", "105", "kPa", lot="L1", specimen=f"C{i}")
        for i in range(5)
    ])  # fmt: skip

    lot = the_lot(yard)

    assert lot.answer == "may_ship"
    assert [one.finding for one in lot.limits] == ["met"] * 4


def test_of_two_like_limits_the_stricter_covers() -> None:
    """A minimum by the greater figure, a maximum by the smaller, in whatever order of methods."""
    assert [one.covered_by for one in covered([ONE, OTHER])] == ["OTHER", ""]
    upper = [replace(each, bound="max") for each in (ONE, OTHER)]
    assert [one.covered_by for one in covered(upper)] == ["", "ONE"]


@pytest.mark.parametrize(
    "other",
    [
        replace(OTHER, statistic="each"),
        replace(OTHER, methods=("M1",)),
        replace(OTHER, methods=()),
        replace(OTHER, characteristic="foam_mass"),
        replace(OTHER, bound="max"),
        replace(OTHER, evidence="periodic_test"),
        replace(OTHER, unusable="no such edition"),
    ],
)
def test_unlike_limits_cover_nothing(other: LimitInForce) -> None:
    """Another statistic, method, characteristic or evidence: both must be met."""
    assert [one.covered_by for one in covered([ONE, other])] == ["", ""]


def test_a_stricter_figure_on_fewer_specimens_does_not_cover() -> None:
    """It is met by less evidence than the other asks for."""
    few = replace(OTHER, specimens=1)

    assert [one.covered_by for one in covered([ONE, few])] == ["", ""]


def test_equal_limits_are_covered_once() -> None:
    """The one that asks for more specimens stands; of two alike the first."""
    more = replace(ONE, name="MORE", specimens=5)

    assert [one.covered_by for one in covered([ONE, more])] == ["MORE", ""]
    assert [one.covered_by for one in covered([ONE, replace(ONE, name="TWIN")])] == ["", "ONE"]
