"""Stations: a form with what is likely, asked first, posted once, refused in words."""

from __future__ import annotations

import re

import pytest
from django.test import Client

from beadwright.ledger import lots
from beadwright.plant import moment
from beadwright.plant.access import Role
from tests.plant.yard import FORM, Yard, ms
from tests.web.conftest import SignIn

pytestmark = pytest.mark.django_db

BUNDLES = "/stations/bundling/"
BUNDLE = {"bundle": "BN-1", "lot": "L1", "pieces": "2", "key": "form-1", "kind": "bundles"}


@pytest.fixture
def operator(as_: SignIn) -> Client:
    """Give the browser of an operator."""
    return as_(Role.OPERATOR)


def tell(browser: Client, do: str, status: int = 200, **changed: str) -> str:
    """Send the form of a bundle."""
    answer = browser.post(BUNDLES, {**BUNDLE, "do": do, **changed})
    assert answer.status_code == status, answer.content.decode()
    return answer.content.decode()


def entries(page: str) -> list[str]:
    """Numbers of the entries that a page says it made."""
    return re.findall(r"/entries/(\d+)/", page)


def test_stations_of_a_role_come_first(as_: SignIn) -> None:
    """An operator keys at bundling and not at dispatch; an auditor keys nowhere."""
    told = as_(Role.OPERATOR).get("/stations/").content.decode()
    seen = as_(Role.AUDITOR).get("/stations/").content.decode()

    assert 'href="/stations/bundling/"' in told
    assert 'href="/stations/dispatch/"' not in told
    assert "Your role keys nothing" in seen


def test_asking_records_nothing(operator: Client) -> None:
    """What may be is said; the bundle is no lot of the record."""
    page = tell(operator, "ask")

    assert "Nothing is recorded yet" in page
    assert operator.get("/lots/BN-1/").status_code == 404


def test_a_form_sent_twice_posts_once(operator: Client) -> None:
    """The second time says so, and names the same entry."""
    first, second = tell(operator, "post"), tell(operator, "post")

    assert "It is in the record." in first
    assert "BN-1 holds 2 pieces" in first
    assert "It was in the record already." in second
    assert entries(first) == entries(second) != []
    assert operator.get("/lots/BN-1/").status_code == 200


def test_a_lot_whose_pieces_were_packed_is_not_called_empty(yard: Yard, operator: Client) -> None:
    """It says in what they are now, and how many were shipped."""
    assert "L1 holds 38 pieces loose, 2 in BN-1." in tell(operator, "post")
    yard.bundle("BN-2", "L1", 8, at=51)
    yard.ship("SH-1", "BN-2", 8, at=52)
    told = tell(operator, "post", bundle="BN-3", pieces="30", key="form-2")
    assert "L1 holds no pieces loose, 32 in BN-1, BN-3, 8 shipped." in told


def test_a_refused_form_comes_back_filled(operator: Client) -> None:
    """A lot that nobody knows is told at its field; nothing that was keyed is lost."""
    page = tell(operator, "post", 422, lot="NO-SUCH")

    assert 'value="NO-SUCH"' in page
    assert 'value="BN-1"' in page
    assert 'value="form-1"' in page
    assert "may_not" in page or "aria-invalid" in page
    assert operator.get("/lots/BN-1/").status_code == 404


def test_a_bundle_takes_and_is_offered_lots_of_its_product_only(
    operator: Client, yard: Yard
) -> None:
    """What is of another product is refused at its field, asked or recorded as happened."""
    yard.set("product", "FB8", FORM)
    yard.set("approved", "FB8", revision="R1", grades=["F1", "T6"])
    yard.mould("L8", product="FB8", at=21)
    fresh = operator.get(BUNDLES).content.decode()
    tell(operator, "post")
    page = operator.get(BUNDLES, {"bundle": "BN-1"}).content.decode()

    assert '<option value="L8"' in fresh
    assert '<option value="L1"' in page
    assert '<option value="L8"' not in page
    for do in ("ask", "post", "happened"):
        told = tell(operator, do, 422, lot="L8", key="form-2")
        assert "BN-1 is of FB6" in told
        assert "lot L8 is of FB8" in told
        assert '<option value="L8"' not in told
    seen = lots.get(yard.no, "BN-1")
    assert seen is not None
    assert seen.pieces == 2


