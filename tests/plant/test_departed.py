"""Where a test left its method: recorded, shown with the lot and its paper, judged by nobody."""

from __future__ import annotations

import pytest

from beadwright.ledger.draft import Reading
from beadwright.plant.departed import departed
from beadwright.quality.readings import of_lots
from tests.plant.asking import coded, the_lot
from tests.plant.planning import LATE, STRENGTH, lot, plant
from tests.plant.yard import Yard

pytestmark = pytest.mark.django_db

ROOM = {"conditioned_h": "48", "temperature": "23 °C", "humidity": "50 %", "thickness": "1.00 in"}


def strong(yard: Yard, code: str = "L1", method: str = "", **facts: str) -> None:
    """Read five strengths of a lot under the same conditions."""
    yard.read(
        [
            Reading(STRENGTH, "16.2", "psi", lot=code, specimen=f"C{i}", method=method, facts=facts)
            for i in range(1, 6)
        ],
        at=LATE,
    )


@pytest.fixture
def yard() -> Yard:
    """A plant that tests strength, with one lot."""
    yard = plant()
    lot(yard, "L1", 8)
    return yard


def test_a_test_as_asked_says_nothing(yard: Yard) -> None:
    """With every condition recorded."""
    strong(yard, **ROOM)

    assert departed(of_lots(yard.no, ["L1"])["L1"]) == ()
    assert coded(the_lot(yard), "method_departed") == []


def test_one_departure_of_several_specimens_is_told_once_with_their_names(yard: Yard) -> None:
    """And changes neither the answer nor the evidence that a release rests on."""
    strong(yard, **ROOM)
    before = the_lot(yard)
    strong(yard, **{**ROOM, "temperature": "28 °C"})
    found = departed(of_lots(yard.no, ["L1"])["L1"])
    after = the_lot(yard)

    assert len(found) == 1
    assert found[0].was_recorded
    assert found[0].sentence.startswith(
        "compressive resistance (C1 to C5): The temperature of conditioning was not as asked."
        " Was: 28 °C. Asked: 21 to 25 °C"
    )
    (reason,) = coded(after, "method_departed")
    assert reason.weight == "notes"
    assert reason.source.startswith("entry ")
    assert after.answer == before.answer


def test_what_was_not_recorded_is_told_apart_and_is_no_reason(yard: Yard) -> None:
    """It may have been as asked: nobody knows."""
    strong(yard, conditioned_h="48")
    found = departed(of_lots(yard.no, ["L1"])["L1"])

    assert [one.departure.code for one in found] == [
        "temperature_not_recorded", "humidity_not_recorded", "thickness_not_recorded",
    ]  # fmt: skip
    assert not any(one.was_recorded for one in found)
    assert coded(the_lot(yard), "method_departed") == []


def test_a_method_that_is_not_known_here_is_compared_with_nothing(yard: Yard) -> None:
    """An edition that follows the name is the same method."""
    strong(yard, method="ISO 844")
    assert departed(of_lots(yard.no, ["L1"])["L1"]) == ()

    strong(yard, method="ASTM D1621-16")
    assert len(departed(of_lots(yard.no, ["L1"])["L1"])) == 4


def test_what_a_reduction_wrote_is_told_as_it_stands(yard: Yard) -> None:
    """One line is one departure."""
    strong(yard, **ROOM, departed="The crosshead was too fast.\nThe curve had no straight part.")
    found = departed(of_lots(yard.no, ["L1"])["L1"])

    assert [one.departure.what for one in found] == [
        "The crosshead was too fast.", "The curve had no straight part.",
    ]  # fmt: skip
    assert len(coded(the_lot(yard), "method_departed")) == 2


def test_a_thin_conductor_is_told_by_its_resistance(yard: Yard) -> None:
    """3 mm at 0.036 W/(m K) has 0.083 m² K/W, below the 0.10 of the method."""
    facts = {"mean_temperature": "75 °F", "temperature_difference": "45 °F", "thickness": "3 mm"}
    yard.read(
        [Reading("thermal_conductivity", "0.036", "W/(m·K)", lot="L1", specimen="C1", facts=facts)]
    )
    (one,) = departed(of_lots(yard.no, ["L1"])["L1"])

    assert one.departure.code == "specimen_resistance"
    assert one.departure.value == "0.08333 m2·K/W"
