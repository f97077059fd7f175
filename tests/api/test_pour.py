"""A pour asked by a program: as the shell answers it, with its caution; what is wrong, by its word.

The lots are those of the pour sheet's own tests.
"""

from __future__ import annotations

import pytest

from beadwright.plant.access import Role
from beadwright.science.pour import CAUTION
from tests.api.conftest import program
from tests.plant.test_pour_sheet import tested
from tests.plant.yard import Yard

pytestmark = [pytest.mark.django_db, pytest.mark.store]

SAID = (
    "height=9%20ft&rate=4%20ft/h&factor=2&density=150%20lb/ft3&slump=5%20in"
    "&temperature=70%20%C2%B0F&vibration=3%20ft&binder=plain&retarder=no&unbroken=yes&placed=top"
)


def test_the_weakest_lot_governs_and_lots_may_be_named(yard: Yard) -> None:
    """Below the manual's rate; of one that has no test, none governs."""
    tested(yard)
    caller = program(Role.ENGINEER)
    body = caller.ask(f"/products/FB6/pour?{SAID}").body
    assert (body["plant"], body["governs"], body["caution"]) == ("P1", "L1", CAUTION)
    answer = body["lots"][0]["answer"]
    assert 0 < answer["rate_m_s"] < answer["manual_m_s"]
    assert body["taken_at_its_worst"] == []
    named = caller.ask(f"/products/FB6/pour?{SAID}&lot=L2&lot=L3").body
    assert {one["lot"] for one in named["lots"]} == {"L2", "L3"}
    assert named["governs"] is None
    assert "L3: no flexural strength" in named["lacking"]


def test_what_cannot_be_read_is_a_problem(yard: Yard) -> None:
    """Each fault by its word; a product that is none."""
    tested(yard)
    caller = program(Role.ENGINEER)
    wrong = caller.ask("/products/FB6/pour?height=9&factor=0.5")
    assert wrong.kind == "application/problem+json"
    assert 400 <= wrong.status < 500
    assert "height" in wrong.body["detail"]
    assert "safety factor" in wrong.body["detail"]
    assert 400 <= caller.ask("/products/NONE/pour").status < 500
