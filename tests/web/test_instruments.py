"""Instruments on their pages: how each stands, what one had read, and a hold a click further."""

from __future__ import annotations

import re

import pytest

from beadwright.plant.access import Role
from beadwright.plant.held import holds_of
from tests.plant.planning import decide
from tests.plant.test_look_back import plant, weighed
from tests.plant.yard import Yard
from tests.web.conftest import SignIn

pytestmark = pytest.mark.django_db


@pytest.fixture
def wrong(yard: Yard) -> Yard:
    """A plant of which one lot passed by the error of a balance alone."""
    plant(yard)
    weighed(yard, "L2", 22.2, 3)
    body = {"done": "2026-09-20", "result": "fail", "as_found": "+20 g"}
    decide(yard, "calibration", "BAL-2", body)
    return yard


def words(html: str) -> str:
    """A page's text in one line."""
    return " ".join(re.sub(r"<[^>]*>", " ", html).split())


def test_the_list_leads_to_the_instrument_found_wrong(wrong: Yard, as_: SignIn) -> None:
    """With its state; the page says what it had read, and which lot would not have passed."""
    assert wrong.no
    browser = as_(Role.ENGINEER)
    shown = browser.get("/instruments/").content.decode()
    (there,) = re.findall(r'<th scope="row"><a href="([^"]+)">BAL-2</a>', shown)
    page = words(browser.get(there).content.decode())

    assert "failed found wrong once" in words(shown)
    assert "BAL-2's calibration of 2026-09-20 failed, found with an error of +20 g" in page.replace(
        "&#x27;", "'"
    )
    assert "1 lot would not have passed" in page
    assert "without the error 21.89 kg/m3, not met" in page


def test_an_error_can_be_tried(wrong: Yard, as_: SignIn) -> None:
    """One that changes nothing says so; one that cannot be read says what it must be."""
    assert wrong.no
    browser = as_(Role.TECHNICIAN)
    fine = words(browser.get("/instruments/BAL-2/", {"error": "-1 g"}).content.decode())
    bad = words(browser.get("/instruments/BAL-2/", {"error": "20 g"}).content.decode())

    assert "1 lot unchanged" in fine
    assert "on hold" not in fine
    assert "has no sign" in bad


def test_the_lots_are_put_on_one_hold(wrong: Yard, as_: SignIn) -> None:
    """Twice the same key holds once; who may not is told so."""
    said = {"reason": "BAL-2 was off", "key": "k1", "error": ""}
    for _ in range(2):
        answer = as_(Role.ENGINEER).post("/instruments/BAL-2/hold/", said)
        assert answer.status_code == 302
        assert answer["Location"] == "/holds/H-01/"

    (hold,) = holds_of(wrong.no)
    assert (hold.named, hold.reason) == (("L2",), "BAL-2 was off")
    assert as_(Role.AUDITOR).post("/instruments/BAL-2/hold/", said).status_code == 403


def test_nothing_is_looked_back_on_where_nothing_was_wrong(yard: Yard, as_: SignIn) -> None:
    """The page says that an error can be tried; an instrument that is not listed has no page."""
    plant(yard)
    weighed(yard, "L2", 22.2, 3)
    browser = as_(Role.ENGINEER)

    assert "An error can be tried" in words(browser.get("/instruments/BAL-2/").content.decode())
    assert browser.get("/instruments/BAL-9/").status_code == 404


def test_an_instrument_found_right_is_not_called_wrong(yard: Yard, as_: SignIn) -> None:
    """One that passed with an error of nothing was right: neither list nor page says otherwise."""
    plant(yard)
    body = {"done": "2026-09-20", "result": "pass", "certificate": "C-9", "as_found": "+0 g"}
    decide(yard, "calibration", "BAL-2", body)
    browser = as_(Role.ENGINEER)
    shown = words(browser.get("/instruments/").content.decode())
    page = words(browser.get("/instruments/BAL-2/").content.decode())

    assert "found wrong once" not in shown
    assert "No calibration of it failed or states an error as found" in page
