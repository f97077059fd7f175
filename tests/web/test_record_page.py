"""The record verified on a page, by whoever has no shell."""

from __future__ import annotations

import html
import re

import pytest

from beadwright.ledger import rebuild
from beadwright.plant.access import Role
from beadwright.web.record import views, visit
from tests.plant.yard import Yard
from tests.web.conftest import SignIn

pytestmark = pytest.mark.django_db


def test_the_head_stands_whole_and_the_foot_leads_there(yard: Yard, as_: SignIn) -> None:
    """Nothing is walked before it is asked."""
    seq, hashed = rebuild.head("P1")
    shown = as_(Role.AUDITOR).get("/record/").content.decode()
    assert f"<code>{seq}:{hashed}</code>" in shown
    assert '<a href="/record/">record</a> to entry' in shown
    assert "verifies" not in shown
    del yard


def test_it_says_what_it_walked_and_of_a_head_cut_short_that_it_was(
    yard: Yard, as_: SignIn
) -> None:
    """Typed as the foot of a page prints it."""
    seq, hashed = rebuild.head("P1")
    browser = as_(Role.AUDITOR)
    typed = f"record to entry {seq}, head {hashed[:12]}…"
    shown = browser.get("/record/", {"walk": "1", "head": typed}).content.decode()
    assert f"The record verifies, entries 1 to {seq}" in shown
    assert f"Entry {seq} has the hash that was kept elsewhere. Of it 12 figures of 64" in shown
    assert re.search(r"Walked in \d+\.\d\d s, by", shown)

    other = browser.get("/record/", {"walk": "1", "head": f"{seq}:{'0' * 64}"}).content.decode()
    assert "The record does not verify, at one place" in other
    assert other.index("typed once more before anything else") < other.index("rewritten: hash")
    del yard


def test_what_is_no_head_is_said_at_its_field(yard: Yard, as_: SignIn) -> None:
    """With what it needs; what was typed stays."""
    answer = as_(Role.AUDITOR).get("/record/", {"walk": "1", "head": "905f27c3b83f"})
    shown = html.unescape(answer.content.decode())
    assert answer.status_code == 422
    assert "12 figures of the hash at least" in shown
    assert 'value="905f27c3b83f"' in shown
    del yard


def test_where_time_is_up_it_says_how_far_and_goes_on(
    yard: Yard, as_: SignIn, monkeypatch: pytest.MonkeyPatch
) -> None:
    """By a link that holds what the first part came to."""
    monkeypatch.setattr(views, "SECONDS", -1.0)
    browser = as_(Role.AUDITOR)
    shown = browser.get("/record/", {"walk": "1"}).content.decode()
    assert "time was up" in shown
    (to,) = re.findall(r'href="(\?walk=1[^"]*)">Go on', shown)
    monkeypatch.setattr(views, "SECONDS", 10.0)
    on = browser.get(f"/record/{html.unescape(to)}").content.decode()
    assert f"The record verifies, entries 1 to {rebuild.head('P1')[0]}" in on
    del yard


def test_the_visit_file_is_made_on_a_page(yard: Yard, as_: SignIn) -> None:
    """By an auditor, of several lots; nothing is recorded by it."""
    head = rebuild.head("P1")
    yard.mould("L2")
    head = rebuild.head("P1")
    browser = as_(Role.AUDITOR)
    assert 'href="/record/visit/"' in browser.get("/record/").content.decode()
    assert 'href="/record/visit/"' in browser.get("/search/", {"q": "visit"}).content.decode()
    assert 'href="/record/visit/"' not in browser.get("/search/", {"q": "L1"}).content.decode()
    form = {"since": "2026-08-01", "lots": "L1, L2", "paper": "us-letter"}
    answer = browser.post("/record/visit/", form)
    assert answer["Content-Type"] == "application/pdf"
    assert answer["Content-Disposition"] == 'attachment; filename="visit-2026-08-01.pdf"'
    assert answer.content.startswith(b"%PDF-")
    assert rebuild.head("P1") == head


def test_a_visit_file_that_cannot_be_made_says_why(
    yard: Yard, as_: SignIn, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What was typed is still there; a record too long for a page is made at the shell."""
    assert yard.no
    browser = as_(Role.ENGINEER)
    wrong = [
        ({"since": "yesterday", "lots": "L1"}, "is no day"),
        ({"since": "2026-08-01", "lots": "L9"}, "no lot of P1 has the code or label"),
        ({"since": "2026-08-01", "lots": ""}, "name at least one lot"),
        ({"since": "2099-01-01", "lots": "L1"}, "is to come"),
    ]
    for form, why in wrong:
        answer = browser.post("/record/visit/", form)
        assert answer.status_code == 422
        said = answer.content.decode()
        assert why in said
        assert f'value="{form["since"]}"' in said
    monkeypatch.setattr(visit, "MOST_ENTRIES", 1)
    said = browser.post("/record/visit/", {"since": "2026-08-01", "lots": "L1"}).content.decode()
    assert "This record is too long for a page" in said
    assert '<form method="post" class="keyed"' not in said
