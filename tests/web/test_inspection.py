"""Inspection: what a lot still needs, each thing done by its own form, the effect seen at once."""

from __future__ import annotations

import html
import re
from itertools import count
from pathlib import Path

import pytest
from django.test import Client

from beadwright.interop.keyed import posting
from beadwright.interop.recorded import Recorded
from beadwright.ledger import entered, lots
from beadwright.ledger.texts import content_of
from beadwright.plant import moment
from beadwright.plant.access import Role
from beadwright.plant.door import Door
from beadwright.plant.inspecting import inspecting
from beadwright.plant.opening import RULES, open_plant
from beadwright.quality import readings
from tests.interop.plant import HEADERS, Plant
from tests.plant.yard import Yard, ms
from tests.web.conftest import CAST, SignIn
from tests.web.test_press import form_of

pytestmark = pytest.mark.django_db

STATION = "/stations/inspection/"
NOW = 48.0
"""The lot was moulded at hour 20: its blocks are 28 h old."""


@pytest.fixture
def bench(yard: Yard, monkeypatch: pytest.MonkeyPatch) -> Yard:
    """A lot of 40 that three weights and three lengths must speak for, and no defect."""
    yard.limit("FB6-DENSITY", "density", "min", "21.6 kg/m3", specimens=3)
    yard.limit("FB6-LENGTH", "length", "max", "1222 mm", specimens=3)
    yard.limit("FB6-TIES", "defective_ties", "max", "0 pcs", specimens=20)
    at_time(monkeypatch, NOW)
    return yard


def at_time(monkeypatch: pytest.MonkeyPatch, hour: float) -> None:
    """Let it be so many hours since the plant's first day, on the page and at the door."""
    seconds = count(ms(hour), 1000)
    monkeypatch.setattr(moment, "now_ms", lambda: next(seconds))
    door = Door("P1", RULES, clock=lambda: next(seconds))
    monkeypatch.setattr(posting, "door_of", lambda _: door)


def shown(browser: Client, query: str = "?lot=L1", status: int = 200) -> str:
    """A page of the station."""
    answer = browser.get(f"{STATION}{query}")
    assert answer.status_code == status
    return html.unescape(answer.content.decode())


def do(browser: Client, act: str, status: int = 200, /, **keyed: str) -> str:
    """Open the form of an act, key what it asks and send it."""
    page = browser.get(f"{STATION}?lot=L1&do={act}").content.decode()
    form = page[page.index('class="keyed"') - 200 :]
    keyed = {name.replace("more_", "more-").replace("unit_", "unit-"): text
             for name, text in keyed.items()}  # fmt: skip
    assert {*keyed} <= {*re.findall(r' name="([^"]+)"', form)}, "what is keyed has a field"
    answer = browser.post(STATION, {**form_of(page), "do": "post", **keyed})
    assert answer.status_code == status, answer.content.decode()
    return html.unescape(answer.content.decode())


BLOCK = {"mass": "3.13", "unit_mass": "kg", "length": "1220", "unit_length": "mm"}


def needs(page: str) -> dict[str, str]:
    """How each thing stands that a lot needs, as the page says it."""
    rows = re.findall(r'<dt>([^<]*)</dt><dd><span class="state \w+">([^<]*)', page)
    return dict(rows)


def test_what_is_needed_is_what_the_release_question_says(bench: Yard, as_: SignIn) -> None:
    """Each count and each sentence of the page is of the lot's own assessment."""
    page = shown(as_(Role.TECHNICIAN))
    assert needs(page) == {
        "Weighed": "0 of 3", "Gauged": "0 of 3", "Looked over": "0 of 20",
        "Fusion": "no limit asks for it",
    }  # fmt: skip
    assert "Still: weigh 3, gauge 3, look over 20." in page
    assert "28 h old" in page
    found = inspecting(bench.no, "L1", ms(NOW))
    told = {one.missing for one in found.lot.limits}
    assert told == {"no block was weighed at 24 h or dry", "no reading of length",
                    "no reading of defective ties"}  # fmt: skip
    assert {one.limit.name for need in found.needs for one in need.limits} == {
        one.limit.name for one in found.lot.limits
    }


