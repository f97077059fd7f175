"""A product's inspection plan on its page, and what it asks of a lot at the station."""

from __future__ import annotations

import re
from datetime import timedelta

import pytest

from beadwright.plant.access import Role
from beadwright.plant.moment import moment
from beadwright.plant.opening import open_plant
from beadwright.plant.plan import day_at
from tests.plant.yard import Yard
from tests.web.conftest import SignIn

pytestmark = pytest.mark.django_db


@pytest.fixture
def planned(yard: Yard) -> Yard:
    """Two lots of 120 that are not accepted, by AQL 1.0 with switching."""
    yard.set("inspection", "FB6", aql="1.0", switching=True, since=1)
    yard.carton("T-2", 5000)
    for number in (1, 2):
        yard.mould(f"B{number}", carton="T-2", good=120, at=30 + number)
        yard.look_over(f"B{number}", 20, at=70, ties=1)
    return yard


def words(html: str) -> str:
    """A page's text in one line."""
    return " ".join(re.sub(r"<[^>]*>", " ", html).split())


def test_the_page_says_where_inspection_stands_and_draws_both_curves(
    planned: Yard, as_: SignIn
) -> None:
    """Its state, the lot that changed it, what it protects against; the caution once."""
    assert planned.no
    html = as_(Role.ENGINEER).get("/products/FB6/inspection/").content.decode()
    page = words(html)

    assert "Inspection is tightened, after lot B2: 2 of the last 2 lots were not accepted" in page
    assert "What it protects against, in a lot like B2" in page
    assert "After B2 (20 looked over, 1 bad)" in page
    assert page.count("licensed practice govern. Local") == 0
    assert {"oc-curve", "outgoing"} <= set(re.findall(r'id="(oc-curve|outgoing)-', html))


def test_the_station_says_which_pieces(planned: Yard, as_: SignIn) -> None:
    """Thirteen of them, by number."""
    assert planned.no
    raw = as_(Role.ENGINEER).get("/stations/inspection/?lot=B1").content.decode()

    assert "By the inspection plan: Look at 13 pieces drawn at random" in words(raw)
    listed = raw.partition('<ol class="numbered">')[2].partition("</ol>")[0]
    numbers = [int(one) for one in re.findall(r"<li>(\d+)</li>", listed)]
    assert len(set(numbers)) == 13
    assert numbers == sorted(numbers)
    row = raw.partition("<dt>Looked over</dt>")[2].partition("</dd>")[0]
    assert "not accepted" in words(row)
    assert "no limit asks" not in row


def test_a_lots_page_names_what_it_came_to(planned: Yard, as_: SignIn) -> None:
    """As a note, for release does not wait for it."""
    assert planned.no
    page = words(as_(Role.ENGINEER).get("/lots/B1/").content.decode())
    assert "y the inspection plan, inspection normal: asks 13 pieces" in page


def test_without_a_plan_the_page_says_how_to_set_one(yard: Yard, as_: SignIn) -> None:
    """With the lines of the settings."""
    assert yard.no
    page = words(as_(Role.ENGINEER).get("/products/FB6/inspection/").content.decode())
    assert "No plan of pieces looked over (pass and fail) is set. An engineer" in page
    assert "[inspection.FB6]" in page


@pytest.fixture
def awaited(planned: Yard) -> Yard:
    """From lot B3 on, release waits for the plan; of B3 ten pieces of twenty are looked over."""
    planned.set("inspection", "FB6", aql="1.0", switching=True, for_release=True, since=40)
    planned.mould("B3", carton="T-2", good=120, at=41)
    planned.look_over("B3", 10, at=70)
    return planned


def test_the_station_names_the_pieces_that_a_release_waits_for(awaited: Yard, as_: SignIn) -> None:
    """On its line, on its button, in its row and in the list of lots; not as of no limit."""
    assert awaited.no
    browser = as_(Role.ENGINEER)
    raw = browser.get("/stations/inspection/?lot=B3").content.decode()

    assert "Still: look over 3." in words(raw)
    button = re.search(r'<a class="act now"[^>]*do=look[^>]*>.*?</a>', raw, re.DOTALL)
    assert button is not None
    assert "still: look over 3" in words(button[0])
    row = words(raw.partition("<dt>Looked over</dt>")[2].partition("</dd>")[0])
    assert row.startswith("10 of 13 The inspection plan asks 13 pieces, at most 0 bad; only 10")
    assert words(raw).count("asks 13 pieces, at most 0 bad") == 2  # in its row, and in the plan's

    listed = words(browser.get("/stations/inspection/").content.decode())
    assert "Look over 3" in listed.partition("B3")[2]

    awaited.look_over("B3", 3, at=71)
    after = words(browser.get("/stations/inspection/?lot=B3").content.decode())
    assert "Inspection owes it nothing more." in after


def test_a_variables_plan_stands_on_the_page_and_at_the_station(yard: Yard, as_: SignIn) -> None:
    """How many pieces, which, and what the lot came to by its readings."""
    empty = words(as_(Role.AUDITOR).get("/products/FB6/inspection/").content.decode())
    assert "No variables plan is set." in empty
    plant = open_plant("P1")
    after = day_at(moment(plant), plant.zone) + timedelta(days=1)
    assert empty.count(f"since = {after}") == 2  # a plan of each kind
    body = {"product": "FB6", "characteristic": "length", "good": "1 %", "bad": "20 %"}
    yard.set("variables", "LENGTH", body, since=1)
    yard.limit("LENGTH-MIN", "length", "min", "1198 mm", statistic="each")
    yard.mould("B1", carton="", good=60, at=31)
    values = [f"{1200.0 + 0.1 * (number % 7):.1f} mm" for number in range(20)]
    yard.gauge("B1", "length", values, at=70)
    browser = as_(Role.ENGINEER)
    page = browser.get("/products/FB6/inspection/").content.decode()
    station = words(browser.get("/stations/inspection/?lot=B1").content.decode())

    assert "Variables plan LENGTH, set from" in words(page)
    assert "of 60" not in words(page)
    assert 'id="variables-0-' in page
    assert "deviations that the mean lies inside" in words(page)
    assert re.search(
        r"By the variables plan LENGTH: .*, (\d+) of \1 pieces measured, accepted", station
    )
    assert "Measure " in station
    assert "accepted." in station
