"""A press: what it makes, what may be drawn, each thing done by its own form, and by whom."""

from __future__ import annotations

import html
import re
from itertools import count

import pytest
from django.test import Client

from beadwright.interop.keyed import posting
from beadwright.ledger import lots
from beadwright.ledger.yields import yields
from beadwright.plant import moment
from beadwright.plant.access import Role
from beadwright.plant.door import Door
from beadwright.plant.opening import RULES
from tests.plant.yard import Yard, ms
from tests.web.conftest import CAST, SignIn

pytestmark = pytest.mark.django_db

PRESS = "/stations/press/FP1/"
OK = dict.fromkeys(("mass", "ties", "fusion", "dimensions", "code"), "ok")
NOW = 32.0


@pytest.fixture
def press(yard: Yard, monkeypatch: pytest.MonkeyPatch) -> Yard:
    """A press fed by two silos, with a mould of two cavities; it asks for first pieces."""
    for silo in ("S1", "S2"):
        yard.set("place", silo, kind="silo", content=True, feeds=["FP1"])
    yard.set("mould", "M-1", cavities=2, length_offset="3 mm")
    yard.set("first_piece", "rule", after=["start", "mould", "bead", "tie"], still_h="4", since=1)
    yard.expand("B-1", "S2", 100, at=22)
    yard.carton("T-2", at=21)
    at_time(monkeypatch, NOW)
    return yard


def at_time(monkeypatch: pytest.MonkeyPatch, hour: float) -> None:
    """Let it be so many hours since the plant's first day, on the page and at the door."""
    seconds = count(ms(hour), 1000)
    monkeypatch.setattr(moment, "now_ms", lambda: next(seconds))
    door = Door("P1", RULES, clock=lambda: next(seconds))
    monkeypatch.setattr(posting, "door_of", lambda _: door)


def form_of(page: str) -> dict[str, str]:
    """What a form holds before anything is keyed: every field as a browser would send it."""
    (form,) = re.findall(r'<form [^>]*class="keyed">.*?</form>', page, re.DOTALL)
    found = {}
    for field in re.findall(r"<input[^>]*>", form):
        named = re.search(r'name="([^"]*)"', field)
        value = re.search(r'value="([^"]*)"', field)
        if named and ('type="radio"' not in field or " checked" in field):
            found[named[1]] = html.unescape(value[1]) if value else ""
    for name, options in re.findall(r'<select name="([^"]*)".*?>(.*?)</select>', form, re.DOTALL):
        chosen = re.search(r"<option selected>([^<]*)", options)
        found[name] = chosen[1] if chosen else ""
    return found


def do(browser: Client, act: str, status: int = 200, /, **keyed: str) -> str:
    """Open the form of an act, key what it asks and send it; ``from_`` is the field ``from``."""
    keyed = {_field(name): text for name, text in keyed.items()}
    shown = browser.get(f"{PRESS}?do={act}" if act != "start" else PRESS)
    assert shown.status_code == 200
    filled = form_of(shown.content.decode())
    assert filled["act"] == act
    there = {*re.findall(r' name="([^"]+)"', shown.content.decode())}
    assert {*keyed} <= there, "what is keyed has a field"
    answer = browser.post(PRESS, {**filled, "do": "post", **keyed})
    page = html.unescape(answer.content.decode())
    assert answer.status_code == status, page
    return page


def _field(name: str) -> str:
    return f"unit-{name[5:]}" if name.startswith("unit_") else name.removesuffix("_")


START = {
    "product": "FB6", "mould": "M-1", "from_": "S1", "ties": "T-1", "lot": "L2", "run": "R-2",
    "foam_per_block": "1.495", "unit_foam_per_block": "kg", "scrap_bin": "BIN-1",
}  # fmt: skip


def started(browser: Client) -> str:
    """Start a run."""
    return do(browser, "start", **START)


