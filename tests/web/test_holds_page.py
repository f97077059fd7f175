"""Holds: placed with a reason, seen with what they reach, lifted by an engineer alone."""

from __future__ import annotations

import re

import pytest
from django.test import Client

from beadwright.ledger.people import Person, match
from beadwright.plant import accounts
from beadwright.plant.access import Role
from beadwright.plant.caused import by_cause
from beadwright.plant.held import holds_of
from beadwright.plant.nc_acts import Opening, affected, opening
from beadwright.plant.opening import open_plant
from tests.plant.yard import Yard, ms
from tests.web.conftest import CAST, SignIn

pytestmark = pytest.mark.django_db


@pytest.fixture
def lead(as_: SignIn, yard: Yard) -> Client:
    """A shift lead's browser, over a plant with two block lots of one silo."""
    yard.mould("L2", at=21)
    return as_(Role.SHIFT_LEAD)


def placed(browser: Client, lot: str = "S1", status: int = 302, **more: str) -> str:
    """Put a lot on hold."""
    said = {"reason": "smell of fuel", "key": "k-1", **more}
    answer = browser.post(f"/lots/{lot}/hold/", said)
    assert answer.status_code == status, answer.content.decode()
    return str(answer.headers.get("Location", "")) or answer.content.decode()


def reached(yard: Yard, name: str = "H-01") -> tuple[str, ...]:
    """Lots that a hold reaches."""
    return next(one.reach.lots for one in holds_of(yard.no) if one.hold == name)


def test_whoever_may_hold_holds_with_a_reason_and_once(lead: Client, yard: Yard) -> None:
    """Sent twice it is one hold, and it flows to what was made of the silo's beads."""
    assert 'href="/lots/S1/hold/"' in lead.get("/lots/S1/").content.decode()
    assert "a hold needs a reason" in placed(lead, status=422, reason=" ")
    assert placed(lead) == placed(lead) == "/holds/H-01/"

    assert [one.hold for one in holds_of(yard.no)] == ["H-01"]
    assert set(reached(yard)) == {"S1", "L1", "L2"}
    assert lead.get("/lots/NO-SUCH/hold/").status_code == 404


def test_who_may_not_lift_is_told_whom_it_waits_for(lead: Client, yard: Yard) -> None:
    """By role and by person, on the hold's page and on the list; a form sent all the same is no."""
    placed(lead)
    page = lead.get("/holds/H-01/").content.decode()
    list_ = lead.get("/holds/").content.decode()

    assert "It waits for engineer: " in page
    assert '<form method="post" class="keyed">' not in page
    assert "You may" in list_
    assert "lift a hold" in list_
    sent = {"reason": "looked into", "do": "all", "key": "k-2"}
    answer = lead.post("/holds/H-01/", sent)
    assert answer.status_code == 422
    assert "not_allowed" in answer.content.decode()
    assert set(reached(yard)) == {"S1", "L1", "L2"}


def test_an_engineer_lifts_it_from_the_lots_that_are_ticked(
    lead: Client, as_: SignIn, yard: Yard
) -> None:
    """A lot that is not ticked stays held; with all, nothing does; the same form lifts once."""
    placed(lead)
    engineer = as_(Role.ENGINEER)
    offered = re.findall(
        r'name="lot" value="([^"]+)"', engineer.get("/holds/H-01/").content.decode()
    )
    assert set(offered) == {"S1", "L1", "L2"}

    some = {"reason": "L1 tested", "lot": ["L1"], "do": "some", "key": "k-3"}
    for _ in range(2):
        assert "lifted from L1." in engineer.post("/holds/H-01/", some).content.decode()
    assert set(reached(yard)) == {"S1", "L2"}
    every = {"reason": "hose was it", "do": "all", "key": "k-4"}
    assert "It holds nothing any more" in engineer.post("/holds/H-01/", every).content.decode()
    assert reached(yard) == ()


@pytest.mark.parametrize(
    ("sent", "said"),
    [
        ({"do": "some", "reason": "looked into"}, "say from which lots"),
        ({"do": "all", "reason": " "}, "a lift needs a reason"),
        ({"do": "some", "reason": "looked into", "lot": "T-1"}, "hold_not_reached"),
    ],
)
def test_a_lift_that_says_too_little_comes_back_filled(
    lead: Client, as_: SignIn, yard: Yard, sent: dict[str, str], said: str
) -> None:
    """With what was keyed in it."""
    placed(lead)
    answer = as_(Role.ENGINEER).post("/holds/H-01/", {"key": "k-5", **sent})

    assert answer.status_code == 422
    assert said in answer.content.decode()
    assert sent["reason"].strip() in answer.content.decode()
    assert set(reached(yard)) == {"S1", "L1", "L2"}


def test_what_is_open_stands_beside_the_holds(as_: SignIn, yard: Yard) -> None:
    """A nonconformity that nobody has closed, with what it is about."""
    yard.bag("B-9", 100, at=41)
    page = as_(Role.AUDITOR).get("/holds/").content.decode()

    assert "No hold stands" in page
    assert "No nonconformity is open" in page
    yard.expand("B-9", "S1", 300, at=42)
    assert "More drawn than the books held" in as_(Role.AUDITOR).get("/holds/").content.decode()


