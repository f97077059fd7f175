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
    assert f"Take {first}: the variables plan LENGTH drew blocks by their number" in page
    assert f"in the order they were moulded. Then {', '.join([second, *rest])}." in page
    page = do(browser, "block", **BLOCK)
    assert form_of(page)["specimen"] == plan.drawn[1]
    assert f"Take {second}: " in page
    assert f"moulded. Then {', '.join(rest)}." in page
    assert "named as a piece the plan drew" not in page

    at_time(monkeypatch, 22.0)
    page = shown(browser, "?lot=L1&do=block")
    assert form_of(page)["specimen"] == "W1"
    assert "variables plan LENGTH drew" not in page
