"""The page of defects: a group that stands out, its lots a click away, and one hold on them."""

from __future__ import annotations

import re

import pytest

from beadwright.plant.access import Role
from beadwright.plant.held import holds_of
from tests.plant.test_plant_defects import counted
from tests.plant.yard import FORM, Yard
from tests.web.conftest import SignIn

pytestmark = pytest.mark.django_db

SPAN = {"since": "2026-08-01", "until": "2026-12-31", "by": "tie lot"}


@pytest.fixture
def short(yard: Yard) -> Yard:
    """Two tie lots of two runs each: of the second, 12 blocks of 120 are short, not 2."""
    yard.set("product", "FB6", {**FORM, "foam_mass": "1.5 kg", "foam_volume": "66 L"}, since=1)
    for press in ("FP1", "FP2"):
        yard.set("place", press, kind="press")
    yard.bag("B-7")
    for carton in ("T-7", "T-8"):
        yard.carton(carton, unit_kg=0.25)
    yard.expand("B-7", "S1")
    for number, (ties, scrap) in enumerate([("T-7", 1), ("T-7", 1), ("T-8", 5), ("T-8", 7)], 1):
        counted(yard, f"X{number}", scrap, (ties, f"FP{2 - number % 2}", 10 + number))
    return yard


def test_the_lots_of_a_group_are_linked_and_put_on_one_hold(short: Yard, as_: SignIn) -> None:
    """Once, with a reason; without one nothing is held, and an auditor may not."""
    browser = as_(Role.ENGINEER)
    html = browser.get("/defects/", SPAN).content.decode()
    (lots,) = re.findall(r'name="lots" value="([^"]+)"', html)
    assert lots == "X3 X4"
    assert 'href="/lots/X3/"' in html
    none = browser.post("/defects/hold/", {**SPAN, "lots": lots, "key": "k0", "reason": " "})
    assert none.status_code == 422
    assert "a hold needs a reason" in none.content.decode()
    assert holds_of(short.no) == ()

    for _ in range(2):
        answer = browser.post(
            "/defects/hold/", {**SPAN, "lots": lots, "key": "k1", "reason": "short fill"}
        )
        assert answer["Location"] == "/holds/H-01/"
    (hold,) = holds_of(short.no)
    assert set(hold.named) == {"X3", "X4"}

    auditor = as_(Role.AUDITOR)
    assert "on hold</button>" not in auditor.get("/defects/", SPAN).content.decode()
    assert auditor.post("/defects/hold/", {"lots": lots, "reason": "x"}).status_code == 403