def test_a_mould_run_from_its_start_to_its_end(press: Yard, as_: SignIn) -> None:
    """Start, first piece, scrap, count, weigh, gauge, break, stop, change, end: one form each."""
    operator, lead = as_(Role.OPERATOR), as_(Role.SHIFT_LEAD)
    page = started(operator)
    assert "The run is open." in page
    assert "First piece not signed" in page
    assert "The first piece is in the record." in do(lead, "first", **OK)
    assert "First piece signed" in operator.get(PRESS).content.decode()
    page = do(operator, "scrap", scrap="2", cause="short fill", cavity="2")
    assert "L2 " not in page
    assert "2 blocks scrapped: short fill, cavity 2" in page
    assert re.search(r"short fill, cavity 2</t[hd]><td[^>]*>2 blocks", page)
    assert {one.facts.get("cavity") for one in yields(press.no, "mould", ms(NOW), 9)} == {"2"}
    assert form_of(operator.get(f"{PRESS}?do=scrap").content.decode())["cavity"] == ""
    page = do(operator, "count", shots="10", good="18", scrap="0")
    assert "L2 holds 18 pieces" in page
    page = operator.get(f"{PRESS}?do=weigh").content.decode()
    assert "1 is proposed: none was weighed yet. Tap the block&#x27;s own." in page
    page = do(operator, "weigh", mass="3.1748", unit_mass="kg")
    assert "Dry foam of W1, cavity 1" in page
    assert "23.0" in page or "1.44 ± 0.03 lb/ft³" in page
    assert form_of(operator.get(f"{PRESS}?do=weigh").content.decode())["cavity"] == "2"
    page = do(operator, "gauge", length="1221", unit_length="mm")
    assert "about 47.953 in" in page  # 1221 mm less 3 mm
    assert "A block is judged by what it measures after 24 h." in page
    assert "90 %" in do(operator, "fusion", fusion="90", unit_fusion="%")
    assert "steam" in do(operator, "stop", minutes="1", cause="steam")
    assert "goes on with it" in do(operator, "carton", ties="T-2")
    assert "The run is ended." in do(operator, "end")
    view = lots.get(press.no, "L2")
    assert view is not None
    assert view.pieces == 18
    page = operator.get(PRESS).content.decode()
    assert "no run is open" in page
    assert form_of(page)["act"] == "start"


def test_the_next_run_is_filled_in_and_asked_about_before_it_is_started(
    press: Yard, as_: SignIn
) -> None:
    """The same product and mould, the next run and lot; a change makes it say no at once."""
    operator = as_(Role.OPERATOR)
    started(operator)
    do(operator, "end")
    page = operator.get(PRESS).content.decode()
    assert "Nothing forbids it." in page
    filled = form_of(page)
    said = {name: filled[name] for name in ("product", "mould", "from", "ties", "lot", "run")}
    assert said == {
        "product": "FB6", "mould": "M-1", "from": "S1", "ties": "T-1", "lot": "L3", "run": "R-3",
    }  # fmt: skip
    press.hold("H-1", "S1", at=31)
    page = html.unescape(operator.get(PRESS).content.decode())
    assert "H-1: smell" in page


def test_what_may_not_be_drawn_is_told_before_and_refused_with_its_reason(
    press: Yard, as_: SignIn
) -> None:
    """Packaging beads in the other silo: on the page, on its form, and when it is tried."""
    press.bag("B-9", grade="PK1", at=1)
    press.expand("B-9", "S2", 100, at=22.5)
    operator = as_(Role.OPERATOR)
    started(operator)
    page = html.unescape(operator.get(PRESS).content.decode())
    assert "not on the approved list of FB6" in page
    assert "not on the approved list" in operator.get(f"{PRESS}?do=silo").content.decode()
    page = do(operator, "silo", 422, from_="S2")
    assert "wrong_grade" in page
    assert "It has happened already: record it" in page


def test_a_form_is_asked_as_it_is_filled_and_records_nothing(press: Yard, as_: SignIn) -> None:
    """The fragment says what may be; the run is still of the first silo."""
    operator = as_(Role.OPERATOR)
    started(operator)
    filled = form_of(operator.get(f"{PRESS}?do=silo").content.decode())
    answer = operator.post(
        PRESS, {**filled, "do": "ask", "from": "S2"}, headers={"hx-request": "true"}
    )
    assert "Nothing is recorded yet" in answer.content.decode()
    assert "<form" not in answer.content.decode()
    assert ">S1</a>" in operator.get(PRESS).content.decode()
    assert press.no


def test_an_unusual_number_is_asked_once_and_a_form_sent_twice_posts_once(
    press: Yard, as_: SignIn
) -> None:
    """19 blocks of 10 shots of two cavities: yes keeps it, the second sending writes nothing."""
    operator, lead = as_(Role.OPERATOR), as_(Role.SHIFT_LEAD)
    started(operator)
    do(lead, "first", **OK)
    page = do(operator, "count", 422, shots="10", good="19", scrap="0")
    assert "19 of 10 shots" in page
    assert "Yes, as keyed: 10" in page
    filled = {**form_of(page), "do": "post", "kept": "shots=10"}
    first = operator.post(PRESS, filled).content.decode()
    again = operator.post(PRESS, filled).content.decode()
    assert "L2 holds 19 pieces" in first
    assert "It was in the record already." in again
    view = lots.get(press.no, "L2")
    assert view is not None
    assert view.pieces == 19


