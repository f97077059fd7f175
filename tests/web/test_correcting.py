"""An entry corrected in place: its form filled, a reason asked for, both versions kept."""

from __future__ import annotations

import re

import pytest

from beadwright.interop import keyed
from beadwright.ledger import lots
from beadwright.plant.access import Role, Who
from beadwright.plant.history import entry
from beadwright.plant.opening import open_plant
from tests.plant.yard import Yard
from tests.web.conftest import CAST, SignIn

pytestmark = pytest.mark.django_db

LEAD = CAST[Role.SHIFT_LEAD]


@pytest.fixture
def seq(yard: Yard) -> int:
    """A bundle of 12 pieces, keyed by form; 10 were meant."""
    texts = {"at": "2026-09-03 08:00", "bundle": "BU-1", "lot": "L1", "pieces": "12"}
    form = keyed.read("P1", "bundles", texts, units={}, key="bundle-1", by=LEAD)
    done = keyed.post("P1", form, Who(LEAD, Role.SHIFT_LEAD))
    assert done.posted, done.refused
    assert yard.no == 1
    return done.entries[0]


def sent(text: str) -> dict[str, str]:
    """What a form would send, as it stands."""
    found = re.findall(r'<input[^>]*name="([^"]+)"[^>]*value="([^"]*)"', text)
    return {name: value for name, value in found if name != "csrfmiddlewaretoken"}


def test_it_is_filled_as_it_was_keyed_and_restated(seq: int, as_: SignIn) -> None:
    """The books follow; the entry says by which it was corrected, and the other says what."""
    browser = as_(Role.SHIFT_LEAD)
    form = sent(browser.get(f"/entries/{seq}/correct/").content.decode())
    assert (form["pieces"], form["bundle"]) == ("12", "BU-1")
    answer = browser.post(
        f"/entries/{seq}/correct/", {**form, "pieces": "10", "reason": "counted twice"}
    )
    bundle = lots.get(1, "BU-1")

    assert answer.status_code == 200, answer.content.decode()
    assert bundle is not None
    assert bundle.pieces == 10
    told = entry(open_plant("P1"), str(seq))
    assert told.entered.seq == seq
    shown = browser.get(f"/entries/{seq}/").content.decode()
    assert "Restated" in shown


def test_without_a_reason_or_a_change_nothing_is_written(seq: int, as_: SignIn) -> None:
    """It comes back filled, and says what is missing."""
    browser = as_(Role.SHIFT_LEAD)
    form = sent(browser.get(f"/entries/{seq}/correct/").content.decode())
    head = open_plant("P1").head
    silent = browser.post(f"/entries/{seq}/correct/", {**form, "pieces": "10", "reason": ""})
    same = browser.post(f"/entries/{seq}/correct/", {**form, "reason": "no reason"})
    odd = browser.post(f"/entries/{seq}/correct/", {**form, "pieces": "ten", "reason": "x"})

    assert [one.status_code for one in (silent, same, odd)] == [422, 422, 422]
    assert b'value="10"' in silent.content
    assert b'value="ten"' in odd.content
    assert open_plant("P1").head == head


def test_sent_twice_it_is_one_correction(seq: int, as_: SignIn) -> None:
    """The form carries its key."""
    browser = as_(Role.SHIFT_LEAD)
    form = sent(browser.get(f"/entries/{seq}/correct/").content.decode())
    said = {**form, "pieces": "10", "reason": "counted twice"}
    heads = []
    for _ in range(2):
        assert browser.post(f"/entries/{seq}/correct/", said).status_code == 200
        heads.append(open_plant("P1").head)

    assert heads[0] == heads[1]


def test_who_may_not_correct_is_offered_no_form(seq: int, as_: SignIn) -> None:
    """A shift lead and an engineer may; a setting has no form at all."""
    for role in (Role.OPERATOR, Role.TECHNICIAN, Role.AUDITOR):
        assert as_(role).get(f"/entries/{seq}/correct/").status_code == 403
    assert as_(Role.ENGINEER).get("/entries/1/correct/").status_code == 404


def test_whoever_takes_readings_out_corrects_them_in_place(yard: Yard, as_: SignIn) -> None:
    """A technician voids a reading and states it anew by the same form; a shift lead does not."""
    assert yard.no == 1
    person = CAST[Role.TECHNICIAN]
    texts = {"lot": "L1", "specimen": "1", "mass": "12", "length": "50", "width": "50",
             "height": "50"}  # fmt: skip
    units = {"mass": "g", "length": "mm", "width": "mm", "height": "mm"}
    form = keyed.read("P1", "specimens", texts, units=units, key="s-1", by=person)
    done = keyed.post("P1", form, Who(person, Role.TECHNICIAN))
    assert done.posted, done.refused
    to = f"/entries/{done.entries[0]}/correct/"
    browser = as_(Role.TECHNICIAN)
    filled = sent(browser.get(to).content.decode())
    answer = browser.post(to, {**filled, "mass": "2.9", "reason": "tare left on"})

    assert as_(Role.SHIFT_LEAD).get(to).status_code == 403
    assert answer.status_code == 200, answer.content.decode()
    assert keyed.again("P1", "specimens/s-1").texts["mass"] == "2.9"
    assert "Voided" in browser.get(f"/entries/{done.entries[0]}/").content.decode()


@pytest.mark.parametrize(
    ("came", "to", "words"),
    [
        ("http://testserver/stations/bundling/", "/stations/bundling/", "Bundling"),
        ("http://testserver/lots/L1/", "/lots/L1/", "Lot L1"),
        ("http://testserver/stations/inspection/?lot=L1&amp;do=look",
         "/stations/inspection/?lot=L1", "Inspection, L1"),
        ("http://testserver/stations/press/FP1/?do=count", "/stations/press/FP1/", "Press FP1"),
        ("", "/stations/bundling/?kind=bundles", "Bundling"),
        ("http://elsewhere/stations/press/FP1/", "/stations/bundling/?kind=bundles", "Bundling"),
        ("http://testserver//elsewhere/lots/L1/", "/stations/bundling/?kind=bundles", "Bundling"),
    ],
)  # fmt: skip
def test_it_leads_back_to_where_somebody_came_from(
    came: str, to: str, words: str, seq: int, as_: SignIn
) -> None:
    """To the station or the lot, else to the station of the form; never to another site."""
    browser = as_(Role.SHIFT_LEAD)
    headers = {"referer": came.replace("&amp;", "&")} if came else {}
    page = browser.get(f"/entries/{seq}/correct/", headers=headers).content.decode()
    assert f'<a class="way" href="{to}">Back to {words}</a>' in page
    form = {**sent(page), "pieces": "10", "reason": "counted twice"}
    done = browser.post(f"/entries/{seq}/correct/", form).content.decode()
    assert f'<a class="act" href="{to}"><b>Back to {words}</b></a>' in done
    assert browser.get(to).status_code == 200


def test_a_way_back_that_was_made_up_is_not_taken(seq: int, as_: SignIn) -> None:
    """A form is sent by anybody: what is no page of a station or a lot leads to the station."""
    browser = as_(Role.SHIFT_LEAD)
    form = sent(browser.get(f"/entries/{seq}/correct/").content.decode())
    for made_up in ("https://elsewhere/", "//elsewhere/lots/L1/", "/out/", "/stations/nowhere/"):
        said = {**form, "back": made_up, "pieces": "10", "reason": ""}
        page = browser.post(f"/entries/{seq}/correct/", said).content.decode()
        assert 'href="/stations/bundling/?kind=bundles">Back to Bundling' in page
