"""What was proposed for one lot follows the lot that is scanned, and is seen before it is kept."""

from __future__ import annotations

import re

import pytest
from django.test import Client

from beadwright.interop import keyed
from beadwright.plant.access import Role, Who
from beadwright.plant.opening import open_plant
from beadwright.quality.readings import of_lots
from tests.plant.yard import Yard
from tests.web.conftest import CAST, SignIn
from tests.web.test_press import form_of

pytestmark = pytest.mark.django_db

BENCH = "/stations/bench/"


@pytest.fixture
def technician(yard: Yard, as_: SignIn) -> Client:
    """A technician's browser; L1 has a specimen, L2 none."""
    yard.mould("L2", at=21)
    person = CAST[Role.TECHNICIAN]
    texts = {"lot": "L1", "specimen": "L1-C3", "mass": "11.4", "length": "100", "width": "100",
             "height": "50"}  # fmt: skip
    units = {"mass": "g", "length": "mm", "width": "mm", "height": "mm"}
    form = keyed.read("P1", "specimens", texts, units=units, key="s-1", by=person)
    done = keyed.post("P1", form, Who(person, Role.TECHNICIAN))
    assert done.posted, done.refused
    return as_(Role.TECHNICIAN)


def stood(page: str) -> list[str]:
    """What a form says that it stood at."""
    return re.findall(r'name="stood" value="([^"]*)"', page)


def sent(browser: Client, status: int, **keyed_: str) -> str:
    """Send the form of the bench, filled as it came, with what is keyed."""
    page = browser.get(BENCH).content.decode()
    form = {**form_of(page), "stood": stood(page), "unit-mass": "g", **keyed_}
    headers = {"hx-request": "true"} if keyed_.get("do") == "live" else {}
    answer = browser.post(BENCH, form, headers=headers)
    assert answer.status_code == status, answer.content.decode()
    return answer.content.decode()


def test_a_specimen_follows_the_lot_as_it_is_scanned(technician: Client) -> None:
    """Only the field, and what the form says that it stood at."""
    page = technician.get(BENCH).content.decode()
    assert form_of(page)["specimen"] == "L1-C4"
    live = sent(technician, 200, lot="l2", do="live")
    assert 'id="field-specimen" hx-swap-oob="true"' in live
    assert 'value="L2-C1"' in live
    assert "specimen=L2-C1" in stood(live)
    assert "<form" not in live
    assert "Now proposed" not in sent(technician, 200, mass="11.4", do="live")


def test_without_a_script_it_is_shown_before_it_is_recorded(technician: Client) -> None:
    """Nothing is written until it was seen; what a person keyed is not replaced."""
    head = open_plant("P1").head
    page = sent(technician, 422, lot="L2", mass="11.4", do="post")
    assert "Look at it, then record." in page
    assert form_of(page)["specimen"] == "L2-C1"
    assert open_plant("P1").head == head
    filled = {**form_of(page), "stood": stood(page), "unit-mass": "g", "do": "post"}
    first = technician.post(BENCH, filled)
    assert first.status_code == 200
    again = technician.post(BENCH, filled).content.decode()
    assert "It was in the record already." in again
    assert keyed.usual("P1", "specimens", {"lot": "L2"}).texts["specimen"] == "L2-C2"
    own = sent(technician, 200, lot="L2", specimen="L2-Z9", mass="11.4", do="post")
    assert "L2-Z9" in own


RESULT = "/laboratory/result/"


def fusion(browser: Client, page: str, **keyed_: str) -> str:
    """Send the form of a broken face, filled as it came, with what is keyed."""
    form = {**form_of(page), "stood": stood(page), "figure-faces": "43/50", **keyed_}
    headers = {"hx-request": "true"} if keyed_.get("do") == "live" else {}
    return browser.post(RESULT, form, headers=headers).content.decode()


def broken(lot: str) -> list[str]:
    """Specimens with a broken face of a lot, as the record holds them."""
    found = of_lots(open_plant("P1").no, [lot]).get(lot, ())
    return [one.specimen for one in found if one.characteristic == "fusion"]


def test_no_specimen_is_proposed_before_its_lot_is_known(technician: Client) -> None:
    """Once it is, the next number of that lot; when another is keyed, it is asked for anew."""
    page = technician.get(f"{RESULT}?test=fusion&lot=L1").content.decode()
    first = fusion(technician, page, specimen="L1-B5", do="post")
    assert "is in the record" in first, first
    blank = technician.get(f"{RESULT}?test=fusion").content.decode()
    assert form_of(blank)["specimen"] == ""
    assert form_of(blank)["lot"] == ""
    early = fusion(technician, blank, lot="L1", do="live", **{"figure-faces": ""})
    assert "L1-B6" in early
    assert "No result is stated" not in early.partition('id="field-specimen"')[2]

    page = technician.get(f"{RESULT}?test=fusion&lot=L1").content.decode()
    assert form_of(page)["specimen"] == "L1-B6"
    live = fusion(technician, page, lot="L2", do="live")
    assert 'id="field-specimen" hx-swap-oob="true"' in live
    assert 'value="L2-B1"' in live
    emptied = fusion(technician, page, lot="", do="live")
    assert 'value="L1-B6"' not in emptied
    assert "to be keyed" in emptied
    unseen = fusion(technician, page, lot="L2", do="post")
    assert "Nothing is recorded yet." in unseen
    assert form_of(unseen)["specimen"] == "L2-B1"
    assert broken("L2") == []
    fusion(technician, unseen, do="post")
    assert broken("L2") == ["L2-B1"]


def test_another_lots_specimen_is_asked_about_and_not_recorded(technician: Client) -> None:
    """Whoever keyed it says so; an answer for another number is none."""
    page = technician.get(f"{RESULT}?test=fusion&lot=L2").content.decode()
    asked = fusion(technician, page, specimen="L1-B5", do="post")
    assert "It begins with the code of lot L1, and lot L2 is stated." in asked
    assert "Yes, as keyed: L1-B5" in asked
    assert broken("L2") == []
    other = fusion(technician, page, specimen="L1-B5", do="post", kept="specimen=L1-B6")
    assert "It begins with the code of lot L1" in other
    assert broken("L2") == []
    fusion(technician, page, specimen="L1-B5", do="post", kept="specimen=L1-B5")
    assert broken("L2") == ["L1-B5"]
