"""The page of limits: each with its value and source, and who set it, found by whoever asks."""

from __future__ import annotations

import re

import pytest

from beadwright.ledger import people
from beadwright.ledger.draft import Decision
from beadwright.ledger.people import Person
from beadwright.plant.access import Role
from tests.plant.yard import FORM, Yard, ms
from tests.web.conftest import SignIn

pytestmark = pytest.mark.django_db


@pytest.fixture
def set_up(yard: Yard) -> Yard:
    """A limit of the plant's own, one printed in a standard, and an engineer with a name."""
    people.match("P1", [Person("EI", "P-13", "Edda Ivesworth")])
    yard.limit("LENGTH", "length", "max", "1220 mm", source="drawing 17")
    body = {"standard": "ASTM C578", "edition": "10", "type": "II"}
    yard.set("standard", "FB6", body, characteristics=["density"])
    return yard


def row(shown: str, anchor: str) -> str:
    """The row of a limit, its spaces joined."""
    (found,) = re.findall(rf'<tr id="{anchor}">(.*?)</tr>', shown, re.DOTALL)
    return " ".join(re.sub(r"<[^>]+>", " ", found).split())


def test_each_limit_says_its_value_its_source_and_who_set_it(set_up: Yard, as_: SignIn) -> None:
    """The plant's own by what its setting says of it; a printed one is not verified unsigned."""
    shown = as_(Role.AUDITOR).get("/limits/").content.decode()

    own, printed = row(shown, "length"), row(shown, "astm-c578-10-ii-density")
    assert "at most 1220 mm, each piece" in own
    assert "as its setting says: drawing 17" in own
    assert "nobody is named, keyed by account" in own
    entries = re.findall(r"entry (\d+) , since 20\d\d-\d\d-\d\d", f"{own} {printed}")
    assert len(entries) == 2
    for seq in entries:
        assert f'<a href="/entries/{seq}/">entry {seq}</a>' in shown
    assert "at least 1.35 lb/ft3" in printed
    assert "ASTM C578/10/II/density" in printed
    assert "not verified" in printed
    del set_up


def test_a_signature_shows_with_its_entry(set_up: Yard, as_: SignIn) -> None:
    """Whoever compared it with the paid text stands there by name."""
    said = {"value": "1.35", "unit": "lb/ft3", "page": "Table 1, p. 3", "note": ""}
    set_up.set("role", "P-13", role="engineer")
    signed = Decision("sign-1", ms(70), "limit_signed", "ASTM C578/10/II/density", said, by="P-13")
    set_up.post(signed)
    printed = row(as_(Role.AUDITOR).get("/limits/").content.decode(), "astm-c578-10-ii-density")
    assert re.search(r"verified in the paid text entry \d+ .*Edda Ivesworth", printed)


def test_one_product_is_shown_alone(set_up: Yard, as_: SignIn) -> None:
    """By its name; one that has none says so."""
    set_up.set("product", "ZB9", {**FORM})
    set_up.limit("OTHER", "length", "max", "900 mm", product="ZB9")
    browser = as_(Role.AUDITOR)
    assert 'id="other"' in browser.get("/limits/").content.decode()
    assert 'id="other"' not in browser.get("/limits/?of=FB6").content.decode()
    assert "No limit is in force for NONE" in browser.get("/limits/?of=NONE").content.decode()


@pytest.mark.parametrize(
    ("typed", "anchor"),
    [("LENGTH", "length"), ("leng", "length"), ("c578", "astm-c578-10-ii-density")],
)
def test_search_leads_to_the_limit(set_up: Yard, as_: SignIn, typed: str, anchor: str) -> None:
    """By its id or a part of it, or by the standard it is printed in."""
    shown = as_(Role.AUDITOR).get(f"/search/?q={typed}").content.decode()
    assert f'href="/limits/#{anchor}"' in shown
    del set_up


def test_a_lots_table_of_limits_leads_there(set_up: Yard, as_: SignIn) -> None:
    """From the lot and from its release, each limit to its row of the product's."""
    set_up.gauge("L1", "length", ["1.219 m"])
    browser = as_(Role.AUDITOR)
    for path in ("/lots/L1/", "/release/L1/"):
        shown = browser.get(path).content.decode()
        assert 'href="/limits/?of=FB6#length"' in shown, path
    assert 'id="length"' in browser.get("/limits/?of=FB6").content.decode()