def test_three_blocks_one_after_the_other_and_the_line_follows_each(
    bench: Yard, as_: SignIn
) -> None:
    """The next block's form is there at once; the wet mass is told as dry net density."""
    browser = as_(Role.TECHNICIAN)
    first = do(browser, "block", **BLOCK)
    assert needs(first)["Weighed"] == "1 of 3"
    assert "Still: weigh 2, gauge 2, look over 20." in first
    # (3.13 kg less 6 ties of 0.27 kg), less 1 % water, over 65 L.
    assert "Dry foam of D1: 1.44 ± 0.01 lb/ft³." in first
    again = form_of(first)
    assert (again["act"], again["specimen"], again["state"]) == ("block", "D2", "24h")
    assert again["mass"] == ""
    do(browser, "block", **BLOCK)
    last = do(browser, "block", **BLOCK)
    assert needs(last)["Weighed"] == "met"
    assert "Still: look over 20." in last
    assert 'class="keyed"' not in last
    assert inspecting(bench.no, "L1", ms(NOW)).open[0].part == "look"


def test_pieces_are_looked_over_by_taps_and_more_bad_ones_are_keyed(
    bench: Yard, as_: SignIn
) -> None:
    """None bad is a pass, a number keyed goes before the one tapped; what is rejected moves."""
    browser = as_(Role.TECHNICIAN)
    ok = {"bad_ties": "0", "bad_fusion": "0", "bad_dimension": "1", "bad_surface": "0"}
    page = do(browser, "look", checked="20", **ok, more_bad_dimension="7",
              rejected="7", scrap_bin="BIN-9")  # fmt: skip
    assert needs(page)["Looked over"] == "met"
    assert "20 pieces looked at; bad: size 7." in page
    assert "L1 holds 33 pieces" in page
    view = lots.get(bench.no, "L1")
    assert view is not None
    assert view.pieces == 33


def test_a_mould_of_several_cavities_is_asked_for_the_one_of_the_pieces(
    bench: Yard, as_: SignIn
) -> None:
    """None is chosen before somebody taps one; a mould of one cavity is not asked for."""
    browser = as_(Role.TECHNICIAN)
    assert 'name="cavity"' not in shown(browser, "?lot=L1&do=look")

    bench.set("mould", "M-1", cavities=2)
    bench.mould("L1", good=10, at=21, mould="M-1")
    assert form_of(shown(browser, "?lot=L1&do=look"))["cavity"] == ""
    ok = dict.fromkeys(("bad_ties", "bad_fusion", "bad_dimension", "bad_surface"), "0")
    do(browser, "look", checked="20", cavity="2", **ok)
    said = readings.of_lots(bench.no, ["L1"])["L1"]
    assert {one.facts.get("cavity") for one in said} == {"2"}


def test_without_a_number_of_pieces_and_with_more_bad_than_looked_at_it_comes_back(
    bench: Yard, as_: SignIn
) -> None:
    """Nothing is written; what was tapped and keyed still stands."""
    head = open_plant("P1").head
    page = do(as_(Role.TECHNICIAN), "look", 422, checked="2", bad_ties="3", more_bad_fusion="12")
    assert "3 are bad of 2 looked at" in page
    filled = form_of(page)
    assert (filled["bad_ties"], filled["more-bad_fusion"], filled["checked"]) == ("3", "12", "2")
    assert open_plant("P1").head == head
    assert bench.no


