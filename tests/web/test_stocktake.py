"""A stocktake: what was found is compared at once, asked about where it is far off, then kept."""

from __future__ import annotations

import re

import pytest
from django.test import Client

from beadwright.ledger import entered, lots
from beadwright.plant.access import Role
from tests.plant.yard import Yard
from tests.web.conftest import SignIn

pytestmark = pytest.mark.django_db

BAGS, BLOCKS = "/stations/stocktake/?of=bags", "/stations/stocktake/?of=blocks"


@pytest.fixture
def engineer(as_: SignIn, yard: Yard) -> Client:
    """An engineer's browser; a second bag of 400 kg beside the one of which 600 kg are left."""
    yard.bag("B-2", 400)
    return as_(Role.ENGINEER)


def sent(browser: Client, status: int, to: str = BAGS, **found: str) -> str:
    """Send a sheet; ``B_1`` is what was found of B-1, in kg."""
    said = {"key": "s-1", "unit": "kg", "do": "post"}
    for name, text in found.items():
        said[name if name in {"do", "add", "sure", "chosen", "key", "extra"} else _box(name)] = text
    answer = browser.post(to, said)
    assert answer.status_code == status, answer.content.decode()
    return answer.content.decode()


def _box(name: str) -> str:
    begins = "none-" if name.startswith("no_") else "found-"
    return begins + name.removeprefix("no_").replace("_", "-")


def stocktakes() -> int:
    """Stocktakes in the record."""
    return sum(one.draft.key.startswith("stocktakes/") for one in entered.of_kinds("P1", "step"))


def off(page: str, code: str) -> str:
    """How far a lot is off the books, as its row says."""
    found = re.search(rf'id="off-{code}"[^>]*>(?:<span class="state (\w+)">([^<]*))?', page)
    assert found is not None
    return f"{found[1] or ''} {found[2] or ''}".strip()


def test_each_kind_and_place_has_a_sheet(engineer: Client) -> None:
    """Each lists its lots with what the books have; a kind that is none is no page."""
    page = engineer.get("/stations/stocktake/").content.decode()
    assert re.findall(r'href="\?of=([^"]+)"', page) == ["bags", "silos", "cartons", "blocks"]
    sheet = engineer.get(BAGS).content.decode()

    assert re.findall(r'name="found-([^"]+)"', sheet) == ["B-2", "B-1"]
    assert "881.8 lb<span" in sheet
    assert engineer.get("/stations/stocktake/?of=bricks").status_code == 404
    assert engineer.get("/stations/stocktake/?of=bags&before=x").status_code == 200


def test_a_difference_stands_beside_its_box_before_it_is_recorded(engineer: Client) -> None:
    """As the box is left, and by a button without a script; nothing is recorded by either."""
    said = {"key": "s-1", "unit": "kg", "found-B-1": "590", "found-B-2": "400"}
    live = engineer.post(BAGS, said, headers={"HX-Request": "true"}).content.decode()
    page = sent(engineer, 200, do="ask", B_1="590", B_2="400")

    for shown in (live, page):
        assert off(shown, "B-1") == "ask 22.0 lb less, 1.67 %"
        assert off(shown, "B-2") == "good as booked"
        assert "2 lots: 1 as booked, 1 otherwise. Nothing is recorded yet." in shown
    assert 'hx-swap-oob="true"' in live
    assert "<form" not in live
    assert stocktakes() == 0


def test_what_was_found_is_recorded_together_and_once(engineer: Client, yard: Yard) -> None:
    """Only of lots of which somebody said something; sent again, it is the same."""
    first = sent(engineer, 200, B_1="590")
    again = sent(engineer, 200, B_1="590")
    bag = lots.get(yard.no, "B-1")

    assert "Recorded. 1 lot: 0 as booked, 1 otherwise" in first
    assert "It was in the record already" in again
    assert bag is not None
    assert bag.mg == 590_000_000
    assert stocktakes() == 1
    assert "last counted" in first
    assert re.search(r'name="found-B-1" value=""', first)


def test_a_large_difference_is_asked_about_once(engineer: Client, yard: Yard) -> None:
    """With what the books say; the yes holds for that value, and what it raises is said."""
    asked = sent(engineer, 422, B_1="300", B_2="400")
    yes = re.search(r'name="sure" value="([^"]+)"', asked)
    assert "B-1: the books say 1322.8 lb; 661.4 lb less, 50.0 %." in asked
    assert "Given: <b>300 kg</b>" in asked
    assert yes is not None
    assert stocktakes() == 0

    sent(engineer, 422, B_1="200", sure=yes[1])
    done = sent(engineer, 200, B_1="300", B_2="400", sure=yes[1])
    bag = lots.get(yard.no, "B-1")
    assert "B-1: the books say 1322.77 lb, found 661.39 lb" in done
    assert bag is not None
    assert (bag.mg, stocktakes()) == (300_000_000, 2)


