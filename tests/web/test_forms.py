"""What a form at a station asks, keeps and shows of what was keyed before."""

from __future__ import annotations

import re

import pytest
from django.test import Client

from beadwright.plant.access import Role
from beadwright.plant.opening import open_plant
from tests.plant.yard import Yard
from tests.web.conftest import SignIn

pytestmark = pytest.mark.django_db

RECEIVING = "/stations/receiving/"
BAG = {
    "kind": "bead_receipts", "bag": "B-90", "supplier": "a maker", "grade": "F1",
    "supplier_lot": "7-2", "mass": "1000", "unit-mass": "kg", "key": "bag-90",
}  # fmt: skip


@pytest.fixture
def operator(as_: SignIn) -> Client:
    """Give the browser of an operator."""
    return as_(Role.OPERATOR)


def tell(browser: Client, do: str, **changed: str) -> tuple[int, str]:
    """Send the form of a bag."""
    form = {**BAG, **({"do": do} if do else {}), **changed}
    answer = browser.post(RECEIVING, form)
    return answer.status_code, answer.content.decode()


def pressed(text: str, words: str) -> dict[str, str]:
    """What the page would send, filled as it is, by the button that begins with these words."""
    hidden = re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', text)
    found = dict(hidden)
    shown = re.findall(r'<input id="[^"]+" name="([^"]+)"[^>]*?value="([^"]*)"', text)
    found |= dict(shown)
    chosen = re.findall(r'<select name="([^"]+)".*?<option selected>([^<]*)', text)
    found |= dict(chosen)
    buttons = re.findall(r'<button type="submit" name="([^"]+)" value="([^"]*)"[^>]*>([^<]*)', text)
    (name, value), *_ = [(name, value) for name, value, said in buttons if said.startswith(words)]
    return {**found, name: value}


def usual(operator: Client, yard: Yard) -> None:
    """Receive a few bags, so that a mass is usual."""
    yard.set("grade", "F1", of="bead", flame_retardant="yes", colour="white", bead_class="C")
    for number in range(6):
        status, page = tell(operator, "post", bag=f"B-8{number}", key=f"bag-8{number}")
        assert status == 200, page


def test_yes_after_may_i_records_nothing(operator: Client, yard: Yard) -> None:
    """Whoever asked whether it may be, and then says that the number is right, still asks."""
    usual(operator, yard)
    status, page = tell(operator, "ask", mass="10000")
    assert status == 422
    assert "Yes, as keyed" in page
    head = open_plant("P1").head
    answer = operator.post(RECEIVING, pressed(page, "Yes, as keyed"))

    assert "Nothing is recorded yet" in answer.content.decode()
    assert open_plant("P1").head == head


def test_an_answer_holds_for_the_value_it_was_given_for(operator: Client, yard: Yard) -> None:
    """Another unusual number in the same field is asked about anew."""
    usual(operator, yard)
    _, page = tell(operator, "post", mass="10000")
    said = pressed(page, "Yes, as keyed")
    refused = operator.post(RECEIVING, {**said, "bag": ""}).content.decode()
    again = operator.post(RECEIVING, {**pressed(refused, "Record"), "bag": "B-90", "mass": "90000"})

    assert again.status_code == 422
    assert "Yes, as keyed: 90000" in again.content.decode()


def test_yes_records_what_was_to_be_recorded(operator: Client, yard: Yard) -> None:
    """Asked once, kept, and in the record."""
    usual(operator, yard)
    _, page = tell(operator, "post", mass="10000")
    answer = operator.post(RECEIVING, pressed(page, "Yes, as keyed"))

    assert "It is in the record." in answer.content.decode()


def test_what_is_keyed_is_asked_about_before_a_button_is_pressed(
    operator: Client, yard: Yard
) -> None:
    """A fragment says so; it records nothing, whatever it is sent with."""
    usual(operator, yard)
    head = open_plant("P1").head
    answer = operator.post(RECEIVING, {**BAG, "do": "post"}, headers={"HX-Request": "true"})
    half = operator.post(RECEIVING, {**BAG, "bag": ""}, headers={"HX-Request": "true"})

    assert answer.status_code == half.status_code == 200
    assert "Nothing forbids it" in answer.content.decode()
    assert "<html" not in answer.content.decode()
    # Nothing is said yet; an earlier question which lot a scan meant is taken away.
    assert re.sub(r"<[^>]*>", "", half.content.decode()).strip() == ""
    assert open_plant("P1").head == head


