"""A certificate tells the receiver where a test left its method, and stays true."""

import pytest

from beadwright.ledger.draft import Reading
from beadwright.plant.opening import open_plant
from beadwright.reports.issued import issued
from tests.plant.asking import GOOD
from tests.plant.restating import read_by, weighed
from tests.reports.issuing import Office

pytestmark = pytest.mark.django_db


def test_a_certificate_tells_where_a_test_left_its_method() -> None:
    """With what was, what is asked, by which source, of which specimen, at which entry."""
    office = Office()
    read_by(office.yard, "inspections/152/readings", weighed(f"{GOOD[0]:.2f}", first=9))
    facts = {"conditioned_h": "48", "temperature": "29 °C", "humidity": "50 %",
             "thickness": "25.4 mm"}  # fmt: skip
    office.yard.read(
        [Reading("compressive_resistance", "16", "psi", lot="L1", specimen="C1", facts=facts)]
    )
    paper = office.released()
    (one,) = issued(open_plant("P1").no)
    (note,) = [text for text in one.content["notes"] if "not as asked" in text]

    assert note.startswith(
        "compressive resistance (C1): The temperature of conditioning was not as asked. Was: 29 °C."
        " Asked: 21 to 25 °C"
    )
    assert "(entry " in note
    assert office.check(paper.pdf).verdict == "true"
