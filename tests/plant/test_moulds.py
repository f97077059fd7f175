"""Moulds as they were set up: dated, and nothing guessed."""

from __future__ import annotations

import pytest

from beadwright.errors import Refusal
from beadwright.interop.sheets.topics import TOPICS
from beadwright.ledger import settings
from beadwright.plant.access import Role, may_post
from beadwright.plant.first_pieces import SIGNERS
from beadwright.plant.moulds import mould_at
from tests.plant.yard import Yard, ms

pytestmark = pytest.mark.django_db


def test_a_mould_that_nobody_set_up_has_one_cavity() -> None:
    """And no offset is known."""
    yard = Yard.open()
    found = mould_at(settings.load(yard.no), "M-1", ms(1))
    assert (found.cavities, found.is_set, found.offsets) == (1, False, {})


def test_a_mould_is_as_it_was_set_up_at_the_time() -> None:
    """Before and after it was machined anew."""
    yard = Yard.open()
    yard.set("mould", "M-1", cavities=2, length_offset="0.1 in", height_offset="1 mm")
    yard.set("mould", "M-1", cavities=2, length_offset="0.2 in", since=10)
    in_force = settings.load(yard.no)
    before, after = mould_at(in_force, "M-1", ms(9)), mould_at(in_force, "M-1", ms(11))
    assert before.cavities == after.cavities == 2
    assert before.offsets == pytest.approx({"length": 0.00254, "height": 0.001})
    assert after.offsets == pytest.approx({"length": 0.00508})


@pytest.mark.parametrize(
    ("key", "value"),
    [("cavities", "two"), ("cavities", -1), ("length_offset", "0.1"), ("width_offset", "1 kg")],
)
def test_a_mould_that_cannot_be_read_is_refused(key: str, value: object) -> None:
    """At the door, for nothing in the record is taken back."""
    with pytest.raises(Refusal) as refused:
        Yard.open().set("mould", "M-1", {key: value})
    assert [one.code for one in refused.value.faults] == ["bad_setting"]


def test_who_signs_a_first_piece_is_somebody_who_may() -> None:
    """The list of signers is that of the roles whom the door lets sign."""
    assert {*SIGNERS} == {str(role) for role in Role if may_post(role, "first_piece")}
    yard = Yard.open()
    yard.set("first_piece", "rule", after=["start"], signed_by=["engineer", "shift_lead"])
    with pytest.raises(Refusal):
        yard.set("first_piece", "rule", after=["start"], signed_by=["operator"])


def test_a_settings_file_states_moulds_and_signers() -> None:
    """As a plant keeps them."""
    body = {"cavities": 2, "length_offset": "0.10 in"}
    rules = TOPICS["mould"]
    assert [rules[key].check(value) for key, value in body.items()] == ["", ""]
    assert rules["cavities"].check(0) == "must be a whole number from 1 on"
    assert "unit of length" in rules["height_offset"].check("0.1")
    assert TOPICS["first_piece"]["signed_by"].check(["engineer"]) == ""
    assert TOPICS["first_piece"]["signed_by"].check(["operator"]) != ""
