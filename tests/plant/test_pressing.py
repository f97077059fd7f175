"""A press as it stands: what may be drawn, what was counted, weighed wet and gauged hot."""

from __future__ import annotations

from typing import Any

import pytest

from beadwright.ledger.draft import Line, Reading
from beadwright.ledger.pressed import PressStep
from beadwright.ledger.runs import RunMark
from beadwright.plant.press_counts import tally
from beadwright.plant.pressing import Pressing, pressing
from tests.plant.yard import Yard, ms

RUN = {
    "product": "FB6", "mould": "M-1", "from": "S1", "ties": "T-1", "lot": "L1",
    "foam_per_block": "1.495 kg",
}  # fmt: skip


def fed() -> Yard:
    """A press that two silos feed, ties for it, and lot L1 moulded from the first."""
    yard = Yard.open()
    for silo in ("S1", "S2"):
        yard.set("place", silo, kind="silo", content=True, feeds=["FP1"])
    yard.block_lot("L1")
    return yard


def opened(yard: Yard, at: float, **more: str) -> None:
    """Open a run at the press."""
    yard.step("run_open", at, [Line("L1", 0, 0)], product="FB6", place="FP1", run="R-9",
              facts={**RUN, **more})  # fmt: skip


def at(yard: Yard, hour: float) -> Pressing:
    """The press at an hour."""
    return pressing(yard.no, "FP1", ms(hour))


@pytest.mark.django_db
def test_without_a_run_the_next_is_that_of_the_last_product() -> None:
    """It draws of the silo that is ready; nothing is counted."""
    found = at(fed(), 22)
    assert found.run is None
    assert found.product is not None
    assert found.product.name == "FB6"
    assert found.draws.start_of == "S1"
    assert found.draws.next_carton == "T-1"


@pytest.mark.django_db
def test_a_rest_of_a_carton_stands_behind_whole_ones() -> None:
    """The oldest with ties for ten blocks is the next; what is enough for fewer still stands."""
    yard = fed()
    yard.carton("T-0", pieces=59, at=-2)
    yard.carton("T-2", pieces=60, at=1)
    opened(yard, 22)
    cartons = at(yard, 23).draws.cartons
    assert [(one.code, one.blocks) for one in cartons if one.code != "T-1"] == [
        ("T-2", 10),
        ("T-0", 9),
    ]
    assert at(yard, 23).draws.next_carton == "T-2"


@pytest.mark.django_db
def test_what_may_not_be_drawn_says_why_before_it_is() -> None:
    """Packaging beads, beads too fresh, a held carton: each by itself."""
    yard = fed()
    yard.bag("B-2", grade="PK1")
    yard.expand("B-2", "S2", at=21)
    yard.carton("T-2")
    yard.hold("H-3", "T-2", at=21)
    opened(yard, 21)
    draws = at(yard, 22).draws
    assert draws.now is not None
    assert draws.now.place == "S1"
    assert (draws.now.may, draws.now.why_not, draws.now.direct) == (True, (), True)
    assert draws.now.blocks == 227  # 400 kg less 40 blocks of 1.495 kg
    other = next(one for one in draws.places if one.place == "S2")
    assert not other.may
    assert "PK1 is not on the approved list of FB6" in other.why_not
    assert draws.change_to == ""
    assert draws.carton is not None
    assert (draws.carton.code, draws.carton.may, draws.carton.pieces) == ("T-1", True, 760)
    assert draws.carton.blocks == 126
    assert [(one.code, one.may) for one in draws.cartons] == [("T-2", False)]
    assert draws.next_carton == ""


@pytest.mark.django_db
def test_beads_too_fresh_are_said_to_be() -> None:
    """And ready a few hours later, when they are what to change to."""
    yard = fed()
    yard.expand("B-1", "S2", at=21)
    opened(yard, 21)
    fresh = next(one for one in at(yard, 23).draws.places if one.place == "S2")
    assert (fresh.may, fresh.why_not) == (False, ("too fresh",))
    later = at(yard, 32)
    assert next(one for one in later.draws.places if one.place == "S2").may
    assert later.draws.change_to == "S2"


