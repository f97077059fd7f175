"""Inspection's pages: how a lot stands, in the release page's words, and what can be done now."""

from __future__ import annotations

import re

import pytest

from beadwright.plant.access import Role
from tests.plant.yard import Yard
from tests.web.conftest import SignIn
from tests.web.test_inspection import NOW, at_time, shown

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
    for hour, sort, says in (
        (41, "good", "now"),
        (23, "ask", "break now; weigh from Wed 02 Sep, 16:00"),
        (39, "ask", "break now; weigh from 16:00"),
    ):
        at_time(monkeypatch, hour)
        (told,) = re.findall(
            r'Weigh 3, break 1</span>\s*<span class="state (\w+)">([^<]+)<', shown(browser, "")
        )
        assert told == (sort, says)


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
    assert "break now; weigh its first now, all from 18:00" in line