def test_a_nonconformity_is_told_with_the_lots_it_holds(as_: SignIn, yard: Yard) -> None:
    """Nobody placed a hold, and yet a lot is held; who may concede is told where that is done."""
    yard.expand("B-1", "S2", 100, at=30)
    yard.mould("L9", "S2", good=10, at=31)
    page = as_(Role.ENGINEER).get("/holds/").content.decode()

    assert "Nobody has placed a hold" in page
    assert 'Holds <a class="row" href="/lots/L9/">L9</a>: 1 block lot; 10 blocks.' in page
    assert "nc-open" in page
    assert "nc-open" not in as_(Role.OPERATOR).get("/holds/").content.decode()


def test_a_hold_leads_to_the_lots_it_was_placed_on(lead: Client) -> None:
    """On the list and on its own page."""
    placed(lead, "L2")
    for address in ("/holds/", "/holds/H-01/"):
        assert '<a class="row" href="/lots/L2/">L2</a>' in lead.get(address).content.decode()


def test_a_hold_with_a_slash_in_its_name_has_a_page(as_: SignIn, yard: Yard) -> None:
    """A tag's own number may hold one."""
    yard.hold("7/26", "B-1", reason="torn")

    assert "Torn" in as_(Role.AUDITOR).get("/holds/7/26/").content.decode()
    assert as_(Role.AUDITOR).get("/holds/8/26/").status_code == 404


def test_names_stand_where_the_plant_keeps_them(lead: Client, yard: Yard) -> None:
    """Who placed it, and who may lift it."""
    assert yard is not None
    match("P1", [Person("EE", CAST[Role.ENGINEER], "Edda Example")])
    accounts.give(open_plant("P1"), CAST[Role.ENGINEER], "brass kettle")
    placed(lead)

    assert "EE Edda Example" in lead.get("/holds/H-01/").content.decode()


def overdrawn(yard: Yard) -> str:
    """A nonconformity that holds a block lot; gives the address of its page."""
    yard.expand("B-1", "S2", 100, at=30)
    yard.mould("L9", "S2", good=10, at=31)
    one = next(one for one in by_cause(yard.no) if not one.closed)
    return f"/nonconformities/{one.cause}/"


def form(page: str) -> dict[str, str]:
    """What a page sends back unseen."""
    return dict(re.findall(r'type="hidden" name="(key|seen)" value="([^"]+)"', page))


def test_an_engineer_concedes_with_a_reason_and_once(as_: SignIn, yard: Yard) -> None:
    """It closes what was looked at, and the page says why it was given; an entry, not an edit."""
    address = overdrawn(yard)
    browser = as_(Role.ENGINEER)
    assert f'href="{address}"' in browser.get("/holds/").content.decode()
    sent = form(browser.get(address).content.decode())
    none = browser.post(address, {**sent, "reason": " "})
    assert (none.status_code, "a concession needs a reason" in none.content.decode()) == (422, True)
    for _ in range(2):
        done = browser.post(address, {**sent, "reason": "fused well, bent and tested"})
        assert done.status_code == 200, done.content.decode()

    cause = address.split("/")[2]
    assert [one.reason for one in by_cause(yard.no, [cause])] == ["fused well, bent and tested"]
    assert "Fused well, bent and tested" in browser.get(address).content.decode()
    assert not [one for one in by_cause(yard.no) if not one.closed and one.cause == cause]


def test_who_may_not_concede_is_told_whom_it_waits_for(as_: SignIn, yard: Yard) -> None:
    """A form sent all the same is refused, and nothing is closed."""
    address = overdrawn(yard)
    sent = form(as_(Role.ENGINEER).get(address).content.decode())
    browser = as_(Role.OPERATOR)
    page = browser.get(address).content.decode()

    assert "It waits for engineer: " in page
    assert '<form method="post" class="keyed">' not in page
    assert browser.post(address, {**sent, "reason": "fine"}).status_code == 422
    assert [one for one in by_cause(yard.no) if not one.closed]


def test_what_came_since_somebody_looked_is_not_conceded_unseen(as_: SignIn, yard: Yard) -> None:
    """Another of the same cause: look again."""
    address = overdrawn(yard)
    browser = as_(Role.ENGINEER)
    sent = form(browser.get(address).content.decode())
    yard.mould("L10", "S2", good=10, at=31.5)
    no = browser.post(address, {**sent, "reason": "fine"})

    assert (no.status_code, "look again" in no.content.decode()) == (422, True)
    assert browser.get("/nonconformities/too_fresh:S77/").status_code == 404


def test_what_is_in_a_file_is_decided_there(as_: SignIn, yard: Yard) -> None:
    """A file decides by quantity; one word here would free all of them."""
    address = overdrawn(yard)
    cause = address.split("/")[2]
    browser = as_(Role.ENGINEER)
    sent = form(browser.get(address).content.decode())
    said = Opening("Beads too fresh", CAST[Role.ENGINEER], (cause,), affected(yard.no, (cause,)))
    for draft in opening(yard.no, "NC-0001", said, ms(32)):
        yard.post(draft)
    page = browser.get(address).content.decode()

    assert "NC-0001" in page
    assert '<form method="post" class="keyed">' not in page
    no = browser.post(address, {**sent, "reason": "fine"})
    assert (no.status_code, "is in file NC-0001" in no.content.decode()) == (422, True)
