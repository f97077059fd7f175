"""The page of a pour: what is asked, what the weakest lot supports, what is wrong and where."""

from __future__ import annotations

import re
from urllib.parse import urlencode

import pytest

from beadwright.plant.access import Role
from beadwright.science.pour import CAUTION
from tests.plant.test_pour_sheet import bend, tested
from tests.plant.yard import Yard
from tests.web.conftest import SignIn

pytestmark = pytest.mark.django_db

SAID = {
    "height": "9", "unit-height": "ft", "rate": "4", "unit-rate": "ft/h", "factor": "2",
    "density": "150", "unit-density": "lb/ft3", "temperature": "70", "unit-temperature": "°F",
    "slump": "5", "unit-slump": "in", "vibration": "3", "unit-vibration": "ft",
    "binder": "plain", "retarder": "no", "placed": "top", "unbroken": "yes",
}  # fmt: skip


@pytest.fixture(autouse=True)
def lots(yard: Yard) -> None:
    """Lots of which bars were bent."""
    tested(yard)


def page(as_: SignIn, said: dict[str, str]) -> str:
    """The page as an engineer sees it."""
    address = f"/products/FB6/pour/?{urlencode(said)}"
    return str(as_(Role.ENGINEER).get(address).content.decode())


def test_the_answer_of_the_weakest_lot_stands_first(as_: SignIn) -> None:
    """With its caution, its picture, and each number's formula, source and trust."""
    shown = page(as_, SAID)
    assert CAUTION.partition(" Local")[0] in shown.replace("&#x27;", "'")
    assert "engineer of record" in shown
    rate = re.search(r"Rate to discuss: at most ([\d.]+) ft/h, below the manual", shown)
    assert rate is not None
    assert float(rate.group(1)) < 4
    assert "the weakest of 2 lots" in shown
    assert 'aria-label="Lots, the weakest first"' in shown
    assert "<svg" in shown
    assert "ACI 347R-14" in shown
    assert "Left out, because they are not released: 1 tested lot." in shown
    assert "taken at its worst:" not in shown


def test_what_is_not_said_is_unknown_or_taken_at_its_worst(as_: SignIn) -> None:
    """Height, rate and factor are asked for; the rest is listed."""
    needed = ("height", "rate", "factor")
    bare = page(as_, {})
    assert "fresh concrete, height" in bare.partition("Not known without: ")[2].partition("</p>")[0]
    worst = page(as_, {key: SAID[key] for key in SAID if key.removeprefix("unit-") in needed})
    assert "Nobody said, so taken at its worst: Density of fresh concrete" in worst
    assert "Rate to discuss: none." in worst
    assert not re.search(r"[^\d.]0 ft/h", worst)


def test_a_lot_without_a_test_leaves_no_figure(as_: SignIn) -> None:
    """Lots may be named with blanks or commas; one that is none of the product's is told."""
    shown = page(as_, {**SAID, "lots": "l1, L3"})
    assert "No figure: L3: no flexural strength of it was measured" in shown
    assert "governs" not in shown
    assert re.search(r"its density lets expect \d+ psi \(\d+ to \d+ psi\): not used", shown)
    wrong = page(as_, {**SAID, "lots": "L99"})
    assert "lot L99 is not in the record" in wrong
    many = page(as_, {**SAID, "lots": " ".join(f"X{number}" for number in range(61))})
    assert "61 are named; at most 60 are taken at once" in many
    assert "Rate to discuss: at most" in wrong


def test_what_cannot_be_read_is_told_at_its_field(as_: SignIn) -> None:
    """And what was keyed stands there still."""
    for word, text in (("height", "nine"), ("temperature", "200"), ("factor", "0.5")):
        shown = page(as_, {**SAID, word: text})
        field = shown.partition(f'id="field-{word}"')[2].partition("</div>\n")[0]
        assert 'aria-invalid="true"' in shown
        assert f'value="{text}"' in field
    metric = page(as_, {**SAID, "height": "2.7 m"})
    assert "Rate to discuss: at most" in metric


def test_opening_everything_keeps_what_was_asked(as_: SignIn) -> None:
    """The sheet on paper is of the pour that was looked at."""
    (there,) = re.findall(r'<a href="\?(all[^"]*)">Open everything', page(as_, SAID))
    opened = as_(Role.ENGINEER).get(f"/products/FB6/pour/?{there.replace('&amp;', '&')}")
    shown = opened.content.decode()
    assert "<details open>" in shown
    assert 'name="height" type="text" value="9"' in shown


def test_sheets_of_a_product_lead_to_each_other(as_: SignIn, yard: Yard) -> None:
    """Of a form block; packaging has no pour."""
    yard.set("product", "PK", family="packaging", title="Tray")
    browser = as_(Role.ENGINEER)
    assert 'href="/products/FB6/pour/"' in browser.get("/products/FB6/").content.decode()
    assert 'href="/products/FB6/"' in page(as_, {})
    listed = browser.get("/products/").content.decode()
    assert 'aria-label="Pour of FB6"' in listed
    assert 'aria-label="Pour of PK"' not in listed
    assert browser.get("/products/PK/pour/").status_code == 404
    assert browser.get("/products/NONE/pour/?lots=L1").status_code == 404


def test_no_rate_is_a_state_of_its_own(as_: SignIn, yard: Yard) -> None:
    """In words, not by colour alone."""
    bend(yard, "L3", 30.0)
    shown = page(as_, {**SAID, "lots": "L3"})
    assert '<span class="state stop">no rate</span>' in shown
    assert "Rate to discuss: none." in shown
