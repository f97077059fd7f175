"""Refusals at a station: what may not be done leads on to why."""

from __future__ import annotations

import pytest

from beadwright.plant.access import Role
from tests.plant.yard import Yard
from tests.web.conftest import SignIn

pytestmark = pytest.mark.django_db


def test_what_may_not_leave_leads_to_why(as_: SignIn, yard: Yard) -> None:
    """A lot that is not released, at dispatch: one tap from the refusal to how it stands."""
    yard.set("release", "rule", persons=1)
    sent = {"kind": "shipments", "shipment": "SH-9", "receiver": "QUARRY LANE", "what": "L1",
            "pieces": "5", "key": "k-1", "do": "post"}  # fmt: skip
    page = as_(Role.SHIFT_LEAD).post("/stations/dispatch/", sent).content.decode()

    assert "not_released" in page
    assert '<a class="way" href="/lots/L1/">How it stands</a>' in page
