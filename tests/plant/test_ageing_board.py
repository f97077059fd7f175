"""The ageing board: signed hours decide, the estimate stands beside them, unknown where unknown."""

from typing import Any

import numpy as np
import pytest

from beadwright.ledger.draft import Line, Material, NewLot, Reading
from beadwright.plant.ageing import AgeingBoard, SiloAgeing, ageing_board, silo_said
from beadwright.plant.ageing.board import kept_board
from beadwright.science.ageing import (
    AgeingModel,
    Sureness,
    ageing_state,
    size_classes,
)
from beadwright.science.ageing.state import SiloBeads
from beadwright.science.beads import BeadState
from beadwright.science.beads.weight import scale_per_dry
from tests.plant.yard import Yard, ms

pytestmark = pytest.mark.django_db

BEAD = {"of": "bead", "pentane": "6.0 %", "raw_size": "0.8 mm"}
SILO: dict[str, Any] = {"kind": "silo", "content": True, "across": "2.6 m"}


def store(plant: str = "P1", *, bead: dict[str, Any] | None = None, **silo: Any) -> Yard:
    """A yard with 400 kg of F1 expanded into S1 at hours 2 and 5, all known of it."""
    yard = Yard.open(plant)
    yard.set("grade", "F1", BEAD if bead is None else bead)
    yard.set("place", "S1", {**SILO, **silo})
    yard.set("room", "HALL", places=["S1", "S2"], temperature="20 °C")
    yard.bag("B-1", 5000)
    yard.expand("B-1", "S1", 200, at=2)
    yard.expand("B-1", "S1", 200, at=5)
    yard.cup("S1", "dried", "220", at=5)
    return yard


def one(yard: Yard, at: float = 12, place: str = "S1") -> SiloAgeing:
    """Ask for one silo at an hour."""
    return next(it for it in ageing_board(yard.no, ms(at)).silos if it.silo.place == place)


def probe(yard: Yard, celsius: float, at: float, place: str = "S1") -> None:
    """Read a silo's probe."""
    yard.read([Reading("silo_temperature", f"{celsius}", "°C", lot=place)], at)


def width(said: SiloAgeing, key: str) -> float:
    """How wide a line's band is: high over low."""
    line = said.grades[0].line(key)
    return float(line.high or 0) / float(line.low or 1)


def test_the_two_ends_count_from_the_two_clocks() -> None:
    """Enough air from the last bead in, too little pentane from the first."""
    said = one(store())
    grade = said.grades[0]
    ready, stale = grade.line("ready"), grade.line("stale")
    assert ready.value is not None
    assert stale.value is not None
    assert said.estimate is not None

    assert (said.silo.first_ms, said.silo.last_ms) == (ms(2), ms(5))
    assert said.estimate.opens.at_ms == ms(5) + round(1000 * ready.value)
    assert said.estimate.closes.at_ms == ms(2) + round(1000 * stale.value)
    for edge in (said.estimate.opens, said.estimate.closes):
        assert edge.low_ms < edge.at_ms < edge.high_ms
    assert said.trust.name == "ESTIMATE"


def test_every_number_says_what_it_rests_on() -> None:
    """Given, default or unknown; down to what a person can set or measure."""
    lines = {line.key: line.origin for line in one(store()).grades[0].lines}

    assert lines == {
        "pentane_wet": "set",
        "kept": "memory",
        "pentane_filled": "worked",
        "raw_size": "set",
        "bulk_density": "measured",
        "bead_size": "worked",
        "bead_radius": "worked",
        "size_spread": "memory",
        "packing": lines["packing"],
        "bead_density": "worked",
        "room": "set",
        "silo_across": "set",
        "silo_radius": "worked",
        "filled": "memory",
        "core": "worked",
        "pentane_pace": "derived",
        "air_pace": "memory",
        "air_activation": "memory",
        "pentane_activation": "derived",
        "enough_air": "memory",
        "least_pentane": "memory",
        "ready": "worked",
        "stale": "worked",
    }


