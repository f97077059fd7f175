"""The screen of pentane: from the books to a room's air, and unknown where anything is missing."""

from typing import Any

import numpy as np
import pytest

from beadwright.plant.pentane_screen import Hour, RoomAnswer, pentane_screen
from beadwright.science.pentane import CAUTION
from tests.plant.yard import Yard, ms

pytestmark = pytest.mark.django_db

HALL: dict[str, Any] = {
    "places": ["S1", "S2"],
    "volume": "2400 m3",
    "air_flow": "9000 m3/h",
    "fan": "running",
    "flow_switch": "FS-1 in the duct, alarm at the desk",
    "mixing": "2",
    "share": "0.10",
}
BEAD = {"of": "bead", "pentane": "6.0 %", "raw_size": "0.8 mm"}


def hall(**more: Any) -> Yard:
    """A yard with 400 kg of F1 expanded into S1 at hour 2, in a hall of which all is known."""
    yard = Yard.open()
    yard.set("grade", "F1", BEAD)
    yard.set("air", "outside", altitude="215 m")
    yard.set("room", "HALL", {key: it for key, it in {**HALL, **more}.items() if it is not None})
    yard.bag("B-1", 5000)
    yard.carton("T-1")
    yard.expand("B-1", "S1", 400, at=2)
    yard.cup("S1", "dried", "220", at=2)
    return yard


def room(yard: Yard, at: float = 2.5, name: str = "HALL") -> RoomAnswer:
    """Ask for one room at an hour."""
    return next(one for one in pentane_screen(yard.no, ms(at)).rooms if one.room == name)


def hour(answer: RoomAnswer, at: float) -> Hour:
    """The hour of an answer that begins at an hour of the plant."""
    return next(one for one in answer.hours if one.from_ms == ms(at))


def naive_uptake(tau: float) -> float:
    """The sphere's series, term by term."""
    n = np.arange(1, 20_001)
    return float(1 - 6 / np.pi**2 * (np.exp(-(n**2) * np.pi**2 * tau) / n**2).sum())


def test_what_is_given_off_is_the_series_of_what_the_books_have() -> None:
    """400 kg; each hour by hand from the lines that the answer itself shows."""
    answer = room(hall(), at=3)
    silo = answer.givers[0]
    content, radius, speed = (
        float(silo.line(key).value or 0) for key in ("content", "bead_radius", "diffusivity")
    )
    hours = (3.0, 10.0, 26.0)

    assert (silo.name, silo.mg, silo.missing) == ("S1", 400_000_000, ())
    assert content == pytest.approx(0.06 * 0.8)
    for at in hours:
        taken = [naive_uptake(speed * (it - 2) * 3600 / radius**2) for it in (at, at + 1)]
        figure = hour(answer, at).given_off_kg_s
        assert figure is not None
        assert figure.value * 3600 == pytest.approx(400 * content * (taken[1] - taken[0]), rel=1e-6)
        assert figure.low < figure.value < figure.high


def test_every_number_says_what_it_rests_on() -> None:
    """Set, measured, default, from memory or worked out; and how far to trust it."""
    answer = room(hall())
    origins = {line.key: line.origin for line in answer.givers[0].lines}

    assert {
        key: origins[key] for key in ("pentane", "raw_size", "bulk_density", "kept", "diffusivity")
    } == {
        "pentane": "set",
        "raw_size": "set",
        "bulk_density": "measured",
        "kept": "memory",
        "diffusivity": "worked",
    }
    assert {line.key for line in answer.lines} >= {"volume", "air_flow", "mixing", "atmosphere"}
    assert answer.trust.name == "ESTIMATE"
    assert answer.standing.narrowed_by
    assert (answer.caution, answer.limit.share) == (CAUTION, 0.011)


