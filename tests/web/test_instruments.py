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
    # 21.89 kg/m3 times 0.0624280, as NIST SP 811 has the pound and the foot.
    assert "without the error 1.3665 lb/ft³, not met" in page
    browser.post("/choices/", {"units": "si", "light": "auto"})
    page = words(browser.get(there).content.decode())
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
    page = words(as_(Role.ENGINEER).get("/instruments/BAL-2/").content.decode())
    assert "On hold already: H-01 (all of them)." in page
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


def test_a_calibration_is_entered_on_its_page(yard: Yard, as_: SignIn) -> None:
    """Once, by the engineer, with what it was found and left with; the register shows all of it."""
    plant(yard)
    said = {"done": "2026-09-20", "result": "pass", "certificate": "C-31", "due": "2027-03-01",
            "as_found": "+4 g", "as_left": "+0.2 g", "key": "form-1"}  # fmt: skip
    browser = as_(Role.ENGINEER)
    for _ in range(2):
        answer = browser.post("/instruments/BAL-2/calibration/", said)
        assert answer["Location"] == "/instruments/BAL-2/"
    page = words(browser.get("/instruments/BAL-2/").content.decode())
    listed = words(browser.get("/instruments/").content.decode())

    assert page.count("C-31") == 2  # in the look back that the error leads to, and in the table
    assert "2026-09-20 passed +4 g +0.2 g C-31 2027-03-01" in page
    assert "BAL-2 calibrated found wrong once 2027-03-01 2026-09-20 every 365 days" in listed
    assert "C-31 +4 g, +0.2 g balance" in listed
    assert as_(Role.TECHNICIAN).post("/instruments/BAL-2/calibration/", said).status_code == 403


def test_what_cannot_be_meant_of_a_calibration_is_said(yard: Yard, as_: SignIn) -> None:
    """An error without its sign, no result, a day to come; one of the same day is asked about."""
    plant(yard)
    browser = as_(Role.ENGINEER)
    bad = {"done": "2026-09-20", "certificate": "C-31", "as_found": "4 g", "key": "form-1"}
    answer = browser.post("/instruments/BAL-2/calibration/", bad)
    told = words(answer.content.decode())
    same = {"done": "2026-09-02", "result": "fail", "certificate": "C-2", "key": "form-2"}
    asked = browser.post("/instruments/BAL-2/calibration/", same)

    assert answer.status_code == 422
    assert "has no sign" in told
    assert "result" in told
    assert 'value="C-31"' in answer.content.decode()
    assert asked.status_code == 422
    assert "the newer counts" in words(asked.content.decode())
    assert browser.post("/instruments/BAL-2/calibration/", same | {"keep": "1"}).status_code == 302
    assert "failed" in words(browser.get("/instruments/BAL-2/").content.decode())


def test_an_error_beyond_all_that_was_read_is_asked_about(wrong: Yard, as_: SignIn) -> None:
    """Kilograms keyed for grams; kept all the same, or tried, it leaves nothing of what was read.

    The page stands, so that the calibration can be entered again.
    """
    assert wrong.no
    browser = as_(Role.ENGINEER)
    said = {
        "done": "2026-09-21", "result": "fail", "certificate": "", "due": "",
        "as_found": "+20 kg", "as_left": "", "key": "k9",
    }  # fmt: skip
    asked = browser.post("/instruments/BAL-2/calibration/", said)
    assert asked.status_code == 422
    assert "is more than half of the largest block mass 24h" in words(asked.content.decode())

    assert browser.post("/instruments/BAL-2/calibration/", said | {"keep": "1"}).status_code == 302
    page = browser.get("/instruments/BAL-2/")
    assert page.status_code == 200
    assert "1 lot would not have passed" in words(page.content.decode())
    assert browser.get("/instruments/BAL-2/", {"error": "+30 kg"}).status_code == 200


def test_an_error_in_a_unit_of_nothing_that_was_read_is_asked_about(
    wrong: Yard, as_: SignIn
) -> None:
    """A balance found with an error in millimetres: the note would be of nothing it weighed."""
    assert wrong.no
    said = {
        "done": "2026-09-21", "result": "fail", "certificate": "", "due": "",
        "as_found": "+20 mm", "as_left": "", "key": "k9",
    }  # fmt: skip
    asked = as_(Role.ENGINEER).post("/instruments/BAL-2/calibration/", said)

    assert asked.status_code == 422
    assert "says nothing of what it read (block mass 24h)" in words(asked.content.decode())


def test_an_overdue_instrument_is_marked(yard: Yard, as_: SignIn) -> None:
    """With how long it is past."""
    plant(yard)
    body = {"done": "2026-08-01", "result": "pass", "certificate": "C-1", "due": "2026-08-20"}
    yard.set("instrument", "RULE-1", what="rule", every="20 days")
    decide(yard, "calibration", "RULE-1", body)
    listed = words(as_(Role.AUDITOR).get("/instruments/").content.decode())

    row = r"RULE-1 lapsed 2026-08-20 \d+ days overdue 2026-08-01 every 20 days C-1 – rule"
    assert re.search(row, listed)


def test_every_reading_and_calibration_leads_to_its_entry(wrong: Yard, as_: SignIn) -> None:
    """On the instrument's page and part by part; a calibration says until when it holds."""
    assert wrong.no
    browser = as_(Role.AUDITOR)
    shown = browser.get("/instruments/BAL-2/").content.decode()
    rows = re.findall(r'href="/entries/(\d+)/"', shown)
    page = browser.get("/instruments/BAL-2/readings/").content.decode()

    assert "2026-09-02 passed not stated not stated C-2 2027-09-02 P-13" in words(shown)
    assert len(rows) == 2 + 3
    for seq in rows:
        assert browser.get(f"/entries/{seq}/").status_code == 200
    assert words(page).count("block mass 24h") == 3
    assert "when a calibration (C-2) found it right" in words(page)
    assert "That is the first of them" in words(page)
    older = browser.get("/instruments/BAL-2/readings/?before=1.1.1").content.decode()
    assert "It read nothing in that time" in words(older)
    odd = browser.get("/instruments/BAL-2/readings/?before=x.1.1").content.decode()
    assert words(odd).count("block mass 24h") == 3