def test_no_band_comes_from_what_is_no_line() -> None:
    """How far activation energies may be off is shown, and is what widens a cold hall's band."""
    yard = store()
    yard.set("room", "HALL", places=["S1"], temperature="5 °C", since=1)
    lines = one(yard).grades[0].lines
    of = {line.key: line for line in lines}
    told = {key for key in ("ready", "stale") for key in of[key].inputs}

    assert {"air_activation", "pentane_activation"} < told
    for key, sd in (("air_activation", 5e3), ("pentane_activation", 10e3)):
        assert of[key].high == pytest.approx((of[key].value or 0) + 1.645 * sd, rel=1e-4)
        assert "judged here, no source" in of[key].source


@pytest.mark.parametrize(
    ("bead", "silo", "missing"),
    [
        ({"of": "bead", "raw_size": "0.8 mm"}, {}, "pentane in the raw bead, per wet bead"),
        ({"of": "bead", "pentane": "6.0 %"}, {}, "size of the raw bead"),
        (BEAD, {"across": None}, "width of the silo"),
    ],
)
def test_with_anything_missing_it_is_unknown(
    bead: dict[str, Any], silo: dict[str, Any], missing: str
) -> None:
    """No window, no proposal, and no word that reassures."""
    yard = store(bead=bead)
    yard.set("place", "S1", {key: it for key, it in {**SILO, **silo}.items() if it is not None},
             since=1)  # fmt: skip
    said = one(yard)

    assert (said.estimate, said.missing, said.states) == (None, (missing,), ("unknown",))
    assert said.grades[0].proposal is None
    assert silo_said(said).window == f"Unknown. Missing: {missing}."
    assert silo_said(said).against == ()


def test_a_warmer_hall_opens_sooner_and_closes_sooner() -> None:
    """Gas passes faster both ways."""
    yard = store()
    cool = one(yard)
    yard.set("room", "HALL", places=["S1"], temperature="32 °C", since=1)
    warm = one(yard)
    assert cool.estimate is not None
    assert warm.estimate is not None

    assert warm.estimate.opens.at_ms < cool.estimate.opens.at_ms
    assert warm.estimate.closes.at_ms < cool.estimate.closes.at_ms


def test_a_probe_stands_for_room_and_conduction() -> None:
    """The middle by the probe: the default for warm filling is no part of it, and it is narrower.

    Readings of beads that are gone, and later ones than the time asked for, are left out.
    """
    yard = store()
    before = one(yard)
    probe(yard, 70, at=1)
    for hour, celsius in ((3, 43), (6, 41), (10, 38.5)):
        probe(yard, celsius, at=hour)
    probe(yard, 60, at=20)
    said = one(yard)
    keys = {line.key: line for line in said.grades[0].lines}

    assert {"filled", "core"}.isdisjoint(keys)
    assert keys["probe"].value == pytest.approx(311.65)
    assert keys["probe"].origin == "measured"
    assert "newest of 3 since" in keys["probe"].source
    assert width(said, "stale") < width(before, "stale")


def test_a_cooler_middle_keeps_its_pentane_longer() -> None:
    """After the last reading the middle cools to the room; it is not held as it was read."""
    warm, cool, held = store("P1"), store("P2"), store("P3", across="40 m")
    for yard, celsius in ((warm, 50), (cool, 25), (held, 50)):  # one so wide that it stays warm
        probe(yard, celsius, at=6)
    ends = [one(yard).grades[0].line("stale").value or 0 for yard in (cool, warm, held)]

    assert ends[0] > ends[1] > ends[2]


def masses(yard: Yard, pace: float, hours: list[float], celsius: float = 25.0) -> list[float]:
    """What 100 g of the store's beads weigh, where pentane leaves at a diffusivity, in g."""
    grade = one(yard).grades[0]
    size, density, start = (
        grade.line(key).value or 0.0 for key in ("bead_size", "bead_density", "pentane_filled")
    )
    radius = size_classes([size], 0.15, 20)
    beads = SiloBeads(density, start, radius, celsius + 273.15)
    state = ageing_state(beads, np.array(hours) * 3600, AgeingModel(pentane_m2_s=pace))
    share, left = state.air_share[0].mean(axis=0), state.pentane_per_dry[0].mean(axis=0)
    air = 101325.0 * share * 0.97
    weight = left + np.asarray(
        scale_per_dry(BeadState(density, air, temperature_k=celsius + 273.15))
    )
    return [round(100 * float(mass), 3) for mass in weight]


