"""A plant is looked at now; an invented one when its weeks ended."""

from dataclasses import replace

import pytest

from beadwright.plant.door import now_ms
from beadwright.plant.moment import moment
from beadwright.plant.opening import open_plant
from tests.plant.yard import Yard, ms


@pytest.mark.django_db
def test_an_invented_plant_is_looked_at_when_its_last_step_happened() -> None:
    """Unless that lies ahead of us."""
    yard = Yard.open()
    yard.bag("B-1", at=-24 * 400)
    plant = open_plant("P1")

    before = now_ms()
    assert before <= moment(plant) <= now_ms()
    assert moment(replace(plant, invented=True)) == ms(-24 * 400)


@pytest.mark.django_db
def test_an_invented_plant_where_nothing_happened_is_looked_at_now() -> None:
    """There is no other time to take."""
    Yard.open()
    before = now_ms()

    assert moment(replace(open_plant("P1"), invented=True)) >= before
