"""A scan at a station: taken, or asked about with what, where and how old; one tap chooses."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from django.test import Client

from beadwright.ledger.draft import Label, Line, Material, NewLot
from beadwright.plant.access import Role
from tests.plant.yard import Yard, ms
from tests.web.conftest import SignIn

pytestmark = pytest.mark.django_db

SILOS = "/stations/silos/"
SCRAP = {"kind": "silo_moves", "key": "f-1", "what": "scrap", "mass": "5", "unit-mass": "kg",
         "bin": "BIN-1"}  # fmt: skip


@pytest.fixture
def operator(as_: SignIn, yard: Yard) -> Client:
    """An operator's browser; two bags of one supplier's lot, one of another."""
    for code, label in (("B-7", "88-A"), ("B-8", "88-A"), ("B-9", "90-C")):
        new = NewLot(code, Material.BEAD, "bag", grades=("F1",))
        new = replace(new, labels=(Label("Pellmere", label, ms(0)),))
        yard.step("receipt", 1, [Line(code, 1, 400_000_000, place="DOCK")], new)
    return as_(Role.OPERATOR)


def sent(browser: Client, status: int, **more: str) -> str:
    """What comes back for a form."""
    answer = browser.post(SILOS, {**SCRAP, **more})
    assert answer.status_code == status, answer.content.decode()
    return answer.content.decode()


def taps(page: str) -> list[str]:
    """What the buttons that choose a lot send."""
    return re.findall(r'name="chosen" value="([^"]+)"', page)


def test_a_label_of_one_lot_is_that_lot(operator: Client) -> None:
    """The field holds our own code when the form comes back; it is recorded of that lot."""
    asked = sent(operator, 200, do="ask", **{"from": "]C190-C"})
    assert "]C190-C is B-9." in asked
    assert re.search(r'name="from"[^>]*value="B-9"', asked)

    assert "B-9 holds 870.8 lb" in sent(operator, 200, do="post", **{"from": "90-C"})


def test_a_label_of_two_lots_asks_which_and_a_tap_chooses(operator: Client) -> None:
    """What, where, how old; the tap puts the code into the field and records nothing."""
    asked = sent(operator, 422, do="post", **{"from": "88-A"})
    assert taps(asked) == ["from=B-8", "from=B-7"] or taps(asked) == ["from=B-7", "from=B-8"]
    assert re.search(r"<b>B-7</b> bead bag of F1, 881.8 lb, \d+ (h|days) old, at DOCK", asked)

    chosen = sent(operator, 200, then="post", chosen="from=B-8", **{"from": "88-A"})
    assert re.search(r'name="from"[^>]*value="B-8"', chosen)
    assert "Nothing is recorded yet" in chosen
    assert "B-8 holds 870.8 lb" in sent(operator, 200, do="post", **{"from": "B-8"})


def test_it_is_asked_before_a_button_is_pressed(operator: Client) -> None:
    """The fragment that answers as a field is left holds the same taps."""
    answer = operator.post(SILOS, {**SCRAP, "from": "88-A"}, headers={"HX-Request": "true"})

    assert set(taps(answer.content.decode())) == {"from=B-7", "from=B-8"}
    assert (
        '<div class="asks" id="which-from" hx-swap-oob="true"><fieldset' in answer.content.decode()
    )
    assert '<div class="asks" id="which-to" hx-swap-oob="true"></div>' in answer.content.decode()
    assert "<form" not in answer.content.decode()


def test_a_field_offers_the_lots_that_fit(operator: Client) -> None:
    """Each with what it is: nobody types an id. A new code is offered nothing."""
    page = operator.get(SILOS).content.decode()
    receiving = operator.get("/stations/receiving/").content.decode()

    assert 'list="from-fits"' in page
    assert re.search(r'<option value="B-9">F1, 881.8 lb, [^<]*, at DOCK</option>', page)
    assert '<datalist id="to-fits"><option value="S2">' in page
    assert "bag-fits" not in receiving