def test_what_is_forbidden_is_told_and_can_be_recorded_as_happened(
    operator: Client, yard: Yard
) -> None:
    """More blocks than the lot has: refused as planned, recorded with its nonconformity."""
    assert yard is not None
    page = tell(operator, "post", 422, pieces="500", kept="pieces=500")
    assert "It has happened already: record it" in page

    done = tell(operator, "happened", pieces="500", kept="pieces=500")
    assert "It is in the record." in done
    assert "until an engineer closes the nonconformity" in done


def test_a_role_is_turned_away_from_anothers_station(operator: Client) -> None:
    """Dispatch is no operator's, asked for or sent."""
    assert operator.get("/stations/dispatch/").status_code == 403
    assert operator.post("/stations/dispatch/", {"kind": "shipments"}).status_code == 403


def test_each_press_has_a_station_of_its_own(operator: Client) -> None:
    """It knows its press; a place that is none is refused in words."""
    assert 'href="/stations/press/FP1/"' in operator.get("/stations/").content.decode()
    page = operator.get("/stations/press/FP1/?kind=mould_open")
    other = operator.get("/stations/press/S1/")

    assert page.status_code == 200
    assert re.search(r'name="press"[^>]*value="FP1"', page.content.decode())
    assert other.status_code == 422
    assert "S1 is no press of this plant: there are FP1" in other.content.decode()


def test_an_invented_plants_form_keeps_its_time_however_often_it_is_sent(
    yard: Yard, operator: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Its time goes on between; what was sent a second time is still the same form."""
    yard.set("plant", "P1", name="Yard", zone="America/Chicago", invented=True, since=1)
    monkeypatch.setattr(moment, "now_ms", lambda: ms(1440) + 60_000)
    assert "It is in the record." in tell(operator, "post")
    monkeypatch.setattr(moment, "now_ms", lambda: ms(1440) + 20 * 60_000)
    assert "It was in the record already." in tell(operator, "post")


def test_a_receipt_is_proposed_for_the_grade_that_is_tapped(yard: Yard, operator: Client) -> None:
    """The next bag of that grade and who supplied it last; not of whatever came last."""
    receiving = "/stations/receiving/"
    for grade in ("F1", "PK1"):
        yard.set("grade", grade, of="bead", flame_retardant="yes", colour="white")
    for bag, grade, supplier in (("FB-7", "F1", "Pellmere"), ("PK-3", "PK1", "Durnvik")):
        said = {"bag": bag, "grade": grade, "supplier": supplier, "supplier_lot": "A",
                "mass": "900", "unit-mass": "kg"}  # fmt: skip
        sent = {"kind": "bead_receipts", "key": bag, "do": "post", "kept": "mass=900 kg", **said}
        answer = operator.post(receiving, sent)
        assert answer.status_code == 200, answer.content.decode()
    last = operator.get(receiving).content.decode()
    tapped = operator.get(f"{receiving}?kind=bead_receipts&grade=F1").content.decode()

    assert 'value="PK-4"' in last
    assert re.search(r'href="\?kind=bead_receipts&amp;grade=F1">F1<', last)
    assert 'value="FB-8"' in tapped
    assert 'value="Pellmere"' in tapped
    assert re.search(r'grade=F1" aria-current="true">F1<', tapped)


def test_a_station_says_what_one_may_do_and_whom_the_rest_waits_for(as_: SignIn) -> None:
    """To a shift lead at night, at dispatch as anywhere."""
    page = as_(Role.SHIFT_LEAD).get("/stations/dispatch/").content.decode()
    duties = page[page.index('id="duties"') :]

    assert "What you may do as shift lead" in duties
    assert "give a concession for what happened and was forbidden" in duties
    assert "for engineer: " in duties
