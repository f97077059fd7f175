"""Steering on the page of a pre-expander: what is advised, and the adjustment that is told."""

from __future__ import annotations

import re
from typing import Any

import pytest
from django.test import Client

from beadwright.plant.access import Role
from tests.plant.yard import Yard
from tests.web.conftest import SignIn
from tests.web.test_pre_expander import TARGET, in_si, look, opened, shown, tell, weigh, words

pytestmark = pytest.mark.django_db

BODY = {"kind": "expander", "feeds": ["S1", "S2"], "cup_volume": "10 L"}
IN_KG: dict[str, Any] = {"unit-charge": "kg"}


@pytest.fixture
def yard(yard: Yard) -> Yard:
    """An expander that stops on level and that a person trims, a silo, a bag and a target."""
    yard.set("place", "E1", {**BODY, "stops_on": "level", "trims": "person"})
    yard.set("cup", "FB6", TARGET)
    yard.set("grade", "F1", title="form beads", flame_retardant="yes")
    yard.bag("B-2", kg=400)
    return yard


@pytest.fixture
def operator(as_: SignIn, yard: Yard) -> Client:
    """Give the browser of an operator who reads SI."""
    assert yard.no
    return in_si(as_(Role.OPERATOR))


def test_an_adjustment_is_told_in_a_field_and_proposed_where_one_is_advised(
    operator: Client,
) -> None:
    """Cups that climb: the charge to set stands in the form; once told it stands on the page."""
    opened(operator)
    assert "For a forecast it would need a cup" in words(look(operator))
    tell(operator, "adjustments", charge="8.2", **IN_KG)
    offs = (0.1, -0.3, 0.4, 0.2, 0.8, 0.5, 1.1, 0.9, 1.5, 1.3, 1.9, 1.6, 2.2, 2.0, 2.5, 2.4)
    page = words(weigh(operator, *(f"{234 * (1 + 2 * off / 100):.2f}" for off in offs)))
    to = re.search(r"Change the charge: 8.20 kg to (\d\.\d\d) kg", page)
    assert to is not None
    assert 7.7 < float(to[1]) < 8.0

    form = shown(look(operator, "adjustments"))
    assert (form["charge"], form["expander"]) == (to[1], "E1")
    page = words(tell(operator, "adjustments", charge=to[1], **IN_KG))
    assert f"charge set to {to[1]} kg" in page


def test_advice_stands_while_no_run_is_open_too(operator: Client) -> None:
    """Before any cup it says what it would need; after a closed run, by the cups of that run."""
    page = words(look(operator))

    assert "No advice No run is open, and it would need" in page
    assert "Adjusted" in page
    opened(operator)
    tell(operator, "adjustments", charge="8.2", **IN_KG)
    weigh(operator, *(f"{234 + number % 3:.1f}" for number in range(16)))
    tell(operator, "silo_filled")
    tell(operator, "expansion_close")
    page = words(look(operator))

    assert "No run is open: this is by the cups of earlier runs." in page
    assert shown(look(operator, "adjustments"))["expander"] == "E1"
    told = words(tell(operator, "adjustments", charge="8.1", **IN_KG))
    assert "charge set to 8.1 kg" in told
