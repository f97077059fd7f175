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
