"""The verb `air`: the caution first, unknown where anything is missing, one room by its name."""

import json

import pytest

from tests.cli.shell import Shell
from tests.plant.test_pentane_screen import hall

pytestmark = pytest.mark.django_db


def test_the_caution_stands_before_the_rooms(shell: Shell) -> None:
    """And what is missing stands with the room; the plant is looked at long after it was set."""
    hall(flow_switch=None)
    told = shell("air", "HALL")
    words = " ".join(told.out.split())

    assert told.status == 0
    assert words.index("Calculated, not measured.") < words.index("Room HALL: unknown")
    assert "Missing: whether the fan runs. Take it as not safe." in words


def test_a_room_is_asked_for_by_its_name(shell: Shell) -> None:
    """One that is not there is misuse, and names those that are."""
    hall()
    told = shell("air", "HAL")

    assert told.status == 2
    assert "'HAL'; its rooms: HALL" in " ".join(told.err.split())


def test_without_rooms_nothing_is_known(shell: Shell) -> None:
    """Said in so many words."""
    hall(places=[])
    rooms = json.loads(shell("air", "--json").out)

    assert rooms["in_no_room"] == ["S1"]
    assert "In no room that is set, and so unknown: S1" in shell("air").out


def test_each_number_opens_to_its_source(shell: Shell) -> None:
    """In US units where they are asked for; and to its band, and what would narrow it."""
    hall()
    told = " ".join(shell("air", "--why", "--units", "us").out.split())

    assert "HALL, lower explosive limit: 1.100 %" in told
    assert "IEC 60079-20-1:2010" in told
    assert "lb/h" in told
    assert "cfm" in told
    assert "its band:" in told
    assert "narrower with:" in told
