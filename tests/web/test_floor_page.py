"""The floor as a page: what is held and why comes first, the drawing leads on, and it lives."""

from __future__ import annotations

import re

import pytest
from django.test import Client

from beadwright.plant.access import Role
from tests.plant.yard import Yard
from tests.web.conftest import SignIn

pytestmark = pytest.mark.django_db


def page_of(browser: Client, address: str = "/") -> str:
    """Ask for the floor."""
    answer = browser.get(address)
    assert answer.status_code == 200
    return answer.content.decode()


def seen(page: str) -> str:
    """Give the address that the page asks next."""
    found = re.search(r'hx-get="([^"]+)"', page)
    assert found
    return found[1]


def test_nothing_held_is_said(as_: SignIn) -> None:
    """A person three metres away need not wonder."""
    page = page_of(as_(Role.OPERATOR))

    assert "Nothing is held" in page
    assert "Silo: Never enter without a confined-space permit." in page


def test_a_hold_stands_above_the_drawing_with_its_reason(as_: SignIn, yard: Yard) -> None:
    """With what it reaches, and a way to it."""
    yard.hold("H-7", "S1", at=75, reason="smell of fuel")
    page = page_of(as_(Role.OPERATOR))

    assert page.index("smell of fuel") < page.index("<svg")
    assert re.search(r'<a href="/holds/H-7/">H-7</a> smell of fuel', page)
    assert "Nothing is held" not in page


def test_a_nonconformity_that_holds_a_lot_is_told_once(as_: SignIn, yard: Yard) -> None:
    """Beads of S2 were moulded an hour after they were filled."""
    yard.expand("B-1", "S2", 100, at=30)
    yard.mould("L9", "S2", good=10, at=31)
    page = page_of(as_(Role.ENGINEER))

    held = page[page.index('class="held-now') : page.index("<svg")]
    assert '<a href="/lots/L9/">L9</a>' in held
    assert "signed for at least 8 h" in held
    assert '1 nonconformity open: <a href="/holds/">what is held</a>' in page


def test_what_holds_a_lot_by_a_persons_hold_is_told_by_the_hold(as_: SignIn, yard: Yard) -> None:
    """The lots it reaches are not told again, each with a reason of its own."""
    yard.hold("H-7", "S1", at=1, reason="smell of fuel")
    page = page_of(as_(Role.ENGINEER))

    held = page[page.index('class="held-now') : page.index("<svg")]
    assert held.count("<li>") == 1
    assert "1 block lot" in held
    assert "on S1: " in held
    assert '1 hold to look into or lift: <a href="/holds/H-7/">H-7</a>' in page


def test_the_drawing_is_there_for_both_screens_and_in_words(as_: SignIn) -> None:
    """Each with ids of its own, and the words once more for whoever opens them."""
    page = page_of(as_(Role.OPERATOR))
    ids = re.findall(r' id="([^"]+)"', page)

    assert "floor-wide-title" in ids
    assert "floor-tall-title" in ids
    assert len(ids) == len(set(ids))
    assert "The drawing in words" in page
    assert page.count("Silos and hoppers: S1") >= 3


def test_the_drawing_leads_to_pages_that_are_there(as_: SignIn) -> None:
    """A way to a page that is not served is no way."""
    browser = as_(Role.ENGINEER)
    ways = set(re.findall(r'<a [^>]*href="(/[^"#]*)', page_of(browser)))

    assert "/silos/" in ways
    for way in ways - {"/out/"}:
        assert browser.get(way).status_code in {200, 302, 403}, way


def test_a_page_that_was_seen_is_not_sent_again(as_: SignIn, yard: Yard) -> None:
    """Something new is, and only the part that lives."""
    browser = as_(Role.OPERATOR)
    address = seen(page_of(browser))

    assert browser.get(address).status_code == 204
    yard.hold("H-7", "S1", at=75, reason="smell of fuel")
    fresh = page_of(browser, address)
    assert "<html" not in fresh
    assert "smell of fuel" in fresh
    assert seen(fresh) != address


def test_masses_stand_in_the_units_that_a_person_chose(as_: SignIn) -> None:
    """600 kg of bag B-1 are 1323 lb."""
    browser = as_(Role.OPERATOR)
    assert "1323 lb" in page_of(browser)
    browser.post("/choices/", {"units": "si", "light": "auto"})

    page = page_of(browser)
    assert "600 kg" in page
    assert "1323 lb" not in page


def test_nobody_is_led_to_a_page_that_is_not_for_them(as_: SignIn, yard: Yard) -> None:
    """A technician to no pre-expander; who comes all the same is told for whom it is."""
    yard.set("place", "E1", kind="expander")
    assert 'href="/stations/pre-expander/E1/"' in page_of(as_(Role.OPERATOR))
    browser = as_(Role.TECHNICIAN)
    assert 'href="/stations/pre-expander/E1/"' not in page_of(browser)
    answer = browser.get("/stations/pre-expander/E1/")
    assert answer.status_code == 403
    said = answer.content.decode()
    assert "not for the role technician; it is for: operator, shift lead, engineer" in said