HOURS = [0.3, 1.0, 4.0, 10.0, 24.0, 48.0]


def weigh(yard: Yard, grams: list[float], *, warm: bool = True, sample: str = "MS-1",
          from_h: float = 2.0) -> None:  # fmt: skip
    """Weigh a mesh sample in S1 at the ages of HOURS."""
    for hour, mass in zip(HOURS, grams, strict=False):
        facts = {"age_h": f"{hour:g}", "grade": "F1"} | ({"temperature": "25 °C"} if warm else {})
        yard.read(
            [Reading("mesh_sample_mass", f"{mass}", "g", lot="S1", specimen=sample, facts=facts)],
            from_h + hour,
        )


def test_a_mesh_sample_narrows_the_estimate_to_what_was_weighed() -> None:
    """Beads of which pentane leaves half as fast as published are found, and keep longer."""
    pace = 1.15e-13
    yard = store()
    before = one(yard, at=55)
    weigh(yard, masses(yard, pace, HOURS))
    after = one(yard, at=55)
    line = after.grades[0].line("pentane_pace")

    assert line.origin == "measured"
    assert line.low is not None
    assert line.high is not None
    assert line.low < pace < line.high
    assert line.source == "mesh sample MS-1, 6 weighings in S1"
    assert width(after, "stale") < width(before, "stale") / 2
    assert (after.grades[0].line("stale").value or 0) > (before.grades[0].line("stale").value or 0)
    (told,) = silo_said(after).mesh
    assert "narrows" in told
    assert "pentane" in told


def test_a_mesh_sample_counts_from_when_it_was_weighed() -> None:
    """At hour 5 only three weighings were there; an estimate of then knows no later ones."""
    yard = store()
    weigh(yard, masses(yard, 1.15e-13, HOURS))

    assert one(yard, at=4).grades[0].mesh[0].why_not == "weighed 2 times; it takes 3 or more"
    assert one(yard, at=4).grades[0].line("pentane_pace").origin == "derived"


@pytest.mark.parametrize("how", ["too few", "no temperature", "scattered"])
def test_a_sample_that_tells_nothing_narrows_nothing_and_says_why(how: str) -> None:
    """It is shown with its reason; the estimate stays as wide as it was."""
    yard = store()
    before = one(yard, at=55)
    grams = masses(yard, 2.3e-13, HOURS)
    if how == "too few":
        weigh(yard, grams[:2])
    elif how == "no temperature":
        weigh(yard, grams, warm=False)
    else:
        weigh(yard, [mass + 5 * (-1) ** i for i, mass in enumerate(grams)])
    after = one(yard, at=55)
    (mesh,) = after.grades[0].mesh
    words = {"too few": "2 times", "no temperature": "how warm it hung", "scattered": "further"}

    assert words[how] in mesh.why_not
    assert width(after, "stale") == pytest.approx(width(before, "stale"))
    assert "narrows nothing" in silo_said(after).mesh[0]


def test_a_sample_without_a_temperature_goes_by_the_silos_probe() -> None:
    """Between its readings."""
    yard = store()
    for hour in (2.0, 20.0, 50.0):
        probe(yard, 25, at=hour)
    weigh(yard, masses(yard, 1.15e-13, HOURS), warm=False)

    assert one(yard, at=55).grades[0].mesh[0].why_not == ""


def test_an_older_sample_stands_until_a_newer_one_tells_something() -> None:
    """The newer one is shown with why it narrows nothing yet."""
    yard = store()
    weigh(yard, masses(yard, 1.15e-13, HOURS))
    weigh(yard, masses(yard, 1.15e-13, HOURS)[:2], sample="MS-2", from_h=52)
    grade = one(yard, at=55).grades[0]

    assert [(mesh.sample, bool(mesh.why_not)) for mesh in grade.mesh] == [
        ("MS-2", True), ("MS-1", False)
    ]  # fmt: skip
    assert "MS-1" in grade.line("pentane_pace").source