@pytest.mark.django_db
def test_a_wet_block_shows_its_dry_foam_net_of_ties_and_water() -> None:
    """3.1748 kg wet less 1.62 kg of ties is 1.04 times 1.495 kg: 23.0 kg/m³ in 65 L."""
    yard = fed()
    opened(yard, 21)
    facts = {"state": "press", "age_h": "0.1", "cavity": "2"}
    masses = [("W1", "3.1748"), ("W2", "3.1748"), ("W3", "3.1748"), ("W4", "2.8948")]
    yard.read([Reading("wet_block_mass", mass, "kg", lot="L1", specimen=piece, facts=facts)
               for piece, mass in masses], at=21.5)  # fmt: skip
    found = at(yard, 22).figures
    assert [one.piece for one in found.weighed] == ["W4", "W3", "W2", "W1"]
    assert found.weighed[-1].density == pytest.approx(23.0, abs=0.01)
    assert found.weighed[-1].off == pytest.approx(2 * 0.25 * 0.04 * 23, rel=0.02)
    assert [one.ties_asked for one in found.weighed] == [1, 0, 0, 0]
    (cavity,) = found.cavities
    assert (cavity.number, cavity.count) == (2, 3)  # what may lack a tie is not pooled
    assert cavity.u == pytest.approx(found.weighed[-1].u)
    assert found.water == 0.04
    assert found.target == pytest.approx(23.0)


@pytest.mark.django_db
def test_a_hot_block_shows_what_it_will_be_and_is_not_judged() -> None:
    """The offset of its mould is taken off; without one, nothing is estimated."""
    yard = fed()
    yard.limit("LEN", "length", "min", "1218 mm")
    yard.set("mould", "M-1", cavities=2, length_offset="3 mm")
    opened(yard, 21)
    facts = {"state": "press", "age_h": "0.1"}
    yard.gauge("L1", "length", ["1220 mm"], at=21.5, facts=facts)
    yard.gauge("L1", "height", ["406 mm"], at=21.6, facts=facts)
    height, length = at(yard, 22).figures.gauged
    assert length.estimate_m == pytest.approx(1.217)
    assert (length.outside, len(length.limits)) == (True, 1)
    assert (height.estimate_m, height.outside) == (None, False)
    assert at(yard, 22).mould.cavities == 2


def step(started: int, ended: int, **facts: Any) -> PressStep:
    """A count from one minute to another."""
    said = {name: str(value) for name, value in facts.items()}
    said["ended"] = str(ended * 60_000)
    none = frozenset[str]()
    return PressStep("", "mould", started * 60_000, "FP1", "R-9", "FB6", said, "P-01", {}, none,
                     none)  # fmt: skip


def test_counts_and_scrap_are_summed_by_cause() -> None:
    """Scrap told by itself moves no count's beginning; what has no cause is said to have none."""
    steps = [
        step(0, 60, shots=30, good=58, scrap=2, cause="short fill"),
        step(60, 70, shots=0, good=0, scrap=3, cause="stuck"),
        step(60, 80, shots=0, good=0, scrap=1),
    ]
    stood = {"started": "0", "ended": str(15 * 60_000), "cause": "steam valve"}
    marks = [RunMark("d", "run_open", 900_000, "FP1", "R-9", "", stood, "P-01")]
    found = tally(steps, marks, 0, 121 * 60_000)
    assert (found.good, found.scrap, found.shots, found.scrap_apart) == (58, 6, 30, 4)
    assert found.causes == (("stuck", 3), ("short fill", 2), ("no cause said", 1))
    assert found.stood == (("steam valve", 15),)
    assert (found.since_ms, found.due) == (60 * 60_000, True)
    opened = tally(steps[1:], marks, 60 * 60_000 + 30_000, 90 * 60_000)
    assert opened.scrap_apart == 4  # its beginning is told to the minute
    assert not tally(steps, marks, 0, 119 * 60_000).due


@pytest.mark.django_db
def test_a_product_without_ties_is_offered_no_cause_of_ties() -> None:
    """Neither what is common, nor what was said of other products at that press."""
    yard = fed()
    assert "tie out of place" in at(yard, 22).scrap_causes
    yard.set("product", "FB6", {"family": "packaging", "foam_mass": "0.31 kg"}, since=21)
    causes = at(yard, 22).scrap_causes
    assert "short fill" in causes
    assert "tie out of place" not in causes
