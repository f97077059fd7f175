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