def test_the_last_entries_stand_beside_the_form(as_: SignIn, yard: Yard) -> None:
    """Newest first, ten of them; who may correct goes on to that, an operator looks at them."""
    operator, lead = as_(Role.OPERATOR), as_(Role.SHIFT_LEAD)
    usual(operator, yard)
    status, _ = tell(lead, "post")
    assert status == 200
    seen, told = (one.get(RECEIVING).content.decode() for one in (operator, lead))

    assert "The last 7" in told
    assert re.findall(r'class="says">(B-\d+|[^<]*B-\d+)', told)[0].endswith("B-90")
    way = re.findall(r"/entries/(\d+)/correct/", told)
    assert len(way) == 7
    assert lead.get(f"/entries/{way[0]}/correct/").status_code == 200
    assert "/correct/" not in seen
    assert len(re.findall(r'href="/entries/\d+/"', seen)) == 7


def test_an_entry_that_was_corrected_shows_as_it_stands(as_: SignIn, yard: Yard) -> None:
    """By its newest version."""
    lead = as_(Role.SHIFT_LEAD)
    usual(lead, yard)
    page = lead.get(RECEIVING).content.decode()
    way = re.findall(r"/entries/\d+/correct/", page)[0]
    form = pressed(lead.get(way).content.decode() + _BUTTON, "Record the correction")
    answer = lead.post(way, {**form, "unit-mass": "kg", "mass": "990", "reason": "misread"})

    assert "It is in the record" in answer.content.decode()
    assert "990 kg" in lead.get(RECEIVING).content.decode()


_BUTTON = '<button type="submit" name="x" value="x">Record the correction'


def test_a_unit_is_a_persons_to_choose(operator: Client, yard: Yard) -> None:
    """Pounds are read as pounds, and come back as such with a refused form."""
    usual(operator, yard)
    page = operator.get(RECEIVING).content.decode()
    assert re.search(r'<select name="unit-mass"[^>]*>.*<option selected>', page)
    status, back = tell(operator, "post", mass="2200", bag="", **{"unit-mass": "lb"})
    assert status == 422
    assert "<option selected>lb" in back
    status, done = tell(operator, "post", mass="2200", **{"unit-mass": "lb"})
    assert status == 200, done
    assert "Numbers take a point" in page


def test_a_silo_is_told_at_a_station_of_its_own(operator: Client, yard: Yard) -> None:
    """Beads are moved from one to another; more than there is, is told before."""
    yard.set("grade", "F1", of="bead", flame_retardant="yes", colour="white", bead_class="C")
    yard.bag("B-7", at=30)
    yard.expand("B-7", "S1", kg=400, at=32)
    form = {"what": "transfer", "from": "S1", "to": "S2", "mass": "50", "unit-mass": "kg",
            "key": "move-1", "kind": "silo_moves"}  # fmt: skip
    answer = operator.post("/stations/silos/", {**form, "do": "post"})

    assert answer.status_code == 200, answer.content.decode()
    assert "S2 holds 110.2 lb" in answer.content.decode()

    more = {**form, "mass": "2000", "key": "move-2"}
    asked = operator.post("/stations/silos/", {**more, "do": "ask"}).content.decode()
    assert re.search(r"S1 held 1521\.\d\d lb by the books; this step drew 4409\.25 lb", asked)
    done = operator.post("/stations/silos/", {**more, "do": "happened"}).content.decode()
    assert "this step drew 4409.25 lb" in done
    operator.post("/choices/", {"units": "si", "light": "auto"})
    in_kg = operator.post("/stations/silos/", {**more, "key": "move-3", "do": "ask"})
    assert "by the books; this step drew 2000.00 kg" in in_kg.content.decode()


def test_an_answer_in_a_correction_holds_for_its_value(as_: SignIn, yard: Yard) -> None:
    """As at a station: another unusual number is asked about anew."""
    lead = as_(Role.SHIFT_LEAD)
    usual(lead, yard)
    way = re.findall(r"/entries/\d+/correct/", lead.get(RECEIVING).content.decode())[0]
    form = pressed(lead.get(way).content.decode() + _BUTTON, "Record the correction")
    form |= {"unit-mass": "kg", "reason": "misread"}
    asked = lead.post(way, {**form, "mass": "10000"}).content.decode()
    said = pressed(asked, "Yes, as keyed")
    other = lead.post(way, {**said, "mass": "90000"})
    taken = lead.post(way, said)

    assert other.status_code == 422
    assert "Yes, as keyed: 90000" in other.content.decode()
    assert taken.status_code == 200, taken.content.decode()
