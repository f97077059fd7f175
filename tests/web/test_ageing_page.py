"""The ageing of the beads as a page, and as a picture on the silo board that costs it nothing."""

from __future__ import annotations

import re

import pytest
from django.test import Client

from beadwright.ledger.draft import Reading
from beadwright.plant import moment
from beadwright.plant.access import Role
from beadwright.plant.ageing import board as ageing
from beadwright.quality import readings
from tests.plant.yard import Yard, ms
from tests.web.conftest import SignIn

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def the_day_after(monkeypatch: pytest.MonkeyPatch) -> None:
    """Look at the plant 30 hours into its first day."""
    monkeypatch.setattr(moment, "now_ms", lambda: ms(30))


@pytest.fixture(autouse=True)
def store(yard: Yard) -> None:
    """S1 of which all is known; S2 of whose width nobody said anything."""
    yard.set("grade", "F1", of="bead", pentane="6.0 %", raw_size="0.8 mm")
    for name, more in (("S1", {"across": "2.6 m"}), ("S2", {})):
        yard.set("place", name, {"kind": "silo", "content": True, **more})
    yard.expand("B-1", "S2", 100, at=4)
    for name in ("S1", "S2"):
        yard.cup(name, "dried", "220", at=5)


def text(page: str) -> str:
    """A page without markup."""
    return " ".join(re.sub(r"<[^>]+>", " ", page).split())


def shown(browser: Client, path: str = "/ageing/") -> str:
    """Ask for a page, in SI."""
    browser.post("/choices/", {"units": "si", "light": "auto"})
    answer = browser.get(path)
    assert answer.status_code == 200
    return answer.content.decode()


def section(page: str, silo: str) -> str:
    """What is said of a silo, without markup."""
    (found,) = re.findall(rf'<section aria-labelledby="of-{silo}".*?</section>', page, re.DOTALL)
    return text(found)


def test_a_silo_says_what_is_signed_then_what_is_estimated(as_: SignIn) -> None:
    """The caution first; the signed hours before the estimate; what it would propose."""
    page = shown(as_(Role.OPERATOR))
    said = section(page, "S1")

    assert page.index("the hours that an engineer signed decide") < page.index("<svg")
    assert said.index("Signed: from 8 h after the last bead until 96 h") < said.index(
        "By estimate:"
    )
    assert re.search(r"Enough air from [\d.]+ h \([\d.]+ h to [\d.]+ h\) after the last bead", said)
    assert "Would propose to sign" in said
    assert "binds nobody until an engineer signs it" in said


def test_what_is_not_known_says_what_is_missing(as_: SignIn) -> None:
    """In words, in the table and in the picture; and nothing is proposed."""
    page = shown(as_(Role.OPERATOR))
    said = section(page, "S2")

    assert "S2 26 h old by estimate unknown" in said
    assert "By estimate: Unknown. Missing: width of the silo." in said
    assert "Would propose" not in said
    assert "unknown without: width of the silo" in page
    assert re.search(r"S2</th>.*?<td[^>]*>unknown</td>", page, re.DOTALL)


def test_every_number_opens_to_what_it_rests_on(as_: SignIn) -> None:
    """Formula, inputs, source and trust; each with an id of its own."""
    page = shown(as_(Role.OPERATOR), "/ageing/?all")
    said = section(page, "S1")
    ids = re.findall(r'\bid="([^"]+)"', page)

    assert len(ids) == len(set(ids))
    assert "Crank's sphere" in page.replace("&#x27;", "'")
    assert "A default from memory, until the plant has measured its own" in said
    assert "Narrower with:" in said


def test_the_board_shows_the_picture_and_leaves_it_out_when_asked_again(
    as_: SignIn, yard: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Its own poll costs no physics: the part that is asked for again only keeps the place."""
    browser = as_(Role.OPERATOR)
    page = shown(browser, "/silos/")
    again = re.search(r'hx-get="(/silos/\?seen=[^"]+)"', page)
    assert again
    assert 'aria-labelledby="silo-hours-title"' in page
    yard.hold("H-7", "S1", at=25, reason="smell of fuel")

    def no_physics(*_: object) -> None:
        message = "the board's own poll asked the physics"
        raise AssertionError(message)

    monkeypatch.setattr(ageing, "ageing_board", no_physics)
    live = browser.get(again[1])
    assert live.status_code == 200
    assert '<div id="kept" hx-preserve="true"></div>' in live.content.decode()


def test_a_picture_that_was_seen_is_not_sent_again_within_its_minute(
    as_: SignIn, yard: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A minute later, or with another entry that shows, it is."""
    browser = as_(Role.OPERATOR)
    found = re.search(r'hx-get="(/ageing/\?seen=[^"]+)"', shown(browser, "/silos/"))
    assert found

    assert browser.get(found[1]).status_code == 204
    yard.read([Reading("silo_temperature", "30", "°C", lot="S1")], 20)
    assert browser.get(found[1]).status_code == 200
    monkeypatch.setattr(moment, "now_ms", lambda: ms(30) + 60_000)
    later = browser.get(found[1])
    assert later.status_code == 200
    assert "now, Wed 06:01" in later.content.decode()


def test_a_silo_that_is_held_says_so_in_its_row(as_: SignIn, yard: Yard) -> None:
    """However fit its beads are by estimate."""
    yard.hold("H-7", "S1", at=25, reason="smell of fuel")
    page = shown(as_(Role.OPERATOR), "/silos/")

    assert ">held</text>" in page
    assert "S1, F1: 28 h old; held; signed" in page


def test_without_beads_in_any_silo_nothing_is_drawn(as_: SignIn, yard: Yard) -> None:
    """And it is said."""
    yard.sweep("S1", at=28)
    yard.sweep("S2", at=28)
    page = shown(as_(Role.OPERATOR))

    assert "No silo holds beads that age." in text(page)
    assert "<svg" not in page.split("<main", 1)[-1]


def form(page: str) -> dict[str, str]:
    """What a form's hidden fields and boxes hold."""
    return dict(re.findall(r'<input [^>]*name="([^"]+)"[^>]*value="([^"]*)"', page))


@pytest.mark.parametrize(
    ("role", "address", "told"),
    [
        (Role.OPERATOR, "/stations/silos/?kind=silo_temperatures",
         {"silo": "S1", "temperature": "95", "unit-temperature": "°F"}),
        (Role.TECHNICIAN, "/stations/bench/?kind=mesh_samples",
         {"sample": "MS-1", "silo": "S1", "grade": "F1", "age": "4", "mass": "104.14"}),
    ],
)  # fmt: skip
def test_a_temperature_and_a_mesh_sample_are_keyed_at_their_stations(
    as_: SignIn, yard: Yard, role: Role, address: str, told: dict[str, str]
) -> None:
    """By whoever works there; each is a reading of the silo, and moves nothing."""
    browser = as_(role)
    page = browser.get(address).content.decode()
    sent = {**form(page), **told, "do": "post", "kind": address.partition("=")[2]}
    answer = browser.post(address.partition("?")[0], sent)
    assert answer.status_code == 200, text(answer.content.decode())
    views = readings.of_lots(yard.no, ["S1"])["S1"]

    assert views[-1].characteristic in {"silo_temperature", "mesh_sample_mass"}
    assert views[-1].si == pytest.approx(308.15 if role is Role.OPERATOR else 0.10414)
