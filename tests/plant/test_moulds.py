"""Moulds as they were set up: dated, and nothing guessed."""

from __future__ import annotations

import pytest

from beadwright.ledger import settings
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
