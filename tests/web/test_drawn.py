"""The inspection station proposes the pieces that a variables plan drew."""

from __future__ import annotations

import pytest

from beadwright.plant.access import Role
from beadwright.plant.inspection_plans.by_variables import of_lot
from beadwright.plant.opening import open_plant
from tests.plant.yard import Yard
from tests.web.conftest import SignIn
from tests.web.test_inspection import BLOCK, NOW, at_time, do, shown
from tests.web.test_press import form_of

pytestmark = pytest.mark.django_db


def test_the_block_that_a_plan_drew_is_proposed_by_its_number(
    yard: Yard, as_: SignIn, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The next one that is not measured yet; wet blocks, which the plan asks not for, as before."""
    at_time(monkeypatch, NOW)
    yard.limit("LEN", "length", "min", "1190 mm", statistic="each")
    yard.set("variables", "LENGTH", product="FB6", characteristic="length", good="1 %",
              bad="20 %", since=1)  # fmt: skip
    (plan,) = of_lot(open_plant("P1"), "L1", "FB6")
    browser = as_(Role.TECHNICIAN)
    page = shown(browser, "?lot=L1&do=block")
    assert form_of(page)["specimen"] == plan.drawn[0]
    first, second, *rest = plan.drawn
    assert f"Take {first}. Variables plans drew blocks by their number" in page
    assert f"moulded; left of LENGTH (length) {', '.join(plan.drawn)}." in page
    page = do(browser, "block", **BLOCK)
    assert form_of(page)["specimen"] == plan.drawn[1]
    assert f"Take {second}. " in page
    assert f"left of LENGTH (length) {', '.join([second, *rest])}." in page
    assert "named as a piece the plan drew" not in page

    at_time(monkeypatch, 22.0)
    page = shown(browser, "?lot=L1&do=block")
    assert form_of(page)["specimen"] == "W1"
    assert "left of LENGTH" not in page


def test_blocks_of_two_plans_are_taken_together(
    yard: Yard, as_: SignIn, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What both drew stands in one row, and each plan says what of it is its own."""
    at_time(monkeypatch, NOW)
    for name in ("length", "width"):
        yard.limit(name.upper(), name, "min", "1 mm", statistic="each")
        yard.set("variables", name.upper(), product="FB6", characteristic=name, good="1 %",
                 bad="20 %" if name == "length" else "15 %", since=1)  # fmt: skip
    length, width = of_lot(open_plant("P1"), "L1", "FB6")
    assert {*length.drawn} < {*width.drawn}
    browser = as_(Role.TECHNICIAN)
    page = shown(browser, "?lot=L1&do=block")
    assert form_of(page)["specimen"] == width.drawn[0]
    said = f"LENGTH (length) {', '.join(length.left)}; WIDTH (width) {', '.join(width.left)}."
    assert said in page
