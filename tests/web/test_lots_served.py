"""The pages of lots, entries and search, asked as a browser asks them."""

import re
from html import unescape
from itertools import pairwise

import pytest
from django.test import Client
from django.test.utils import override_settings

from beadwright.ledger.draft import (
    Label,
    Line,
    Loss,
    Material,
    NewLot,
    Reading,
    ReadingsDraft,
    StepDraft,
)
from beadwright.plant.access import Role
from tests.plant.yard import Yard, ms
from tests.web.conftest import SignIn

pytestmark = pytest.mark.django_db

PAGES = (
    "/lots/L1/", "/lots/S1/", "/lots/B-1/", "/lots/L1/trace/", "/entries/3/", "/search/",
    "/search/?q=L",
)  # fmt: skip


@pytest.fixture
def browser(yard: Yard, as_: SignIn) -> Client:
    """An engineer's browser; the plant has a measured lot, of which a bundle was shipped."""
    yard.limit("DENSITY", "density", "min", "21.6 kg/m3")
    yard.weigh("L1", "24h", [3.13, 3.135, 3.14], at=46)
    yard.bundle("BU-1", "L1", 20)
    yard.ship("SH-1", "BU-1", 10)
    browser = as_(Role.ENGINEER)
    browser.cookies["beadwright-choices"] = "si.auto"
    return browser


def text(browser: Client, address: str, **headers: str) -> str:
    """What a page says."""
    answer = browser.get(address, headers=headers)
    assert answer.status_code == 200, (address, answer.status_code)
    return unescape(answer.content.decode())


def test_a_lots_page_begins_with_the_answer(browser: Client) -> None:
    """Before what it was made of, what was measured and its story."""
    said = text(browser, "/lots/L1/")
    heads = re.findall(r"<h2[^>]*>([^<]*)</h2>", said)

    assert heads == [
        "May ship", "What it is made of", "What was measured", "Where its pieces are", "Its story",
    ]  # fmt: skip
    assert "Because:" in said


def test_units_are_those_that_the_person_chose(browser: Client) -> None:
    """By their cookie, on the page and in its pictures."""
    si = text(browser, "/lots/L1/")
    browser.cookies["beadwright-choices"] = "us.auto"
    us = text(browser, "/lots/L1/")

    assert "kg/m³" in si
    assert "lb/ft³" not in si
    assert "lb/ft³" in us


def test_a_loss_is_named_and_leads_nowhere(browser: Client, yard: Yard) -> None:
    """It left without becoming a lot; what was drawn and filled has pages."""
    kg = 10**6
    draft = StepDraft(
        "expand/loss", "expand", ms(60), (Line("B-1", -1, 10 * kg), Line("S1", 1, 9 * kg)),
        (Loss("pentane", kg),),
    )  # fmt: skip
    seq = yard.post(draft).seq
    said = text(browser, f"/entries/{seq}/")

    assert "pentane" in said
    assert re.findall(r'href="/lots/([^"]+)/"', said) == ["B-1", "S1"]


@override_settings(ROOT_URLCONF="tests.web.correcting")
def test_only_who_may_correct_is_offered_it(as_: SignIn) -> None:
    """An engineer and a shift lead; an operator and an auditor read."""
    offered = {
        role: text(as_(role), "/lots/L1/").count("/correct/")
        for role in (Role.ENGINEER, Role.SHIFT_LEAD, Role.OPERATOR, Role.AUDITOR)
    }

    assert offered == {
        Role.ENGINEER: 1, Role.SHIFT_LEAD: 1, Role.OPERATOR: 0, Role.AUDITOR: 0,
    }  # fmt: skip


def test_a_layer_opens_by_its_address(browser: Client, yard: Yard) -> None:
    """Without a script: the drawing's own links lead there. Odd addresses open nothing."""
    for n in range(12):
        yard.bundle(f"BX-{n}", "L1", 1)
    folded = text(browser, "/lots/L1/trace/")
    to = re.search(r'href="(\?open=\d+)"', folded)

    assert to is not None
    opened = text(browser, f"/lots/L1/trace/{to[1]}")
    (words,) = re.findall(r"<desc[^>]*>([^<]*)", opened)
    assert "others" not in words
    for odd in ("?open=99", "?open=x.-1.²", f"?open={'9' * 40}"):
        assert "others" in text(browser, f"/lots/L1/trace/{odd}")


