"""Inspection's pages: how a lot stands, in the release page's words, and what can be done now."""

from __future__ import annotations

import html
import re

import pytest

from beadwright.plant.access import Role
from beadwright.plant.opening import open_plant
from tests.plant.yard import Yard
from tests.web.conftest import SignIn
from tests.web.test_inspection import NOW, at_time, do, shown
from tests.web.test_press import form_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def bench(yard: Yard, monkeypatch: pytest.MonkeyPatch) -> Yard:
    """A lot of 40 that three weights must speak for, and a pass of its fusion."""
    yard.limit("FB6-DENSITY", "density", "min", "21.6 kg/m3", specimens=3)
    at_time(monkeypatch, NOW)
    return yard


def test_a_lot_that_nobody_has_released_may_ship_once_released(bench: Yard, as_: SignIn) -> None:
    """By a rule that is in force now, as the release page says; the page's time is before it."""
    bench.weigh("L1", "24h", [3.13, 3.13, 3.13], at=46)
    bench.set("release", "rule", persons=2, since=NOW + 24)
    page = shown(as_(Role.ENGINEER))
    (state,) = re.findall(r'<p><span class="state ([^"]+)">([a-z ,]+)</span>\s+40 pieces', page)
    assert state == ("ask", "may ship, once released")
    told = as_(Role.ENGINEER).get("/release/L1/").content.decode()
    assert "may ship, once released" in told.lower()


def test_the_list_says_now_of_what_can_be_done_now_alone(
    bench: Yard, as_: SignIn, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Moulded at hour 20, a day old from 20 h, at hour 40: fresh blocks are broken only."""
    bench.limit("FB6-FUSION", "fusion", "min", "85 %", specimens=1)
    browser = as_(Role.TECHNICIAN)
    for hour, needs, sort, says in (
        (41, "Weigh 3, break 1", "good", "now"),
        (23, "Break 1; weigh 3 from Wed 02 Sep, 16:00", "ask", "break now"),
        (39, "Break 1; weigh 3 from 16:00", "ask", "break now"),
    ):
        at_time(monkeypatch, hour)
        (told,) = re.findall(
            r'class="to-do">([^<]+)</span>\s*<span class="state (\w+)">([^<]+)<', shown(browser, "")
        )
        assert told == (needs, sort, says)


def test_the_list_says_when_the_first_blocks_are_a_day_old(
    bench: Yard, as_: SignIn, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A second run into the lot at hour 22: at hour 41 the first are 21 h old, the last are not."""
    bench.mould("L1", at=22)
    at_time(monkeypatch, 41)
    line = shown(as_(Role.TECHNICIAN), "")
    assert '<span class="state ask">its first now, all from 18:00</span>' in line
    bench.limit("FB6-FUSION", "fusion", "min", "85 %", specimens=1)
    line = shown(as_(Role.TECHNICIAN), "")
    assert "Break 1; weigh 3 (its first now, all from 18:00)" in line


def test_a_break_is_said_once_and_the_page_is_of_the_record_with_it(
    bench: Yard, as_: SignIn
) -> None:
    """Its entry is among what the foot says was read; another page then says the same."""
    browser = as_(Role.TECHNICIAN)
    before, _ = open_plant("P1").head
    page = do(browser, "fusion", fusion="92")
    after, _ = open_plant("P1").head
    assert after > before
    (said,) = re.findall(r'class="notice done".*?<div><p>(.*?)</p>', page, re.DOTALL)
    assert said.startswith("The break is in the record. L1 holds 40 pieces. Still: weigh 3.")
    assert said.count("in the record") == 1
    foot = re.compile(r"record</a> to entry (\d+)")
    assert foot.findall(page) == foot.findall(shown(browser)) == [str(after)]
    assert f'href="/entries/{after}/"' in page
    assert bench.no


def test_the_page_that_answers_a_correction_is_of_the_record_with_it(
    bench: Yard, as_: SignIn
) -> None:
    """The foot of the page that answers a correction says its entry too."""
    browser = as_(Role.ENGINEER)
    do(browser, "fusion", fusion="92")
    seq, _ = open_plant("P1").head
    way = f"/entries/{seq}/correct/"
    form = form_of(browser.get(way).content.decode())
    sent = {**form, "fusion": "93", "reason": "mistyped", "do": "post"}
    page = html.unescape(browser.post(way, sent).content.decode())
    after, _ = open_plant("P1").head
    assert after > seq
    assert f"record</a> to entry {after}" in page
    assert bench.no