def test_a_stop_says_for_how_long_and_why(press: Yard, as_: SignIn) -> None:
    """Minutes that cannot be read come back with what else was keyed; a cause in own words."""
    operator = as_(Role.OPERATOR)
    started(operator)
    page = do(operator, "stop", 422, minutes="ten", cause="steam")
    assert "Say for how many minutes it stood." in page
    assert 'value="ten"' in page
    assert re.search(r'value="steam" checked', page)
    assert "fork lift in the way" in do(
        operator, "stop", minutes="0", cause="steam", other_cause="fork lift in the way"
    )
    assert press.no


def test_a_count_that_is_due_and_a_count_before_a_change_are_asked_for(
    press: Yard, as_: SignIn, monkeypatch: pytest.MonkeyPatch
) -> None:
    """After an hour; and before another silo, so that nothing is drawn of the wrong one."""
    operator = as_(Role.OPERATOR)
    started(operator)
    assert "A count is due" not in operator.get(PRESS).content.decode()
    at_time(monkeypatch, NOW + 1.1)
    assert "A count is due" in operator.get(PRESS).content.decode()
    page = operator.get(f"{PRESS}?do=silo").content.decode()
    assert "Count first" in page
    filled = form_of(operator.get(f"{PRESS}?do=count").content.decode())
    counted = {"shots": "10", "good": "0", "scrap": "20", "cause": "first shots", "do": "post"}
    answer = operator.post(PRESS, {**filled, **counted, "onward": "silo"})
    assert answer.status_code == 302
    assert answer.headers["Location"] == f"{PRESS}?do=silo"
    assert "Count first" not in operator.get(f"{PRESS}?do=silo").content.decode()
    assert press.no


def test_the_live_part_is_sent_only_where_something_is_new(press: Yard, as_: SignIn) -> None:
    """Nothing new: 204. A count by somebody else: the part, without the page around it."""
    operator = as_(Role.OPERATOR)
    started(operator)
    page = operator.get(PRESS).content.decode()
    (seen,) = re.findall(r'hx-get="([^"]+seen=[^"]+)"', page)
    assert operator.get(seen).status_code == 204
    do(as_(Role.ENGINEER), "first", **OK)
    answer = operator.get(seen)
    assert answer.status_code == 200
    assert answer.content.decode().lstrip().startswith('<div id="press"')
    assert "First piece signed" in answer.content.decode()
    assert press.no


# -- at two in the morning ------------------------------------------------------------------------

ACTS = {
    Role.OPERATOR: {
        "count", "weigh", "gauge", "fusion", "scrap", "stop", "silo", "carton", "end",
    },
    Role.SHIFT_LEAD: {
        "first", "count", "weigh", "gauge", "fusion", "scrap", "stop", "silo", "carton", "end",
    },
    Role.TECHNICIAN: {"first", "weigh", "gauge", "fusion"},
    Role.ENGINEER: {
        "first", "count", "weigh", "gauge", "fusion", "scrap", "stop", "silo", "carton", "end",
    },
    Role.AUDITOR: set(),
}  # fmt: skip


@pytest.mark.parametrize("role", ACTS)
def test_a_role_sees_what_it_may_do_and_whom_the_rest_waits_for(
    role: Role, press: Yard, as_: SignIn
) -> None:
    """Its buttons are those that the door lets through; the first piece names who signs it."""
    started(as_(Role.OPERATOR))
    browser = as_(role)
    page = html.unescape(browser.get(PRESS).content.decode())
    assert {*re.findall(r'id="do-(\w+)"', page)} == ACTS[role]
    for act in {*ACTS[Role.ENGINEER]} - ACTS[role]:
        assert browser.post(PRESS, {"act": act, "do": "post"}).status_code == 403
    waits = page[page.index("First piece not signed") : page.index('class="figures"')]
    assert "Missing: mass, ties, fusion, size, code" in waits
    assert ("It waits for" in waits) is (role in {Role.OPERATOR, Role.AUDITOR})
    assert press.no


def test_a_shift_lead_is_told_at_night_who_gives_a_concession(press: Yard, as_: SignIn) -> None:
    """By role and by person; what they may do themselves stands before it."""
    page = html.unescape(as_(Role.SHIFT_LEAD).get(PRESS).content.decode())
    duties = page[page.index('id="duties"') :]
    assert "What you may do as shift lead" in duties
    assert "sign a first piece, put a lot on hold" in duties
    engineer = CAST[Role.ENGINEER]
    assert re.search(
        rf"give a concession[^<]*</dt><dd>for engineer: .*{engineer[2:]} Somebody", duties
    )
    assert press.no


