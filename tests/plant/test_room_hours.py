"""A room's fan over time, how full a room begins, and blocks that left or are fresh."""

import pytest

from beadwright.plant.pentane_screen import RoomAnswer, pentane_screen
from tests.plant.test_pentane_screen import HALL, hall, hour, room, store_yard
from tests.plant.yard import ms

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("at", "counts"), [(2.5, "yes"), (12, "yes"), (12.1, "look"), (23, "look"), (24, "no")]
)
def test_a_running_fan_that_nothing_shows_is_known_for_a_day(at: float, counts: str) -> None:
    """After a shift somebody should look; after a day nobody knows, and so does the room."""
    answer = room(hall(flow_switch=None), at=at)

    assert (answer.fan.counts, answer.fan.said_ms) == (counts, ms(0))
    assert answer.unknown == (counts == "no")
    assert answer.missing == (("whether the fan runs",) if counts == "no" else ())


def test_hours_beyond_what_was_said_of_a_fan_are_unknown() -> None:
    """Looked at 10 h after it was said: 14 h are known, and the worst is one of them."""
    answer = room(hall(flow_switch=None), at=10)
    to_come = [one for one in answer.hours if not one.past]

    assert answer.fan.lapses_ms == ms(24)
    assert [one.limit_share is None for one in to_come] == [False] * 14 + [True] * 10
    assert [one.above is None for one in to_come] == [False] * 14 + [True] * 10
    assert answer.worst in to_come[:14]


def test_a_fan_that_is_said_again_counts_again() -> None:
    """The same setting, dated anew; since when it runs is told beside."""
    yard = hall(flow_switch=None)
    again = {key: it for key, it in HALL.items() if key != "flow_switch"}
    yard.set("room", "HALL", again, since=20)
    fan = room(yard, at=25).fan

    assert (fan.counts, fan.since_ms, fan.said_ms) == ("yes", ms(0), ms(20))


def test_a_stopped_fan_never_lapses() -> None:
    """Nobody is reassured by that it may run again."""
    yard = hall(flow_switch=None)
    yard.set("room", "HALL", {**HALL, "fan": "stopped", "flow_switch": ""}, since=5)
    answer = room(yard, at=50)

    assert (answer.fan.counts, answer.fan.running) == ("yes", False)
    assert not answer.unknown
    assert answer.still is None


def test_how_long_a_fan_has_stood_still_must_be_known() -> None:
    """For longer than is looked back on: unknown."""
    named = ("what had gathered in the room while its fan stood still",)
    yard = hall()
    yard.set("room", "HALL", {**HALL, "fan": "stopped"}, since=5)

    assert room(yard, at=76).missing == ()
    assert room(yard, at=78).missing == named


def test_a_fan_that_stood_still_from_the_first_leaves_a_room_unknown() -> None:
    """Also for a while after it runs: nobody knows what it began with."""
    named = ("what had gathered in the room while its fan stood still",)
    yard = hall(fan="stopped")
    assert room(yard).missing == named
    yard.set("room", "HALL", HALL, since=5)

    assert room(yard, at=6).missing == named
    assert room(yard, at=5 + 73).missing == ()


def test_an_hour_in_which_a_statement_lapses_is_unknown() -> None:
    """And where that is the hour that begins, so is the room."""
    answer = room(hall(flow_switch=None), at=23.5)

    assert answer.fan.counts == "look"
    assert answer.missing == ("whether the fan runs",)
    assert answer.unknown


def test_a_fan_that_stood_still_is_in_the_hours_that_follow() -> None:
    """Four hours without air: the past shows them, and what gathered leaves as the air comes."""
    yard = hall()
    yard.set("room", "HALL", {**HALL, "fan": "stopped"}, since=6)
    yard.set("room", "HALL", HALL, since=10)
    answer = room(yard, at=14)
    share = {at: hour(answer, at).limit_share for at in (5, 9, 13)}
    values = {at: figure.value for at, figure in share.items() if figure is not None}

    assert values[9] > 2 * values[5]
    assert values[13] < values[9] / 2
    off = [hour(answer, at).given_off_kg_s for at in (6, 7, 8, 9)]
    gathered = sum(one.value * 3600 for one in off if one is not None) / 2400
    at_limit = 0.011 * 72.1488e-3 * pressure(answer) / (8.314462618 * 303.15)
    # what was there at hour 6 is less than the hour before had at most
    assert gathered / at_limit < values[9] < gathered / at_limit + values[5]


