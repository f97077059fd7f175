"""The list of products as it is shown: every product that is set, form blocks first."""

from __future__ import annotations

import re

import pytest

from beadwright.plant.access import Role
from beadwright.plant.products import products_of
from tests.plant.yard import FORM, Yard, ms
from tests.web.conftest import SignIn

pytestmark = pytest.mark.django_db


def test_form_blocks_stand_first_and_each_leads_to_its_sheet(yard: Yard, as_: SignIn) -> None:
    """The page says what the plant answers, in its order."""
    yard.set("product", "A-CORNER", {**FORM, "family": "packaging"}, since=1)
    yard.set("product", "ZB9", {**FORM}, since=1)
    asked = [one.name for one in products_of(yard.no, ms(200))]
    assert asked[-1] == "A-CORNER"
    assert "ZB9" in asked

    shown = as_(Role.ENGINEER).get("/products/").content.decode()
    assert re.findall(r'<th scope="row">([^<]+)</th>', shown) == asked
    assert all(f"Set-up of {name}" in shown for name in asked)


def test_a_product_not_set_yet_is_not_listed(yard: Yard) -> None:
    """What is set counts from when it was set for."""
    yard.set("product", "ZB9", {**FORM}, since=100)
    assert "ZB9" not in {one.name for one in products_of(yard.no, ms(99))}
    assert "ZB9" in {one.name for one in products_of(yard.no, ms(101))}


def test_opening_everything_keeps_what_was_picked(yard: Yard, as_: SignIn) -> None:
    """The sheet on paper is for the bead that was looked at on the screen."""
    yard.set("product", "ZB9", {**FORM}, since=1)
    yard.set("approved", "ZB9", revision="R1", grades=["F1", "F2"])
    for name in ("F1", "F2"):
        yard.set("grade", name, of="bead")
    browser = as_(Role.ENGINEER)
    shown = browser.get("/products/ZB9/?grade=F2").content.decode()
    (there,) = re.findall(r'<a href="(\?all[^"]*)">Open everything', shown)
    opened = browser.get(f"/products/ZB9/{there.replace('&amp;', '&')}").content.decode()
    assert "<option selected>F2</option>" in opened
    assert "Close what is open" in opened
