"""Which reports still count: stated again, withdrawn in part or whole, and stated once more."""

from __future__ import annotations

from typing import Any

import pytest

from beadwright.ledger.draft import Decision
from beadwright.plant.reports import Report, reports, same_method
from tests.door.test_decided_bodies import REPORT
from tests.plant.yard import Yard, ms

pytestmark = pytest.mark.django_db


def said(yard: Yard, number: str, kind: str = "report", **body: Any) -> None:
    """Post a report or a withdrawal."""
    base = REPORT if kind == "report" else {"reason": "mixed up at the laboratory"}
    key = f"{kind}/{len(yard.steps)}/{number}/{body}"
    yard.post(Decision(key, ms(30 * 24), kind, number, {**base, **body}, by="P-13"))


def told(yard: Yard) -> list[tuple[str, str, str, bool]]:
    """Number, characteristic, result, and whether it counts."""
    return [
        (one.number, one.characteristic, one.result, not one.withdrawn) for one in reports(yard.no)
    ]


def test_one_number_may_hold_several_results() -> None:
    """Each characteristic is a result of its own."""
    yard = Yard.open()
    said(yard, "R-1")
    said(yard, "R-1", characteristic="flexural_strength", result="40 psi")

    assert told(yard) == [
        ("R-1", "compressive_resistance", "17.4 psi", True),
        ("R-1", "flexural_strength", "40 psi", True),
    ]


def test_stated_again_the_newest_counts() -> None:
    """Both stand in the record; one answers."""
    yard = Yard.open()
    said(yard, "R-1", result="71.4 psi")
    said(yard, "R-2")
    said(yard, "R-1", result="17.5 psi")

    assert [one[2] for one in told(yard)] == ["17.4 psi", "17.5 psi"]


def test_a_withdrawal_names_one_result_or_all() -> None:
    """And says why and by whom."""
    yard = Yard.open()
    for number in ("R-1", "R-2"):
        said(yard, number)
        said(yard, number, characteristic="flexural_strength", result="40 psi")
    said(yard, "R-1", "report_withdrawn", characteristic="flexural_strength")
    said(yard, "R-2", "report_withdrawn")

    assert [one[3] for one in told(yard)] == [True, False, False, False]
    last: Report = reports(yard.no)[-1]
    assert (last.withdrawn, last.withdrawn_by) == ("mixed up at the laboratory", "P-13")


def test_what_is_stated_after_a_withdrawal_counts() -> None:
    """It is a new statement of the same number."""
    yard = Yard.open()
    said(yard, "R-1")
    said(yard, "R-1", "report_withdrawn")
    said(yard, "R-1", result="17.5 psi")

    assert told(yard) == [("R-1", "compressive_resistance", "17.5 psi", True)]


@pytest.mark.parametrize(
    ("asked", "stated", "same"),
    [
        ("ASTM D1621", "ASTM D1621", True),
        ("ASTM D1621", "astm  d1621-16(2023), procedure A", True),
        ("ASTM D1621", "ASTM D16210", False),
        ("ASTM D1621", "ASTM C165", False),
        ("", "anything", True),
        ("ASTM D1621", "", False),
    ],
)
def test_a_method_may_be_followed_by_its_edition(asked: str, stated: str, same: bool) -> None:
    """But not by another digit or letter."""
    assert same_method(asked, stated) is same
