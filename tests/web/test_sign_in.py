"""Signing in and out, and what a browser is told besides."""

from __future__ import annotations

import re

import pytest
from django.test import Client

from beadwright.plant import accounts
from beadwright.plant.access import Role
from beadwright.plant.opening import open_plant
from beadwright.web.inside import inside
from beadwright.web.sign_in.slowed import Slow
from tests.plant.yard import Yard
from tests.web.conftest import CAST, CODE, SignIn

pytestmark = pytest.mark.django_db


def test_one_is_sent_on_to_where_one_was_going(as_: SignIn) -> None:
    """And never to another host."""
    browser = as_(None)
    asked = browser.get("/parts/")
    assert asked.headers["Location"] == "/in/?to=%2Fparts%2F"
    words = {"named": CAST[Role.ENGINEER], "code": CODE, "to": "/parts/"}
    assert browser.post("/in/", words).headers["Location"] == "/parts/"
    assert browser.post("/in/", {**words, "to": "//elsewhere/"}).headers["Location"] == "/"


@pytest.mark.parametrize("to", ["//x", "https://x/", "/\\x", "javascript:x", "x", ""])
def test_only_a_path_of_ours_is_inside(to: str) -> None:
    """Everything else is the first page."""
    assert inside(to) == "/"


def test_a_wrong_code_is_said_and_what_was_keyed_stays(as_: SignIn) -> None:
    """The code does not."""
    answer = as_(None).post("/in/", {"named": "24", "code": "tin kettle"})

    assert answer.status_code == 422
    assert b'value="24"' in answer.content
    assert b"tin kettle" not in answer.content


def test_a_new_code_and_a_closed_account_are_out_at_once(as_: SignIn) -> None:
    """Though their cookie still stands."""
    browser = as_(Role.ENGINEER)
    assert browser.get("/parts/").status_code == 200
    accounts.give(open_plant("P1"), CAST[Role.ENGINEER], "another kettle")
    assert browser.get("/parts/").status_code == 302
    browser = as_(Role.AUDITOR)
    accounts.close(open_plant("P1"), CAST[Role.AUDITOR])
    assert browser.get("/parts/").status_code == 302


def test_one_is_out_after_signing_out_or_letting_another_in(as_: SignIn) -> None:
    """By a button; an address alone signs nobody out."""
    for to in ("/out/", "/who/"):
        browser = as_(Role.OPERATOR)
        browser.get(to)
        assert browser.get("/parts/").status_code == 200
        browser.post(to)
        assert browser.get("/parts/").status_code == 302


def test_ten_wrong_codes_make_one_wait() -> None:
    """Of one name; another may go on, and after ten minutes it is tried again."""
    now = [0.0]
    slow = Slow(clock=lambda: now[0])
    for _ in range(10):
        assert slow.wait("EI") == 0
        slow.wrong("ei ")
    assert slow.wait("EI") == 601
    assert slow.wait("OB") == 0
    now[0] = 601
    assert slow.wait("EI") == 0


def test_a_form_from_elsewhere_is_refused(as_: SignIn) -> None:
    """Without the token of our own page nothing is taken."""
    _ = as_(None)
    strict = Client(enforce_csrf_checks=True)

    assert strict.post("/in/", {"named": "24", "code": CODE}).status_code == 403


def test_a_page_runs_and_fetches_nothing_but_ours(as_: SignIn) -> None:
    """No script or style stands in a page, and none may come from elsewhere."""
    answer = as_(Role.ENGINEER).get("/parts/")
    text = answer.content.decode()

    assert "script-src 'self'" in answer.headers["Content-Security-Policy"]
    assert answer.headers["Cache-Control"] == "no-store"
    assert "<style" not in text
    assert " style=" not in text
    assert "//" not in text.replace("http://www.w3.org/2000/svg", "")


def test_choices_are_kept(as_: SignIn) -> None:
    """In a cookie; an odd one is the first of each."""
    browser = as_(Role.ENGINEER)
    browser.post("/choices/", {"units": "si", "light": "dark"})
    assert b'data-light="dark"' in browser.get("/parts/").content
    browser.cookies["beadwright-choices"] = "furlong.neon"
    assert b'data-light="auto"' in browser.get("/parts/").content


def test_whoever_is_not_signed_in_is_told_nothing_of_the_record(as_: SignIn) -> None:
    """How far it goes, and its head, are for those who may ask of it."""
    assert b"record</a> to entry" not in as_(None).get("/in/").content
    assert b"record</a> to entry" in as_(Role.AUDITOR).get("/").content


def test_a_demonstration_offers_those_first_who_may_do_most(as_: SignIn, yard: Yard) -> None:
    """A stranger begins as an engineer; a real plant offers nobody."""
    assert "be anybody" not in as_(None).get("/in/").content.decode()
    yard.set("plant", "P1", name="Yard", zone="America/Chicago", invented=True)
    page = as_(None).get("/in/").content.decode()
    roles = re.findall(r'<button class="choice"><b>([^<]*)</b>', page)

    order = ["engineer", "shift lead", "technician", "operator", "auditor", "machine"]
    assert [*dict.fromkeys(roles)] == order


def test_whoever_has_left_is_shown_no_more(as_: SignIn) -> None:
    """On the page where the next person signs in: no name, and no pages that they may see."""
    browser = as_(Role.OPERATOR)
    assert "Somebody 20" in browser.get("/stations/").content.decode()
    left = browser.post("/who/").content.decode()

    assert "Somebody 20" not in left
    assert 'href="/stations/"' not in left