def test_a_room_of_which_all_is_known_is_answered() -> None:
    """Each hour to come has air needed and a share of the limit, worst first after filling."""
    answer = room(hall(), at=2)

    assert not answer.unknown
    assert answer.missing == ()
    assert len([one for one in answer.hours if not one.past]) == 24
    assert answer.worst is not None
    assert answer.worst.from_ms in {ms(2), ms(3)}
    assert all(one.limit_share is not None for one in answer.hours if not one.past)
    assert all(one.needed_m3_s is not None for one in answer.hours)
    before = hour(answer, 1)
    assert before.past
    assert before.limit_share is not None
    assert before.limit_share.high == 0


def test_a_weak_fan_is_above_the_stated_share() -> None:
    """With a hundredth of the air the same beads take the room above a tenth of the limit."""
    yard = hall()
    assert not any(one.above for one in room(yard).hours)
    yard.set("room", "HALL", {**HALL, "air_flow": "90 m3/h"}, since=1)
    weak = room(yard)

    assert any(one.above for one in weak.hours)
    assert weak.worst is not None
    assert weak.worst.above


@pytest.mark.parametrize(
    ("key", "named"),
    [
        ("volume", "volume of the room"),
        ("air_flow", "air flow"),
        ("fan", "whether the fan runs"),
        ("mixing", "mixing factor"),
    ],
)
def test_what_nobody_said_of_the_room_makes_it_unknown(key: str, named: str) -> None:
    """No share of the limit, no verdict; what is given off is told all the same."""
    answer = room(hall(**{key: None}))

    assert answer.unknown
    assert answer.missing == (named,)
    assert answer.worst is None
    assert all((one.limit_share, one.above) == (None, None) for one in answer.hours)
    assert all(one.given_off_kg_s is not None for one in answer.hours)
    assert answer.caution == CAUTION


def test_without_barometer_and_altitude_it_is_unknown() -> None:
    """A barometer does as well as an altitude."""
    yard = hall()
    yard.set("air", "outside", since=1)
    assert room(yard).missing == ("barometer or altitude",)
    yard.set("air", "outside", barometer="985 mbar", since=1.5)
    known = room(yard)

    assert not known.unknown
    assert next(one for one in known.lines if one.key == "atmosphere").value == 98_500


@pytest.mark.parametrize(
    ("gap", "named"),
    [
        ("pentane", "pentane of grade F1"),
        ("raw_size", "raw size of grade F1"),
    ],
)
def test_beads_of_which_too_little_is_known_make_it_unknown(gap: str, named: str) -> None:
    """One silo of an unknown bead is enough, whatever is known of the others."""
    yard = hall()
    yard.set("grade", "F1", {key: it for key, it in BEAD.items() if key != gap}, since=1)
    answer = room(yard)

    assert answer.missing == (named,)
    assert all(one.given_off_kg_s is None for one in answer.hours)
    assert answer.worst is None


def test_without_a_cup_the_target_of_the_cup_is_taken() -> None:
    """And without either it is unknown."""
    yard = hall()
    yard.expand("B-1", "S2", 100, at=2.3)
    assert room(yard).missing == ("a cup of the beads in S2, or its target",)
    yard.set("cup", "FB6", dried="21.5 kg/m3", band="0.6 kg/m3")
    bulk = room(yard).givers[1].line("bulk_density")

    assert (bulk.value, bulk.origin, bulk.source) == (21.5, "set", "dried cup of FB6")


def test_a_fan_that_stands_still_counts_no_air() -> None:
    """From the date on which it was said; until then it is the air that was set."""
    yard = hall()
    yard.set("room", "HALL", {**HALL, "fan": "stopped"}, since=2.4)
    runs, stands = room(yard, at=2.3), room(yard, at=2.5)

    assert (runs.fan.word, stands.fan.word, stands.fan.since_ms) == ("running", "stopped", ms(2.4))
    assert not stands.unknown
    assert runs.worst is not None
    assert stands.worst is not None
    assert runs.worst.limit_share is not None
    assert stands.worst.limit_share is not None
    assert stands.worst.limit_share.value > runs.worst.limit_share.value
    assert stands.worst.from_ms == stands.hours[-1].from_ms  # it only gathers


