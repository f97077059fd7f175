"""Steering at a pre-expander: from its own cups and adjustments, with every reason not to."""

import random
from dataclasses import replace

import pytest

from beadwright.ledger.draft import Line, Material, NewLot, Reading
from beadwright.plant.steering import Steering, said, steering
from tests.plant.yard import Yard, ms

pytestmark = pytest.mark.django_db

KG = 1_000_000
TARGET = {"hot": "23.4 kg/m3", "dried": "22.2 kg/m3", "band": "0.3 kg/m3"}
LEVEL = {"kind": "expander", "feeds": ["S1"], "cup_volume": "10 L", "stops_on": "level",
         "trims": "person"}  # fmt: skip


@pytest.fixture
def yard() -> Yard:
    """An expander that stops on level and that a person trims, a run open at it, bags."""
    yard = Yard.open()
    yard.set("place", "S1", kind="silo", content=True, accepts=["F1"])
    yard.set("place", "E1", LEVEL)
    yard.set("cup", "FB6", TARGET)
    for bag in ("B-1", "B-2"):
        yard.bag(bag, 800)
    new = NewLot("X-1", Material.BEAD, "work in process")
    facts = {"silo": "S1", "grade": "F1", "product": "FB6"}
    yard.step("run_open", 10, [Line("X-1", 0, 0)], new, run="X-1", place="E1", facts=facts)
    bag_in(yard, "B-1", 10.05)
    return yard


def bag_in(yard: Yard, bag: str, at: float) -> None:
    """A bag goes in."""
    lines = [Line(bag, -1, 800 * KG), Line("X-1", 1, 800 * KG)]
    yard.step("draw", at, lines, run="X-1", place="E1", facts={"bag": bag})


def sets(
    yard: Yard, value: str, unit: str = "kg", at: float = 10.0, of: str = "charge_mass"
) -> None:
    """A person sets the machine."""
    yard.read([Reading(of, value, unit, specimen="E1")], at)


def cups(yard: Yard, *percents: float, at: float = 10.1, where: str = "hot") -> float:
    """Weigh cups so far off the target, six minutes apart; gives the time after the last."""
    target = {"hot": 234.0, "dried": 222.0}[where]
    facts = {"place": where, "cup_volume": "10 L", "run": "X-1"}
    for number, off in enumerate(percents):
        mass = f"{target * (1 + off / 100):.2f}"
        yard.read([Reading("cup_weight", mass, "g", lot="S1", facts=facts)], at + number / 10)
    return at + len(percents) / 10


def asked(yard: Yard, at: float = 30) -> Steering:
    """The advice at an hour."""
    return steering(yard.no, "E1", ms(at))


DRIFTING = (0.1, -0.3, 0.4, 0.2, 0.8, 0.5, 1.1, 0.9, 1.5, 1.3, 1.9, 1.6, 2.2, 2.0, 2.5, 2.4)


def test_a_machine_that_drifts_is_changed_by_its_charge(yard: Yard) -> None:
    """Sixteen cups climb to 2.4 % heavy: less charge by about that, rounded to what can be set."""
    yard.set("place", "E1", {**LEVEL, "charge_step": "0.05 kg"}, since=1)
    sets(yard, "8.2")
    cups(yard, *DRIFTING)
    found = asked(yard)

    assert found.advice is not None
    assert (found.advice.word, found.advice.why) == ("change", "beyond_band")
    assert found.drift is not None
    assert found.drift.no_drift < 0.01
    assert found.to_si == pytest.approx(8.05)
    assert said(found, "si").word == "Change the charge: 8.20 kg to 8.05 kg"
    assert said(found, "us").word == "Change the charge: 18.08 lb to 17.75 lb"


def test_an_adjustment_told_is_counted_once_its_cups_are_seen(yard: Yard) -> None:
    """After the change the old cups count as if it had been made before them."""
    sets(yard, "8.2")
    after = cups(yard, *DRIFTING)
    sets(yard, "8.0", at=after)
    cups(yard, -0.1, 0.2, at=after + 0.1)
    found = asked(yard)

    assert found.now_si == 8.0
    assert found.advice is not None
    assert found.advice.word == "leave"
    assert found.history is not None
    assert found.history.rows[-1].set_to[-3:] == (8.2, 8.0, 8.0)


def test_scatter_alone_is_left(yard: Yard) -> None:
    """Thirty cups about the target, the last two light: two in a row are no reason."""
    sets(yard, "8.2")
    chance = random.Random(8)
    cups(yard, *(chance.gauss(0, 1) for _ in range(40)), -1.6, -1.4)
    found = asked(yard)

    assert found.advice is not None
    assert (found.advice.word, found.advice.why) == ("leave", "no_drift")
    assert "would only add scatter" in said(found, "si").why


