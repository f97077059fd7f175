"""A declared conductivity: its limit asks for a type test, and a report's figure answers."""

import pytest

from tests.plant.asking import coded, the_lot
from tests.plant.planning import report
from tests.plant.yard import Yard

pytestmark = pytest.mark.django_db

EN = {"standard": "EN 13163", "edition": "2012", "type": "EPS 100"}


def declared(*results: str, planned: bool = True) -> Yard:
    """A plant whose product declares as EPS 100 (0.037 W/(m·K)), with a lot and its reports."""
    yard = Yard.open()
    yard.set("standard", "FB6", EN, characteristics=["compressive_stress_10",
             "declared_conductivity"])  # fmt: skip
    if planned:
        yard.set("plan", "SIZE", product="*", characteristic="length", evidence="lot_test",
                 every="run")  # fmt: skip
    yard.block_lot("L1")
    for number, result in enumerate(results):
        report(yard, f"R-{number}", 1, result, characteristic="declared_conductivity",
               method="EN 12667")  # fmt: skip
    return yard


def test_nothing_is_declared_without_a_report() -> None:
    """It asks for a type test, not for a reading of the lot."""
    lot = the_lot(declared())

    (reason,) = coded(lot, "no_type_test")
    assert "declared conductivity" in reason.sentence
    assert not coded(lot, "limit_unusable")
    assert {one.limit.characteristic for one in lot.limits} == {"compressive_stress_10"}


def test_without_a_plan_of_evidence_it_is_named_and_not_asked() -> None:
    """As every limit that rests on other evidence than a lot's own readings."""
    lot = the_lot(declared(planned=False))

    assert not coded(lot, "no_type_test")
    assert "EN 13163:2012 EPS 100 declared_conductivity" in lot.elsewhere


@pytest.mark.parametrize(
    ("result", "code"),
    [
        ("0.037 W/(m·K)", ""),
        ("36 mW/(m·K)", ""),
        ("0.038 W/(m·K)", "test_failed"),
        ("0.061 W/(m·K)", "test_failed"),
    ],
)
def test_the_declared_figure_is_judged_by_the_grade(result: str, code: str) -> None:
    """At most 0.037 for EPS 100; the scope's 0.060 is met by whatever meets that."""
    lot = the_lot(declared(result))

    about = {one.code for one in lot.reasons if "declared" in one.sentence}
    assert ("test_failed" in about) == (code == "test_failed")
    assert not coded(lot, "no_type_test")
