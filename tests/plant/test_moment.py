"""A plant is looked at now; an invented one when its weeks ended."""

from dataclasses import replace

import pytest

from beadwright.ledger import entered, lots
from beadwright.ledger.draft import Release
from beadwright.plant import moment as module
from beadwright.plant.door import now_ms
from beadwright.plant.moment import moment
from beadwright.plant.opening import open_plant
from beadwright.quality import readings
from tests.plant.asking import good_yard, the_lot
from tests.plant.yard import Yard, ms


@pytest.mark.django_db
def test_an_invented_plant_is_looked_at_when_its_last_step_happened(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Unless that lies ahead of us; its time goes on for half an hour after an entry."""
    yard = Yard.open()
    yard.bag("B-1", at=-24 * 400)
    plant = open_plant("P1")

    before = now_ms()
    assert before <= moment(plant) <= now_ms()
    invented = replace(plant, invented=True)
    for later, on in ((0, 0), (10, 10), (29, 29), (31, 30), (100_000, 30)):
        # The yard's own clock, by which it records, stands at hour 1440.
        monkeypatch.setattr(module, "now_ms", lambda later=later: ms(1440) + later * 60_000)
        assert moment(invented) - ms(-24 * 400) == on * 60_000


@pytest.mark.django_db
def test_an_invented_plants_time_never_goes_back_by_a_reading(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Cups keyed one after the other stand in the order in which they were keyed."""
    yard = Yard.open()
    yard.bag("B-1", at=-24 * 400)
    invented = replace(open_plant("P1"), invented=True)
    monkeypatch.setattr(module, "now_ms", lambda: ms(1440) + 5 * 60_000)
    before = moment(invented)
    yard.cup("S1", "hot", "230", at=-24 * 400 + 5 / 60)
    monkeypatch.setattr(module, "now_ms", lambda: ms(1440) + 60_000)

    assert moment(replace(open_plant("P1"), invented=True)) > before


@pytest.mark.django_db
def test_an_invented_plants_time_never_goes_back_by_a_release(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """What is shipped after a release does not leave before it; one of today says nothing."""
    yard = good_yard("L1")
    newest = max(lots.newest(yard.no), readings.newest(yard.no))
    yard.post(Release("R-1", newest + 20 * 60_000, "L1", the_lot(yard).evidence, by="P-13"))
    monkeypatch.setattr(module, "now_ms", lambda: ms(1440))
    released = moment(replace(open_plant("P1"), invented=True))
    yard.post(Release("R-2", ms(1439), "L1", the_lot(yard).evidence, by="P-14"))

    assert 0 <= released - (newest + 20 * 60_000) < 60_000
    assert moment(replace(open_plant("P1"), invented=True)) == released


@pytest.mark.django_db
def test_an_invented_plant_where_nothing_happened_is_looked_at_now() -> None:
    """There is no other time to take."""
    Yard.open()
    before = now_ms()

    assert moment(replace(open_plant("P1"), invented=True)) >= before


@pytest.mark.django_db
def test_what_is_timed_goes_on_to_the_second(monkeypatch: pytest.MonkeyPatch) -> None:
    """Twenty seconds between two decisions are twenty seconds, and no whole minutes."""
    yard = good_yard("L1")
    newest = max(lots.newest(yard.no), readings.newest(yard.no))
    plant = replace(open_plant("P1"), invented=True)
    last = entered.by_number("P1", [plant.head[0]])[plant.head[0]].recorded_at
    monkeypatch.setattr(module, "now_ms", lambda: last + 20_000)

    assert moment(plant, whole_minutes=False) == newest + 20_000
    assert moment(plant) >= newest + 20_000