def test_the_limit_of_now_is_not_called_the_band(yard: Yard) -> None:
    """Wider than the plant's band it is named apart, with why; the band keeps its own line."""
    sets(yard, "8.2")
    cups(yard, *DRIFTING)
    found = asked(yard)
    assert found.advice is not None
    wide = replace(found.advice, word="leave", why="inside_band", limit=0.062)
    told = said(replace(found, advice=wide), "si")

    assert "within the limit now, ± 6.2 %" in told.why
    assert any("± 6.2 %, is that band made wider" in one for one in told.lines)
    assert any(one.startswith("The band of ±") and "6.2" not in one for one in told.lines)


def test_another_bead_lot_inside_the_window_refuses_advice(yard: Yard) -> None:
    """It names the lot, and how many cups to wait; then advice comes again."""
    sets(yard, "8.2")
    after = cups(yard, *DRIFTING)
    bag_in(yard, "B-2", after)
    more = cups(yard, 2.4, 2.5, at=after + 0.1)
    found = asked(yard)

    assert found.advice is not None
    assert found.advice.word == "refused"
    told = said(found, "si")
    assert told.word == "No advice yet"
    assert "bag B-2" in told.why
    cups(yard, *([2.4] * found.advice.wait), at=more + 0.1)
    assert said(asked(yard), "si").sort == "change"


def test_steam_and_target_that_changed_refuse_too(yard: Yard) -> None:
    """Each by its name."""
    sets(yard, "8.2")
    sets(yard, "0.8", "bar", of="steam_pressure")
    after = cups(yard, *DRIFTING)
    sets(yard, "0.9", "bar", at=after, of="steam_pressure")
    more = cups(yard, 2.4, at=after + 0.1)
    assert "steam pressure changed" in said(asked(yard), "si").why
    yard.set("cup", "FB6", {**TARGET, "hot": "22.9 kg/m3"}, since=more)
    cups(yard, 0.1, at=more + 0.1)
    assert "target changed" in said(asked(yard), "si").why


def test_what_lacks_is_asked_for_by_name(yard: Yard) -> None:
    """Who trims, what the machine stops on, what is set: nothing is assumed of these."""
    yard.set("place", "E1", kind="expander", feeds=["S1"], cup_volume="10 L", since=1)
    cups(yard, *DRIFTING)
    assert [one.partition(":")[0] for one in asked(yard).lacks] == [
        "[place.E1] stops_on in plant.toml", "[place.E1] trims in plant.toml",
    ]  # fmt: skip
    yard.set("place", "E1", LEVEL, since=2)
    assert asked(yard).lacks == ("the charge as it stands now: tell it as an adjustment",)
    assert said(asked(yard), "si").sort == "lacks"


def test_a_machine_that_trims_itself_is_left_to_it(yard: Yard) -> None:
    """Two that steer would fight."""
    yard.set("place", "E1", {**LEVEL, "trims": "machine"}, since=1)
    sets(yard, "8.2")
    cups(yard, *DRIFTING)
    assert said(asked(yard), "si").word == "Leave it to the machine"


def test_a_machine_that_stops_on_time_is_steamed_longer_where_cups_are_heavy(yard: Yard) -> None:
    """One second is some 1.25 %, known to half of itself: a cautious change."""
    yard.set("place", "E1", {**LEVEL, "stops_on": "time", "steaming_step": "0.5 s"}, since=1)
    sets(yard, "45", "s", of="steaming_time")
    cups(yard, *DRIFTING)
    found = asked(yard)

    assert found.to_si is not None
    assert 45 < found.to_si <= 47
    assert said(found, "us").word == f"Change the steaming: 45.0 s to {found.to_si:.1f} s"


def test_hot_and_dried_cups_are_never_pooled(yard: Yard) -> None:
    """Dried cups far off change nothing while hot ones have a target."""
    sets(yard, "8.2")
    cups(yard, 0.1, -0.2, 0.3, 0.0)
    cups(yard, 9.0, 9.0, 9.0, at=11, where="dried")
    found = asked(yard)

    assert found.history is not None
    assert (found.history.where, len(found.history.rows[-1].deviations)) == ("hot", 4)


def test_a_habit_of_chasing_with_dead_time_is_warned_of(yard: Yard) -> None:
    """Every cup taken back whole, with one cup of dead time: it swings ever wider."""
    yard.set("place", "E1", {**LEVEL, "dead_cups": "1"}, since=1)
    chance, charge, seen, at = random.Random(3), 8.2, [8.2, 8.2], 10.1
    sets(yard, f"{charge:.4f}")
    for _ in range(24):
        off = chance.gauss(0, 1) + 100 * (seen[-2] / 8.2 - 1)
        cups(yard, off, at=at)
        charge /= 1 + 1.6 * off / 100
        seen.append(charge)
        sets(yard, f"{charge:.4f}", at=at + 0.05)
        at += 0.1
    found = asked(yard)

    assert found.habit is not None
    assert found.habit.unstable
    assert any("swings ever wider" in line for line in said(found, "si").lines)