def test_the_estimate_speaks_of_now_and_never_holds() -> None:
    """However far past its band: the board's own states are those of the signed hours."""
    yard = store()
    weigh(yard, masses(yard, 2.3e-13, HOURS))
    found = {at: one(yard, at=at) for at in (5.01, 80, 2000)}

    assert found[5.01].states[-1] in {"too_fresh", "perhaps_too_fresh"}
    assert found[2000].states == ("too_old",)
    assert found[80].silo.states == ("ready",)
    assert found[2000].silo.states == ("too_old",)
    assert not found[80].silo.holds


def test_signed_hours_outside_the_band_are_told_and_change_nothing() -> None:
    """Both ends; within the band nothing is said, for nothing is known better."""
    yard = store()
    assert silo_said(one(yard)).against == ()
    yard.set("ageing", "F1", min_h="0.01", max_h="9000", since=1)
    said = one(yard)
    told = silo_said(said).against

    assert len(told) == 2
    assert "begin" in told[0]
    assert "end" in told[1]
    assert said.silo.states[0] in {"ready", "filling"}


def test_hours_are_proposed_and_bind_nobody() -> None:
    """Whole hours within the window; doubtful where the bands overlap."""
    yard = store()
    proposal = one(yard).grades[0].proposal
    assert proposal is not None
    assert proposal.sureness is Sureness.DOUBTFUL
    weigh(yard, masses(yard, 1.15e-13, HOURS))
    after = one(yard, at=55)
    proposal = after.grades[0].proposal
    assert proposal is not None
    assert proposal.from_h is not None
    assert proposal.until_h is not None

    assert 0 < proposal.from_h < proposal.until_h
    assert (after.silo.window and after.silo.window.min_h) == 8


def test_mixed_grades_take_the_strictest_and_any_unknown_makes_it_unknown() -> None:
    """The last to open, the first to close."""
    yard = store()
    yard.set("grade", "PK1", of="bead", pentane="5.0 %", raw_size="1.2 mm")
    yard.set("approved", "FB6", revision="R2", grades=["F1", "PK1", "T6"])
    yard.bag("B-2", 500, grade="PK1")
    yard.expand("B-2", "S1", 100, at=6)
    said = one(yard)
    assert said.estimate is not None
    edges = [grade.estimate for grade in said.grades]

    assert [grade.grade for grade in said.grades] == ["F1", "PK1"]
    assert said.estimate.opens.at_ms == max(it.opens.at_ms for it in edges if it)
    assert said.estimate.closes.at_ms == min(it.closes.at_ms for it in edges if it)
    yard.set("grade", "PK1", of="bead", pentane="5.0 %", since=1)
    assert one(yard).estimate is None


def test_beads_of_no_grade_are_unknown() -> None:
    """Nobody said what they are: nothing is estimated, and it is said."""
    yard = store()
    new = NewLot("B-0", Material.BEAD, "bag")
    yard.step("receipt", 0, [Line("B-0", 1, 500_000_000, keyed="500 kg")], new)
    yard.expand("B-0", "S2", 100, at=3)
    said = one(yard, place="S2")

    assert (said.estimate, said.states, said.grades) == (None, ("unknown",), ())
    assert silo_said(said).window == "Unknown. Missing: the grade of its beads."


def test_only_silos_with_beads_are_on_it() -> None:
    """An empty one has no age, and what is in a hopper is at the press."""
    yard = store()
    yard.set("place", "H1", kind="hopper", content=True)
    yard.transfer("S1", "H1", 20, at=7)
    places = [it.silo.place for it in ageing_board(yard.no, ms(12)).silos]

    assert places == ["S1"]


def test_the_board_is_worked_out_once_a_minute_and_anew_with_every_entry() -> None:
    """Many people look at it at once."""
    yard = store()
    first: AgeingBoard = kept_board(yard.no, ms(12))

    assert kept_board(yard.no, ms(12) + 59_000) is first
    assert kept_board(yard.no, ms(12) + 60_000) is not first
    probe(yard, 40, at=11)
    anew = kept_board(yard.no, ms(12))
    assert anew is not first
    assert anew.silos[0].grades[0].line("probe").value == pytest.approx(313.15)
