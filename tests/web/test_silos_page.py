"""The silo board as a page: each place with its plate, and what a press should draw of next."""

from __future__ import annotations

import re

import pytest
from django.test import Client

from beadwright.ledger.draft import Line, Material, NewLot
from beadwright.plant import moment
from beadwright.plant.access import Role
from tests.plant.yard import Yard, ms
from tests.web.conftest import SignIn

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def the_day_after(monkeypatch: pytest.MonkeyPatch) -> None:
    """Look at the plant 30 hours into its first day."""
    monkeypatch.setattr(moment, "now_ms", lambda: ms(30))


@pytest.fixture(autouse=True)
def feeding(yard: Yard) -> None:
    """Let S1 and S2 feed the press, and say what F1 is."""
    yard.set("grade", "F1", of="bead", flame_retardant="yes", colour="white", bead_class="C")
    for name in ("S1", "S2"):
        yard.set("place", name, kind="silo", content=True, accepts=["F1"], feeds=["FP1"])


def board(browser: Client, address: str = "/silos/") -> str:
    """Ask for the board."""
    answer = browser.get(address)
    assert answer.status_code == 200
    return answer.content.decode()


def plate(page: str, place: str) -> str:
    """Give what stands on one plate, without markup."""
    found = re.search(rf'<article [^>]*id="{place}".*?</article>', page, re.DOTALL)
    assert found
    return " ".join(re.sub(r"<[^>]+>", " ", found[0]).split())


def test_a_plate_says_all_that_is_known_of_a_silo(as_: SignIn, yard: Yard) -> None:
    """340.2 kg are left of 400: what, how old, from when, until when, for what."""
    yard.expand("B-1", "S2", 100, at=4)
    browser = as_(Role.OPERATOR)
    browser.post("/choices/", {"units": "si", "light": "auto"})
    said = plate(board(browser), "S1")

    assert "340 kg (333 kg to 347 kg)" in said
    assert "F1: flame retardant, white, C" in said
    assert "Age 28 h" in said
    assert "Ready from 2026-09-01 10:00" in said
    assert "Use by 2026-09-05 02:00 signed 8 to 96" in said
    assert "Feeds FP1" in said
    assert "Listed for FB6" in said
    assert "Plate F1 only" in said
    assert "ready" in said
    assert "Next for FP1" in said


def test_why_a_silo_may_hold_more_or_less_is_in_the_reader_s_units(as_: SignIn) -> None:
    """No kilogram stands on the board of who reads in pounds."""
    browser = as_(Role.OPERATOR)
    browser.post("/choices/", {"units": "us", "light": "auto"})
    pounds = plate(board(browser), "S1")
    browser.post("/choices/", {"units": "si", "light": "auto"})

    assert " lb that came in" in pounds
    assert " kg" not in pounds
    assert " kg that came in" in plate(board(browser), "S1")


def test_what_to_use_next_is_said_with_why_and_why_not_the_others(as_: SignIn, yard: Yard) -> None:
    """S1 is the older of two that are ready."""
    yard.expand("B-1", "S2", 100, at=4)
    page = board(as_(Role.OPERATOR))

    assert re.search(r'<a href="#S1"><b>S1</b></a> – the oldest that is ready', page)
    assert "S2: ready, and younger" in page


def test_a_held_silo_says_by_what_and_why_in_words(as_: SignIn, yard: Yard) -> None:
    """And is not the next to use."""
    yard.hold("H-7", "S1", at=25, reason="smell of fuel")
    page = board(as_(Role.OPERATOR))

    said = plate(page, "S1")
    assert "Held H-7: smell of fuel" in said
    assert "Next for" not in said
    assert "nothing ready for FB6" in page


def test_who_swept_a_silo_and_who_looked_into_it_is_said(as_: SignIn, yard: Yard) -> None:
    """By id, with the name where one is kept."""
    yard.step("swept_empty", 28, [Line("S1", 0, 0)], by="P-20", facts={"inspected_by": "P-99"})
    said = plate(board(as_(Role.OPERATOR)), "S1")

    assert "swept empty" in said
    assert "by P-20 (Somebody 20), inspected by P-99" in said


def test_the_caution_stands_beside_the_silos(as_: SignIn) -> None:
    """Above them, and on no account left out."""
    page = board(as_(Role.AUDITOR))

    assert page.index("Silo: Never enter without a confined-space permit.") < page.index("<article")


def test_a_board_that_was_seen_is_not_sent_again(as_: SignIn, yard: Yard) -> None:
    """A hold changes it."""
    browser = as_(Role.OPERATOR)
    found = re.search(r'hx-get="([^"]+)"', board(browser))
    assert found

    assert browser.get(found[1]).status_code == 204
    yard.hold("H-7", "S1", at=25, reason="smell of fuel")
    assert "smell of fuel" in board(browser, found[1])


def test_a_plate_and_a_lot_say_how_much_was_moulded_before(as_: SignIn, yard: Yard) -> None:
    """60 kg of regrind blown into S1, on the 340 kg that are left there."""
    ground = NewLot("RG-1", Material.REGRIND, "regrind bag")
    yard.step("grind", 25, [Line("RG-1", 1, 60_000_000)], ground)
    yard.step("fill", 26, [Line("RG-1", -1, 60_000_000), Line("S1", 1, 60_000_000)], place="S1")
    browser = as_(Role.OPERATOR)

    assert "foam that was moulded before, 15.0 % if well mixed" in plate(board(browser), "S1")
    assert "15.0\u00a0% of it moulded before, if well mixed" in board(browser, "/lots/S1/")