def test_where_the_plant_says_engineer_a_lead_does_not_sign(press: Yard, as_: SignIn) -> None:
    """Neither by the button, which is not there, nor by a form that is sent all the same."""
    press.set("first_piece", "rule", after=["start"], signed_by=["engineer"], since=2)
    started(as_(Role.OPERATOR))
    lead = as_(Role.SHIFT_LEAD)
    page = html.unescape(lead.get(PRESS).content.decode())
    assert 'id="do-first"' not in page
    assert re.search(r"It waits for engineer: [^.]*Somebody", page)
    form = {"act": "first", "key": "k", "press": "FP1", "lot": "L2", **OK, "do": "post"}
    assert lead.post(PRESS, form).status_code == 403
    assert 'id="do-first"' in as_(Role.ENGINEER).get(PRESS).content.decode()


def test_other_forms_stand_where_they_stood(press: Yard, as_: SignIn) -> None:
    """By their kind; not for who keys nothing here."""
    assert "First pieces" in as_(Role.OPERATOR).get(f"{PRESS}?kind=first_pieces").content.decode()
    assert as_(Role.AUDITOR).get(f"{PRESS}?kind=mould_runs").status_code == 403
    assert "S1 is no press" in as_(Role.OPERATOR).get("/stations/press/S1/").content.decode()
    assert press.no


def test_an_entry_is_corrected_in_place_by_who_may(press: Yard, as_: SignIn) -> None:
    """A count by the lead, by the way beside it; a weight is a technician's to void."""
    operator = as_(Role.OPERATOR)
    started(operator)
    do(operator, "count", shots="10", good="0", scrap="20", cause="first shots")
    do(operator, "weigh", mass="3.17", unit_mass="kg")
    by = {role: ways(as_(role)) for role in (Role.OPERATOR, Role.SHIFT_LEAD, Role.TECHNICIAN)}
    assert by[Role.OPERATOR] == ["Look", "Look", "Look"]
    assert by[Role.SHIFT_LEAD] == ["Look", "Correct", "Correct"]
    assert by[Role.TECHNICIAN] == ["Correct", "Look", "Look"]
    lead = as_(Role.SHIFT_LEAD)
    page = lead.get(PRESS).content.decode()
    (to,) = re.findall(r'href="(/entries/\d+/correct/)">Correct<span class="hidden"> 0 good', page)
    assert lead.get(to).status_code == 200
    assert press.no


def ways(browser: Client) -> list[str]:
    """What stands beside each entry, newest first."""
    page = browser.get(PRESS).content.decode()
    entries = page[page.index('class="entries"') : page.index('id="duties"')]
    return re.findall(r">(Correct|Look)<span", entries)


def test_a_block_that_is_surely_light_is_said_to_be(press: Yard, as_: SignIn) -> None:
    """Where even the upper end of its band lies below what each dry block must have."""
    operator = as_(Role.OPERATOR)
    started(operator)
    page = do(operator, "weigh", mass="3.1748", unit_mass="kg")
    assert "lighter than" not in page
    press.limit("D", "density", "min", "23.2 kg/m3", statistic="each")
    assert "lighter than" not in operator.get(PRESS).content.decode()
    press.limit("D2", "density", "min", "24.0 kg/m3", statistic="each")

    page = do(operator, "weigh", mass="3.1748", unit_mass="kg")
    assert "Lighter than a dry block may be: at least 1.498 lb/ft³." in page
    assert "Weigh another; what is made is judged dry." in page


def test_the_first_field_of_each_form_has_the_caret(press: Yard, as_: SignIn) -> None:
    """So that a figure is keyed, or a carton scanned, without a tap before it."""
    assert press.no
    operator = as_(Role.OPERATOR)
    started(operator)
    first = {"count": "shots", "weigh": "mass", "gauge": "length", "fusion": "fusion",
             "scrap": "scrap", "stop": "minutes", "silo": "from", "carton": "ties"}  # fmt: skip
    for act, name in first.items():
        page = operator.get(f"{PRESS}?do={act}").content.decode()
        assert re.findall(r'name="([^"]*)"[^>]* autofocus', page) == [name], act
    assert "autofocus" not in operator.get(PRESS).content.decode()


def test_what_is_refused_at_a_start_stands_open(press: Yard, as_: SignIn) -> None:
    """It is to be changed there: beads too fresh, with the silo to be named anew in sight."""
    press.expand("B-1", "S2", 50, at=31)
    page = do(as_(Role.OPERATOR), "start", 422, **{**START, "from_": "S2"})

    assert 'class="notice may_not"' in page
    assert re.search(r'<details class="filled" open><summary>Change something of it', page)


def test_a_break_is_told_in_hundredths(press: Yard, as_: SignIn) -> None:
    """No other unit of a share is offered."""
    assert press.no
    operator = as_(Role.OPERATOR)
    started(operator)
    page = operator.get(f"{PRESS}?do=fusion").content.decode()

    assert '<span class="unit">%</span>' in page
    assert "<select" not in page
    assert "85 %" in do(operator, "fusion", fusion="85")