def pressure(answer: RoomAnswer) -> float:
    """The local atmosphere that an answer rests on."""
    return next(one.value or 0.0 for one in answer.lines if one.key == "atmosphere")


def test_a_room_does_not_begin_clean() -> None:
    """Ten years of beads in a slow room: a day back it is as full as it has ever been held."""
    yard = hall(air_flow="60 m3/h", mixing="1")
    asked = 24 * 5
    answer = room(yard, at=asked)
    first = next(one for one in answer.hours if one.limit_share is not None)
    assert first.limit_share is not None
    assert first.given_off_kg_s is not None
    steady = first.given_off_kg_s.value * 3600 / 60
    at_limit = 0.011 * 72.1488e-3 * pressure(answer) / (8.314462618 * 303.15)

    assert first.from_ms == ms(asked - 24)
    assert first.limit_share.value > steady / at_limit


def test_what_comes_if_the_fan_stops_now_is_told_beside() -> None:
    """From the level that is there now, on what is still to be given off."""
    yard = hall(share="0.02")
    answer = room(yard, at=3)
    yard.set("room", "HALL", {**HALL, "share": "0.02", "fan": "stopped"}, since=3)
    stopped = room(yard, at=3)
    last = stopped.hours[-1].limit_share

    assert answer.still is not None
    assert last is not None
    assert answer.still.at_end.high == pytest.approx(last.high)
    assert answer.still.above_ms is not None
    first = next(one for one in stopped.hours if not one.past and one.above)
    assert first.from_ms <= answer.still.above_ms <= first.from_ms + 3_600_000


def test_shipped_blocks_are_in_the_hours_before_they_left() -> None:
    """Half of the lot leaves at hour 30: the past is as if it stood there, what comes is half."""
    yard = store_yard()
    yard.set("room", "CURE", {**HALL, "places": ["STORE"]})
    before = room(yard, at=30, name="CURE")
    yard.ship("SH-1", "L1", 20, at=30)
    after = room(yard, at=32, name="CURE")
    off = [hour(one, 20).given_off_kg_s for one in (before, after)]
    later = [hour(one, 33).given_off_kg_s for one in (before, after)]

    assert off[0] == off[1]
    assert after.givers[0].mg == round(20 * 1.495e6)
    assert later[0] is not None
    assert later[1] is not None
    assert later[1].value == pytest.approx(later[0].value / 2)


def test_fresh_blocks_are_told_with_the_gates_they_are_too_young_for() -> None:
    """The youngest first; one gate set, two not; a bundle is wrapped already."""
    yard = store_yard()
    yard.set("age_gate", "wrap", min_h="24")
    yard.set("age_gate", "closed_trailer", min_h="36")
    yard.mould("L2", good=5, at=20)
    yard.bundle("BN-1", "L1", 10, at=35)
    fresh = pentane_screen(yard.no, ms(46.5)).fresh

    assert [(one.name, one.min_h) for one in fresh.gates] == [
        ("wrap", 24), ("closed_trailer", 36), ("hot_wire", None)
    ]  # fmt: skip
    (lot,) = fresh.lots
    assert (lot.code, lot.pieces, lot.age_h, lot.from_ms) == ("L2", 5, 26.5, (ms(44), ms(56), None))
    assert (fresh.older_pieces, fresh.younger_than_h) == (40, 36)
    told = {one.code: one.from_ms for one in pentane_screen(yard.no, ms(36)).fresh.lots}
    assert told["BN-1"] == (None, ms(46), None)
    assert told["L1"] == (ms(34), ms(46), None)


def test_without_a_gate_blocks_of_three_days_are_told() -> None:
    """That nobody set a gate does not make them old."""
    yard = store_yard()
    fresh = [pentane_screen(yard.no, ms(at)).fresh for at in (81, 83)]

    assert [[lot.code for lot in one.lots] for one in fresh] == [["L1"], []]
    assert fresh[0].lots[0].from_ms == (None, None, None)
