"""The proof load on its page, by the trade's own figures, and refused in words."""

from __future__ import annotations

import re
from html import unescape

import pytest
from django.test import Client

from beadwright.plant.access import Role
from tests.plant.yard import FORM, Yard
from tests.web.conftest import SignIn

pytestmark = pytest.mark.django_db

AT = "/laboratory/proof/"
STRIP = {"product": "FB6", "span": "10 in", "width": "3 in", "depth": "1 in"}


@pytest.fixture
def operator(as_: SignIn, yard: Yard) -> Client:
    """Give the browser of an operator, in pounds, of a plant whose foam must bear 35 psi."""
    yard.set("product", "FB6", {**FORM, "foam_mass": "1.5 kg", "foam_volume": "66 L"}, since=1)
    yard.limit("FB6-FLEX", "flexural_strength", "min", "35 psi", evidence="periodic_test")
    browser = as_(Role.OPERATOR)
    browser.post("/choices/", {"units": "us", "light": "auto"})
    return browser


def ask(browser: Client, status: int = 200, **said: str) -> str:
    """The page's words."""
    answer = browser.get(AT, {**STRIP, **said})
    assert answer.status_code == status
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", unescape(answer.content.decode())))


def test_a_strip_of_the_trade_must_carry_seven_pounds(operator: Client) -> None:
    """3 in wide, 1 in thick, 10 in between the supports: 7 lb at 35 psi (no source)."""
    page = ask(operator)
    assert "It must carry 7.00 lb" in page
    assert "FB6-FLEX" in page or "35 psi" in page
    assert "Screening. Stand clear, catch tray under." in page


def test_what_it_carried_is_told_as_a_stress_and_a_share_of_the_limit(operator: Client) -> None:
    """A good strip carries some 12.5 lb: 62.5 psi, 179 % of the limit; one of 6 lb does not."""
    good = ask(operator, carried="12.5 lb")
    assert "carried it" in good
    assert "62.5 psi" in good
    assert "179 % of the limit" in good
    assert "did not carry it" in ask(operator, carried="6 lb")


def test_a_product_without_a_limit_and_sizes_that_are_none_are_refused(operator: Client) -> None:
    """What is missing is named; another limit may be given instead."""
    assert "no product is called FB9" in ask(operator, 422, product="FB9")
    assert "width: 3 psi is no length" in ask(operator, 422, width="3 psi")
    assert "depth: -1 in is no length" in ask(operator, 422, depth="-1 in")
    assert "is no mass" in ask(operator, 422, carried="heavy")
    assert "It must carry 14.00 lb" in ask(operator, limit="70 psi")


def test_the_limit_is_that_of_the_standard_a_product_is_set_up_by(as_: SignIn, yard: Yard) -> None:
    """C578 type II asks 35 psi, though the plant judges no lot by it; without one it is asked."""
    browser = as_(Role.OPERATOR)
    browser.post("/choices/", {"units": "us", "light": "auto"})
    assert "give the limit, as 35 psi" in ask(browser, 422)
    yard.set("standard", "FB6", standard="ASTM C578", edition="10", type="II",
             characteristics=["density"])  # fmt: skip

    page = ask(browser)

    assert "It must carry 7.00 lb" in page
    assert "ASTM C578-10, Table 1, type II" in page
    assert "no lot is judged by it" in page
    assert "not verified in the paid text" in page


@pytest.mark.parametrize(
    ("sizes", "why"),
    [
        ({"span": "1 in", "width": "3000 in"}, "It is wider than its span"),
        ({"span": "2 in", "depth": "4 in"}, "The span is 0.5 times the thickness"),
        ({"width": "0.4 in"}, "It is narrower than half its thickness"),
    ],
)
def test_a_strip_that_is_no_beam_is_asked_about(
    operator: Client, sizes: dict[str, str], why: str
) -> None:
    """No load is given until a person says that the sizes stand; then it is, with the doubt."""
    page = ask(operator, 200, **sizes)

    assert why in page
    assert "It must carry" not in page

    said = {**STRIP, **sizes}
    kept = " x ".join(said[name] for name in ("span", "width", "depth"))
    assert f"Yes, as keyed: {kept}" in page
    again = ask(operator, 200, **sizes, kept=kept)
    assert "It must carry" in again
    assert why in again


def test_the_two_bands_are_told_apart(operator: Client) -> None:
    """One to either side, one to one side, each with what it is."""
    page = ask(operator)

    assert re.search(r"Band of this load [0-9.]+ lb to [0-9.]+ lb", page)
    assert re.search(r"Surely at the limit [0-9.]+ lb", page)
    assert "to one side only" in page


def test_a_decimal_comma_is_taken_where_it_can_be_nothing_else(operator: Client) -> None:
    """The same answer as with a point; what may part thousands is asked about."""
    point = ask(operator, span="10.0 in", width="4.0 in", limit="35.5 psi", carried="7.5 lb")
    comma = ask(operator, span="10,0 in", width="4,0 in", limit="35,5 psi", carried="7,5 lb")
    (must,) = re.findall(r"It must carry [0-9.]+ lb", point)
    assert must in comma
    assert "It carried" in comma
    asked = "'1,200' can be read in two ways: write it with a point and no comma"
    assert f"span: {asked}" in ask(operator, 422, span="1,200 mm")
    assert f"limit: {asked}" in ask(operator, 422, limit="1,200 psi")
    assert "can be read in two ways" in ask(operator, 422, depth="1.000,5 mm")