def test_drawn_beads_give_off_nothing_more_in_the_room() -> None:
    """Half of the silo moulded away halves what comes after, and leaves what came before."""
    yard = hall()
    whole = room(yard, at=10)
    yard.mould("L1", "S1", good=134, at=6, foam_kg=200 / 134)
    half = room(yard, at=10)

    def off(answer: RoomAnswer, at: float) -> float:
        figure = hour(answer, at).given_off_kg_s
        assert figure is not None
        return figure.value

    assert off(half, 4) == pytest.approx(off(whole, 4))
    assert off(half, 12) == pytest.approx(off(whole, 12) / 2, rel=1e-3)


def test_beads_in_no_room_are_told() -> None:
    """Of the air around them nothing is said."""
    yard = hall(places=["S2"])
    found = pentane_screen(yard.no, ms(3))

    assert found.in_no_room == ("S1",)
    assert found.rooms[0].givers == ()
    assert found.caution == CAUTION


def store_yard() -> Yard:
    """The hall's yard, with 40 blocks moulded at hour 10, and a store."""
    yard = hall()
    yard.set("place", "STORE", kind="store")
    yard.block_lot("L1", good=40, at=10)
    return yard


def test_blocks_stand_in_the_only_store() -> None:
    """Nobody said where: the one store that the rooms list; without a list, in no room."""
    yard = store_yard()
    assert "40 blocks" in pentane_screen(yard.no, ms(11)).in_no_room
    yard.set("room", "CURE", {**HALL, "places": ["STORE"]})
    found = pentane_screen(yard.no, ms(11))
    cure = next(one for one in found.rooms if one.room == "CURE")

    assert found.in_no_room == ()
    assert [(one.name, one.mg) for one in cure.givers] == [("blocks", round(40 * 1.495e6))]
    assert not cure.unknown
    assert {line.origin for line in cure.givers[0].lines} == {"derived", "memory", "worked"}


def test_fresh_blocks_give_off_less_with_every_hour() -> None:
    """From demoulding on; and all they ever give off is less than they held."""
    yard = store_yard()
    yard.set("room", "CURE", {**HALL, "places": ["STORE"]})
    answer = room(yard, at=10, name="CURE")
    to_come = [one.given_off_kg_s for one in answer.hours if not one.past]
    values = [one.value for one in to_come if one is not None]

    assert len(values) == 24
    assert values == sorted(values, reverse=True)
    assert sum(values) * 3600 < 40 * 1.495 * 0.025


def test_blocks_of_an_unknown_mass_make_it_unknown() -> None:
    """A product whose foam mass nobody set."""
    yard = store_yard()
    yard.set("room", "CURE", {**HALL, "places": ["STORE"]})
    yard.set("product", "FB6", {"family": "form", "title": "Straight block"}, since=9)

    assert room(yard, at=11, name="CURE").missing == ("foam mass of product FB6",)


def test_a_room_of_its_own_limit_says_whose_it_is() -> None:
    """The stricter published limit is the default; another is the plant's."""
    answer = room(hall(lower_limit="1.5 %"))

    assert answer.limit.share == pytest.approx(0.015)
    assert answer.limit.source == "set by the plant for room HALL"


def test_what_lies_outside_the_physics_is_unknown_and_says_why() -> None:
    """A mixing factor below 1 is a room better than perfectly mixed."""
    answer = room(hall(mixing="0.5"))

    assert answer.unknown
    assert answer.missing == ("mixing is 0.5: must be a number from 1 to 10.",)
    assert all(one.limit_share is None for one in answer.hours)


def test_an_empty_plant_has_no_rooms() -> None:
    """And no plant without rooms is reassured: what gives off is in none of them."""
    yard = Yard.open()
    found = pentane_screen(yard.no, ms(1))
    assert (found.rooms, found.in_no_room, found.fresh.lots) == ((), (), ())
    yard.bag("B-1")
    yard.expand("B-1", "S1", at=2)
    assert pentane_screen(yard.no, ms(3)).in_no_room == ("S1",)
