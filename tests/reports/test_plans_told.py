"""A certificate tells what inspection plans came to, and nothing of those that still ask."""

import pytest

from beadwright.plant.opening import open_plant
from beadwright.reports.issued import issued
from tests.reports.issuing import Office

pytestmark = pytest.mark.django_db

PLAN = {"product": "FB6", "characteristic": "length", "good": "1 %", "bad": "20 %"}


def notes() -> list[str]:
    """What the newest certificate tells of plans."""
    return [text for text in issued(open_plant("P1").no)[-1].content["notes"] if "plan" in text]


def test_a_certificate_tells_what_plans_came_to() -> None:
    """Pieces looked over and pieces measured, each as it was accepted; it stays true."""
    office = Office()
    yard = office.yard
    yard.set("inspection", "FB6", good="1 %", bad="20 %", switching=False, since=1)
    yard.set("variables", "LENGTH", PLAN, since=1)
    yard.limit("LEN", "length", "min", "1190 mm", statistic="each")
    yard.gauge("L1", "length", ["1200 mm", "1201 mm", "1199 mm"], at=62)
    office.released()
    assert notes() == []

    yard.look_over("L1", 40, at=63)
    yard.gauge("L1", "length", [f"{1199 + 0.25 * n} mm" for n in range(20)], at=64)
    paper = office.released()
    looked, measured = sorted(notes())
    assert looked.startswith("by the inspection plan, inspection")
    assert looked.endswith("40 looked over, 0 bad: accepted (inspection plan of FB6)")
    assert measured.startswith("by the variables plan LENGTH: length of a block")
    assert "is accepted: accepted. None of them is named as a piece the plan drew" in measured
    assert office.check(paper.pdf).verdict == "true"
