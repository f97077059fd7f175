"""A cup that was taken: its day beside it, and who corrects it where it was wrong."""

from __future__ import annotations

import re
from html import unescape
from zoneinfo import ZoneInfo

import pytest

from beadwright.interop import keyed
from beadwright.plant.access import Role, Who
from beadwright.plant.dead_band import Taken
from beadwright.web.stations.pre_expander.advice import last_cup
from tests.plant.yard import Yard, ms
from tests.web.conftest import CAST, SignIn

OPERATOR = CAST[Role.OPERATOR]


def test_a_cup_of_another_day_bears_that_day() -> None:
    """It may be of another run: the hour alone would pass for today's."""
    cup = Taken(1, "hot", ms(9), 23.4, "234.0 g", "10 L", "P-01", "X-1", "BAL-1", "inside")
    zone = ZoneInfo("UTC")
    today, later = last_cup(cup, ms(10), "si", zone), last_cup(cup, ms(40), "si", zone)

    assert today is not None
    assert later is not None
    assert re.fullmatch(r"\d\d:\d\d", today.when)
    assert re.fullmatch(r"\d+ \w{3} \d\d:\d\d", later.when)


@pytest.mark.django_db
def test_a_wrong_cup_says_who_corrects_it(as_: SignIn, yard: Yard) -> None:
    """On the page of its entry: whoever may not is told who may, and who may finds the way."""
    assert yard.no
    texts = {"silo": "S1", "where": "hot", "mass": "213.4", "volume": "10"}
    units = {"mass": "g", "volume": "L"}
    form = keyed.read("P1", "cups", texts, units=units, key="cup-1", by=OPERATOR)
    done = keyed.post("P1", form, Who(OPERATOR, Role.OPERATOR))
    assert done.posted, done.refused
    entry = f"/entries/{done.entries[0]}/"

    told = unescape(as_(Role.OPERATOR).get(entry).content.decode())
    assert "Wrong? It is corrected by technician or engineer: " in told
    assert "/correct/" not in told
    technician = as_(Role.TECHNICIAN)
    assert f'href="{entry}correct/"' in technician.get(entry).content.decode()
    assert technician.get(f"{entry}correct/").status_code == 200