def test_what_was_not_found_is_nothing_and_asked_about(engineer: Client, yard: Yard) -> None:
    """The box beside says so; it is a statement, and an empty box is none."""
    asked = sent(engineer, 422, no_B_2="1")
    yes = re.search(r'name="sure" value="([^"]+)"', asked)
    assert "Given: <b>not found</b>" in asked
    assert yes is not None
    sent(engineer, 200, no_B_2="1", sure=yes[1])

    gone, other = lots.get(yard.no, "B-2"), lots.get(yard.no, "B-1")
    assert gone is not None
    assert other is not None
    assert (gone.mg, other.mg) == (0, 600_000_000)


def test_blocks_are_counted_in_pieces(engineer: Client, yard: Yard) -> None:
    """Half a block is told at its box, and what else was keyed is kept."""
    wrong = sent(engineer, 422, BLOCKS, L1="38.5")
    assert 'aria-describedby="wrong-L1"' in wrong
    assert 'value="38.5"' in wrong
    sent(engineer, 200, BLOCKS, L1="39")
    lot = lots.get(yard.no, "L1")

    assert lot is not None
    assert lot.pieces == 39


def test_what_is_found_and_not_listed_is_added_by_a_scan(engineer: Client, yard: Yard) -> None:
    """Of another sheet, or a place that the books have empty; nobody knows what never came in."""
    added = sent(engineer, 200, add="t-1", B_1="590")
    assert re.findall(r'name="extra" value="([^"]+)"', added) == ["T-1"]
    assert re.findall(r'name="found-([^"]+)"', added) == ["T-1", "B-2", "B-1"]
    assert 'value="590"' in added
    assert "the record knows no lot by X-9" in sent(engineer, 422, add="X-9", B_1="590")
    assert "which one is" not in sent(engineer, 422, add="B-")
    assert stocktakes() == 0

    sent(engineer, 200, extra="T-1", T_1="750")
    ties = lots.get(yard.no, "T-1")
    assert ties is not None
    assert ties.pieces == 750


def test_a_part_of_a_code_is_asked_about(engineer: Client, yard: Yard) -> None:
    """One tap adds the lot that is meant."""
    yard.bag("BAG-77", 400)
    yard.bag("BAG-78", 400)
    page = sent(engineer, 422, add="AG-7")
    assert set(re.findall(r'name="chosen" value="([^"]+)"', page)) == {"add=BAG-77", "add=BAG-78"}

    assert re.findall(
        r'name="extra" value="([^"]+)"',
        sent(engineer, 200, BLOCKS, chosen="add=BAG-77", add="AG-7"),
    ) == ["BAG-77"]


def test_what_cannot_be_read_is_told_beside_its_box_as_it_is_left(engineer: Client) -> None:
    """Before a button is pressed."""
    said = {"key": "s-1", "unit": "kg", "found-B-1": "59o"}
    live = engineer.post(BAGS, said, headers={"HX-Request": "true"}).content.decode()

    assert off(live, "B-1").startswith("stop ")
    assert "59o" in off(live, "B-1")
    assert off(live, "B-2") == ""


def test_enter_in_a_box_compares_and_never_records(engineer: Client) -> None:
    """A browser presses the first button of a form for Enter; also where a yes stands on it."""
    asked = sent(engineer, 422, B_1="300")
    first = re.search(r"<form[^>]*keyed counts.*?<button ([^>]*)>", asked, re.DOTALL)

    assert first is not None
    assert first[1] == 'hidden name="do" value="ask"'


def test_an_empty_sheet_records_nothing(engineer: Client) -> None:
    """It says what is missing."""
    assert "nothing was keyed on this sheet" in sent(engineer, 422)


def test_the_unit_of_the_scale_is_chosen_on_the_sheet(engineer: Client) -> None:
    """What was keyed is kept, and read in the unit that stands beside it."""
    answer = engineer.post(BAGS, {"key": "s-1", "unit": ["kg", "lb"], "found-B-2": "881.85"})
    page = answer.content.decode()

    assert off(page, "B-2") == "good as booked"
    assert 'name="unit" value="lb"' in page


def test_a_role_that_takes_no_stock_has_no_stocktake(as_: SignIn) -> None:
    """An operator is told so, and the list of stations names it for others."""
    browser = as_(Role.OPERATOR)

    assert browser.get(BAGS).status_code == 403
    assert 'href="/stations/stocktake/"' not in browser.get("/stations/").content.decode()