def test_a_search_answers_as_it_is_typed_with_the_list_alone(browser: Client) -> None:
    """Sent whole it is a page of its own, for whoever has no script."""
    typed = text(browser, "/search/?q=L", **{"HX-Request": "true"})
    sent = text(browser, "/search/?q=L")

    assert "<html" not in typed
    assert "<html" in sent
    assert '/lots/L1/"' in typed
    assert '/lots/L1/"' in sent


def test_a_scan_opens_its_lot_and_two_lots_of_one_label_are_asked(
    browser: Client, yard: Yard
) -> None:
    """A label may repeat: then both are listed."""
    for code in ("B-7", "B-8"):
        label = (Label("Morven Beads", "M 24/7"),)
        bag = NewLot(code, Material.BEAD, "bag", grades=("F1",), labels=label)
        yard.step("receipt", 60, [Line(code, 1, 10)], bag)

    scanned = browser.get("/search/", {"q": "l1"})
    shared = text(browser, "/search/?q=M+24/7")

    assert (scanned.status_code, scanned.headers["Location"]) == (302, "/lots/L1/")
    assert "2 found" in shared
    assert "/lots/B-7/" in shared
    assert "/lots/B-8/" in shared


def test_what_is_typed_is_shown_as_text(browser: Client) -> None:
    """Nothing that is typed becomes a part of the page."""
    answer = browser.get("/search/", {"q": '"><script>x</script>\x00'})

    assert answer.status_code == 200
    assert b"<script>x" not in answer.content


@pytest.mark.parametrize(
    "address", ["/lots/NOPE/", "/lots/NOPE/trace/", "/entries/999999/", "/entries/a/b/c/"]
)
def test_what_is_not_there_is_said_so(browser: Client, address: str) -> None:
    """With a way on."""
    answer = browser.get(address)

    assert answer.status_code == 404
    assert b"Search for the lot" in answer.content


@pytest.mark.parametrize("address", PAGES)
def test_every_region_and_picture_of_a_page_has_a_name_of_its_own(
    browser: Client, address: str
) -> None:
    """No two parts share an id; each picture says what it says; every heading follows another."""
    said = text(browser, address)
    ids = re.findall(r'\bid="([^"]+)"', said)
    levels = [int(level) for level in re.findall(r"<h([1-6])", said)]

    assert len(ids) == len(set(ids))
    assert said.count("<svg") == said.count("<desc")
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(b - a <= 1 for a, b in pairwise(levels))


@pytest.mark.parametrize("address", PAGES)
def test_a_page_carries_no_style_and_no_script_of_its_own(browser: Client, address: str) -> None:
    """The policy forbids both; a picture's tones are attributes."""
    said = text(browser, address)

    assert " style=" not in said
    assert "<style" not in said
    assert not re.search(r"<script(?![^>]*\bsrc=)", said)
    assert not re.search(r"\son[a-z]+=", said)


def test_pages_stay_small(browser: Client) -> None:
    """Pictures aside, what is loaded later than the first page is under 60 kB."""
    for address in PAGES:
        said = re.sub(r"<svg.*?</svg>", "", text(browser, address), flags=re.DOTALL)
        assert len(said.encode()) < 60_000, address


def test_a_block_lot_leads_to_its_release_and_to_the_hold_on_it(
    browser: Client, yard: Yard
) -> None:
    """What is no block lot has no release of its own."""
    yard.hold("H-7", "L1", reason="smell of fuel")
    lot, bundle = text(browser, "/lots/L1/"), text(browser, "/lots/BU-1/")

    assert '<a href="/release/L1/">Release</a>' in lot
    assert '<a href="/holds/H-7/">H-7</a>' in lot
    assert "/release/" not in bundle.replace('href="/release/"', "")
    assert '<a href="/lots/L1/">L1</a>' in bundle
    assert browser.get("/release/L1/").status_code == 200


def test_cups_are_counted_as_cups(browser: Client, yard: Yard) -> None:
    """What a picture of cups says of itself does not call them pieces."""
    yard.expand("B-1", "S1", 10, at=70)
    cup = Reading("cup_weight", "230", "g", lot="S1",
                  facts={"place": "hopper", "cup_volume": "10 L"})  # fmt: skip
    yard.post(ReadingsDraft("cups/1", ms(71), (cup,), by="P-01"))

    assert "1 cup, " in text(browser, "/lots/S1/")
