"""What a plant sets of the physics: dated, with its unit, and nothing guessed."""

from __future__ import annotations

import pytest

from beadwright.errors import Refusal
from beadwright.interop.sheets.topics import TOPICS
from beadwright.ledger import settings
from beadwright.plant.physical import NUMBERS, PHYSICAL, physical
from tests.plant.yard import Yard, ms

pytestmark = pytest.mark.django_db


def test_what_nobody_set_is_not_known() -> None:
    """Neither of a thing that was never set up, nor of one that was set up without it."""
    yard = Yard.open()
    yard.set("mould", "M-1", cavities=2)
    in_force = settings.load(yard.no)
    assert physical(in_force, "mould", "M-1", "tool_mass", ms(1)) is None
    assert physical(in_force, "room", "HALL", "volume", ms(1)) is None


def test_what_was_set_is_given_in_si_as_of_its_time() -> None:
    """Units as people write them, a bare number where there is none, the newest of that time."""
    yard = Yard.open()
    yard.set("mould", "M-1", steam="10 psi", tool_from="140 °F", purges="2")
    yard.set("mould", "M-1", steam="0.7 bar", since=10)
    yard.set("room", "HALL", places=[], air_flow="3531.4667 cfm", share="0.25")
    in_force = settings.load(yard.no)
    at = {key: physical(in_force, "mould", "M-1", key, ms(1)) for key in ("steam", "tool_from")}
    assert at == pytest.approx({"steam": 68947.57, "tool_from": 333.15})
    assert physical(in_force, "mould", "M-1", "steam", ms(11)) == pytest.approx(70_000)
    assert physical(in_force, "mould", "M-1", "purges", ms(1)) == 2
    assert physical(in_force, "room", "HALL", "air_flow", ms(1)) == pytest.approx(1 / 0.6)
    assert physical(in_force, "room", "HALL", "share", ms(1)) == 0.25


@pytest.mark.parametrize(
    ("topic", "key", "value"),
    [
        ("mould", "tool_mass", "150"),
        ("mould", "steam", "0.7 kg"),
        ("mould", "purges", "twice"),
        ("room", "air_flow", "0 m3/h"),
        ("room", "fan", "on"),
        ("grade", "pentane", "six %"),
        ("place", "stops_on", "weight"),
        ("air", "altitude", "-3"),
        ("air", "altitude", "low m"),
        ("air", "barometer", "-1 bar"),
    ],
)
def test_what_cannot_be_read_is_refused(topic: str, key: str, value: str) -> None:
    """At the door, for nothing in the record is taken back."""
    needed: dict[str, dict[str, object]] = {
        "room": {"places": []},
        "grade": {"of": "bead"},
        "place": {"kind": "expander"},
    }
    name = "outside" if topic == "air" else "X"
    with pytest.raises(Refusal) as refused:
        Yard.open().set(topic, name, {**needed.get(topic, {}), key: value})
    assert [one.code for one in refused.value.faults] == ["bad_setting"]
    assert TOPICS[topic][key].check(value) != ""


@pytest.mark.parametrize(("said", "metres"), [("-3 m", -3.0), ("0 m", 0.0), ("-10 ft", -3.048)])
def test_a_site_may_lie_at_the_sea_or_below_it(said: str, metres: float) -> None:
    """In the file and at the door alike."""
    yard = Yard.open()
    yard.set("air", "outside", altitude=said)

    assert TOPICS["air"]["altitude"].check(said) == ""
    found = physical(settings.load(yard.no), "air", "outside", "altitude", ms(1))
    assert found == pytest.approx(metres)


def test_every_key_can_be_stated_in_a_file() -> None:
    """And none that the program reads is unknown to it."""
    keys = {(topic, key) for topic, kinds in PHYSICAL.items() for key in kinds}
    keys |= {(topic, key) for topic, names in NUMBERS.items() for key in names}
    assert {(topic, key) for topic, key in keys if key not in TOPICS[topic]} == set()