def test_a_young_block_screens_and_is_asked_about_where_it_is_said_to_be_old(
    bench: Yard, as_: SignIn, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Two hours after the press: from when it counts is said; a day old is asked once."""
    at_time(monkeypatch, 22.0)
    browser = as_(Role.TECHNICIAN)
    page = shown(browser, "?lot=L1&do=block")
    assert "Counts from 20 h on" in page
    assert "too young to be judged" in page
    filled = form_of(page)
    assert (filled["state"], filled["age"], filled["specimen"]) == ("press", "2.0", "W1")
    page = do(browser, "block", **BLOCK)
    assert needs(page)["Weighed"] == "0 of 3"
    page = do(browser, "block", 422, **BLOCK, state="24h")
    assert "a day old from 20 h" in page
    assert "Yes, as keyed: 24h" in page
    filled = {**form_of(page), "do": "post", "kept": "state=24h"}
    assert "Dry foam of" in browser.post(STATION, filled).content.decode()
    assert needs(shown(browser))["Weighed"] == "0 of 3"
    assert bench.no


def test_what_is_proposed_follows_when_a_block_was_read(
    bench: Yard, as_: SignIn, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Opened at the press, keyed for the next day: a day old, and seen before it is recorded."""
    at_time(monkeypatch, 22.0)
    browser = as_(Role.TECHNICIAN)
    filled = form_of(shown(browser, "?lot=L1&do=block"))
    assert (filled["state"], filled["age"], filled["specimen"]) == ("press", "2.0", "W1")
    at_time(monkeypatch, NOW)
    said = {**form_of(shown(browser, "?lot=L1&do=block")), **filled, **BLOCK, "unit-mass": "kg",
            "unit-length": "mm", "at": "2026-09-02 23:00", "stood": ["at=", "lot=L1", "state=press",
            "specimen=W1", "age=2.0", "instrument="]}  # fmt: skip
    head = open_plant("P1").head
    live = browser.post(STATION, {**said, "do": "ask"}, headers={"HX-Request": "true"})
    told = live.content.decode()
    assert "the block is a day old, age 27.0" in re.sub(r"hours since it was moulded", "age", told)
    assert 'id="states" hx-swap-oob="true"' in told
    assert re.search(r'id="field-specimen" hx-swap-oob="true">.*value="D1"', told, re.DOTALL)

    page = browser.post(STATION, {**said, "do": "post"})
    assert (page.status_code, open_plant("P1").head) == (422, head)
    again = form_of(page.content.decode())
    assert (again["state"], again["age"], again["specimen"]) == ("24h", "27.0", "D1")
    wet = html.unescape(browser.post(STATION, {**again, "state": "press", "do": "post"})
                        .content.decode())  # fmt: skip
    assert "its youngest block is 27.0 h old, and a day old from 20 h" in wet
    assert "Yes, as keyed: press" in wet
    done = html.unescape(browser.post(STATION, {**again, "do": "post"}).content.decode())
    assert needs(done)["Weighed"] == "1 of 3"
    assert bench.no


def test_while_some_are_a_day_old_and_some_not_no_age_is_proposed(bench: Yard, as_: SignIn) -> None:
    """Nobody but who holds the block knows which it is."""
    bench.mould("L1", at=38)
    filled = form_of(shown(as_(Role.TECHNICIAN), "?lot=L1&do=block"))
    assert (filled["age"], filled.get("state")) == ("", None)
    assert "Take one of those moulded first" in shown(as_(Role.TECHNICIAN), "?lot=L1&do=block")


ROWS = {
    "block": (
        "inspections",
        "k-1,2026-09-02 23:00,L1,D1,26,24h,3.13,1220,406,279.4,,,,,,,,SCALE,22",
    ),
    "look": ("inspections", "k-1,2026-09-02 23:00,L1,,,24h,,,,,20,0,1,7,0,2,BIN-9,,22"),
    "fusion": ("results", "k-1,2026-09-02 23:00,L1,B1,85,22"),
}  # fmt: skip
HEADS = {**HEADERS, "results": "at,lot,specimen,fusion [%],by"}


@pytest.mark.parametrize("act", ROWS)
def test_a_form_says_to_the_byte_what_its_row_says(
    act: str, bench: Yard, as_: SignIn, tmp_path: Path
) -> None:
    """The same row in a sheet, and keyed on the page: the same drafts."""
    kind, row = ROWS[act]
    named = [one.partition(" [") for one in HEADS[kind].split(",")]
    cells = dict(zip([name for name, _, _ in named], row.split(",")[1:], strict=True))
    browser = as_(Role.TECHNICIAN)
    assert cells.pop("by") == CAST[Role.TECHNICIAN][2:]
    said = {name: text for name, text in cells.items() if text or name == "specimen"}
    said |= {f"unit-{name}": unit.rstrip("]") for name, _, unit in named if unit and cells[name]}
    if cells.get("bad_dimension"):
        said |= {"bad_dimension": "1", "more-bad_dimension": cells["bad_dimension"]}
    filled = form_of(browser.get(f"{STATION}?lot=L1&do={act}").content.decode())
    answer = browser.post(STATION, {**filled, **said, "key": "k-1", "do": "post"})
    assert answer.status_code == 200, answer.content.decode()
    head = open_plant("P1").head[0]
    newest = entered.by_number("P1", range(head - 1, head + 1))
    drafts = [newest[seq].draft for seq in sorted(newest)]
    posted = [one for one in drafts if one.key.startswith(f"{kind}/k-1")]

    sheets = Plant(tmp_path, sheets={kind: [row]}, headers=HEADS)
    intake = sheets.read(Recorded("P1"), only=[kind])
    assert not intake.faults, intake.faults
    assert [content_of(one) for one in posted] == [content_of(one) for one in intake.drafts]
    assert len(posted) == (2 if act == "look" else 1)
    assert bench.no


def test_beads_torn_are_told_in_hundredths_and_in_no_other_unit(bench: Yard, as_: SignIn) -> None:
    """As at the press: nobody chooses between hundredths and millimetres a metre."""
    page = shown(as_(Role.TECHNICIAN), "?lot=L1&do=fusion")
    assert form_of(page)["unit-fusion"] == "%"
    assert "mm/m" not in page
    assert bench.no


def test_a_form_is_asked_as_it_is_filled_and_posts_once(bench: Yard, as_: SignIn) -> None:
    """The fragment records nothing; the second sending writes nothing."""
    browser = as_(Role.TECHNICIAN)
    filled = {**form_of(shown(browser, "?lot=L1&do=block")), "mass": "3.13", "unit-mass": "kg"}
    head = open_plant("P1").head
    live = browser.post(STATION, {**filled, "do": "ask"}, headers={"hx-request": "true"})
    assert "Nothing is recorded yet" in live.content.decode()
    assert "<form" not in live.content.decode()
    assert open_plant("P1").head == head
    assert "Recorded." in browser.post(STATION, {**filled, "do": "post"}).content.decode()
    head = open_plant("P1").head
    again = browser.post(STATION, {**filled, "do": "post"}).content.decode()
    assert "It was in the record already." in again
    assert open_plant("P1").head == head
    assert bench.no


@pytest.mark.parametrize("act", ["block", "look", "fusion"])
def test_what_is_answered_as_it_is_filled_has_its_place_on_the_page(
    act: str, bench: Yard, as_: SignIn
) -> None:
    """A form of few fields is answered about those alone; a browser finds each of them."""
    browser = as_(Role.TECHNICIAN)
    page = shown(browser, f"?lot=L1&do={act}")
    sent = {**form_of(page), "do": "ask", "lot": "L", "at": "2026-09-02 23:00"}
    to = f"{STATION}?lot=L1"
    live = browser.post(to, sent, headers={"HX-Request": "true"}).content.decode()
    swapped = re.findall(r'id="([^"]+)" hx-swap-oob', live)

    assert "which-lot" in swapped
    assert {*swapped} <= {*re.findall(r'id="([^"]+)"', page)}
    assert bench.no


def test_a_lot_is_scanned_or_taken_from_those_that_wait(bench: Yard, as_: SignIn) -> None:
    """By its code in any letters; a part of one is asked about, what is none is said."""
    bench.mould("L2", at=21)
    bench.mould("L3", at=47)
    browser = as_(Role.TECHNICIAN)
    page = shown(browser, "")
    assert re.findall(r'class="act" href="\?lot=([^"]+)"', page) == ["L1", "L2", "L3"]
    assert "3 lots wait for inspection" in page
    assert "<h1>L1 " in shown(browser, "?lot=l1")
    assert "Nothing is called NO-SUCH" in shown(browser, "?lot=NO-SUCH", 404)
    bench.mould("LOT-77", at=47.5)
    asked = shown(browser, "?lot=OT-7")
    assert "Is “OT-7” this one?" in asked
    assert 'href="?lot=LOT-77"' in asked
    bench.bundle("BU-1", "L2", 4, at=47)
    assert "<h1>L2 " in shown(browser, "?lot=BU-1")
    bench.bundle("BU-1", "L3", 4, at=47.5)
    assert "BU-1 is no block lot" in shown(browser, "?lot=BU-1", 404)
    assert "B-1 is bead" in shown(browser, "?lot=B-1", 404)
    assert "<h1>L2 " in shown(browser, "?lot=L2&do=no-such-act")


def test_why_a_lot_may_not_ship_whatever_is_measured_stands_first(bench: Yard, as_: SignIn) -> None:
    """A hold; and a block that seems to lack a tie, with what to do about it."""
    bench.hold("H-1", "L1", at=47)
    bench.weigh("L1", "24h", [3.13, 2.86, 3.13, 3.13], at=46)
    page = shown(as_(Role.TECHNICIAN))
    assert re.search(r'class="notice may_not".*smell', page, re.DOTALL)
    assert "count the ties before the foam is called light" in page
    assert "Where one is missing, reject the block" in page
    assert page.index("smell") < page.index("Still:")


def test_what_was_read_of_it_is_corrected_in_place(bench: Yard, as_: SignIn) -> None:
    """By a technician what is a reading only; what moved pieces as well is a shift lead's."""
    browser = as_(Role.TECHNICIAN)
    do(browser, "look", checked="20", bad_ties="0", rejected="1", scrap_bin="BIN-9")
    do(browser, "block", **BLOCK)
    page = shown(browser)
    ways = re.findall(r'href="(/entries/\d+/(?:correct/)?)">(Correct|Look)<', page)
    assert [words for _, words in ways] == ["Correct", "Look"]
    assert browser.get(ways[0][0]).status_code == 200
    assert bench.no


@pytest.mark.parametrize("role", Role)
def test_who_inspects_is_served_and_nobody_else(role: Role, bench: Yard, as_: SignIn) -> None:
    """A shift lead, a technician, an engineer; the form with every field stands where it did."""
    browser = as_(role)
    fine = role in {Role.SHIFT_LEAD, Role.TECHNICIAN, Role.ENGINEER}
    for query in (
        "",
        "?lot=L1",
        "?lot=L1&do=look",
        "?kind=inspections",
        "?kind=inspections&lot=L1",
    ):
        assert browser.get(f"{STATION}{query}").status_code == (200 if fine else 403)
    sent = browser.post(STATION, {"act": "look", "lot": "L1", "checked": "3", "bad_ties": "0"})
    assert sent.status_code == (200 if fine else 403)
    assert browser.post(STATION, {"act": "no-such"}).status_code == 403
    assert bench.no


def test_bad_pieces_are_asked_a_place_and_a_digit_too_many_is_refused(
    bench: Yard, as_: SignIn
) -> None:
    """One bad of twenty stays in the lot by the books, unless somebody says that it does."""
    browser = as_(Role.TECHNICIAN)
    head = open_plant("P1").head
    page = do(browser, "look", 422, checked="20", bad_ties="1")

    assert "1 bad piece of 20, and none is rejected: by the books it stays in L1" in page
    assert "Yes, as keyed: none rejected" in page
    many = do(browser, "look", 422, checked="9999", bad_ties="0")
    assert "9999 are looked at of 40 made of L1" in many
    assert "Yes, as keyed" not in many
    assert open_plant("P1").head == head

    form = form_of(browser.get(f"{STATION}?lot=L1&do=look").content.decode())
    said = {**form, "do": "post", "checked": "20", "bad_ties": "1", "kept": "rejected="}
    assert "bad: ties 1" in html.unescape(browser.post(STATION, said).content.decode())
    assert bench.no
