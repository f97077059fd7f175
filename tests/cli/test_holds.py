"""What holds reach: listed, and said when one is placed or lifted."""

from __future__ import annotations

import json
from typing import Any

import pytest

from beadwright.ledger import people
from beadwright.ledger.people import Person
from tests.cli.shell import Shell
from tests.cli.test_json import documented, read
from tests.plant.asking import good_yard
from tests.plant.yard import Yard

pytestmark = pytest.mark.django_db


@pytest.fixture
def yard() -> Yard:
    """Two lots, of which one is bundled and in part shipped."""
    yard = good_yard("L1", "L2")
    yard.bundle("BN-1", "L1", 20)
    yard.ship("SH-1", "BN-1", 5, "QUARRY LANE")
    people.match("P1", [Person("EI", "P-13", "Edda Ivesworth")])
    return yard


def place(shell: Shell, *lots: str, name: str = "H-1") -> str:
    """Put lots on hold; what is said of it, as one line."""
    told = shell("hold", *lots, "--id", name, "--reason", "smell", "--by", "EI")
    assert told.status == 0, told.err
    return " ".join(told.out.split())


def listed(shell: Shell, *options: str) -> list[dict[str, Any]]:
    """Holds as JSON."""
    holds: list[dict[str, Any]] = json.loads(shell("holds", "--json", *options).out)["holds"]
    return holds


@pytest.mark.usefixtures("yard")
def test_a_hold_says_what_it_reaches_and_who_has_it(shell: Shell) -> None:
    """On a silo: its content, the lots moulded of it, bundles, and what was shipped to whom."""
    said = place(shell, "S1")

    assert "it reaches 5 lots: 2 mould lots, 1 bundle, the content of S1" in said
    assert "of mould runs: L1, L2" in said
    assert "in the plant: 75 blocks and" in said
    assert "ALREADY SHIPPED: 5 blocks to QUARRY LANE in SH-1" in said


def test_a_receiver_has_only_the_blocks_of_the_lots_held(yard: Yard, shell: Shell) -> None:
    """Whatever else is in the shipment; of a mixed bundle nobody knows whose were taken first."""
    yard.ship("SH-1", "L2", 12, "QUARRY LANE", at=71)
    yard.bundle("BN-2", "L2", 10, at=72)
    yard.bundle("BN-2", "L1", 9, at=72.5)
    yard.ship("SH-2", "BN-2", 12, "STONE YARD", at=73)

    said = place(shell, "L1")

    assert "ALREADY SHIPPED: 5 blocks to QUARRY LANE in SH-1" in said
    assert "ALREADY SHIPPED: 2 to 9 blocks to STONE YARD in SH-2" in said


def test_a_hold_that_reaches_nothing_says_so(yard: Yard, shell: Shell) -> None:
    """A lot of which nothing is left and nothing was made."""
    yard.bag("B-9", 40, at=1)
    yard.expand("B-9", "S2", kg=40, at=3)
    yard.sweep("S2", at=4)

    assert "nothing of it is left" in place(shell, "S2")


@pytest.mark.usefixtures("yard")
def test_a_lift_says_what_stays_on_hold(shell: Shell) -> None:
    """Lifted from one lot only; then from all."""
    place(shell, "S1")

    part = shell("lift", "H-1", "L2", "--reason", "aired", "--by", "EI").out
    rest = shell("lift", "H-1", "--all", "--reason", "aired", "--by", "EI").out

    assert "it reaches 4 lots: 1 mould lot, 1 bundle" in " ".join(part.split())
    assert "reaches no lot any more" in rest


@pytest.mark.usefixtures("yard")
def test_a_lot_that_the_hold_does_not_reach_is_not_cleared_of_it(shell: Shell) -> None:
    """A slip in its code, or one that was cleared before: all is refused, and what it reaches."""
    place(shell, "L1")
    words = ("--reason", "aired", "--by", "EI")

    slip = shell("lift", "H-1", "L1", "L2", *words)
    assert (slip.status, slip.out) == (1, "")
    told = " ".join(slip.err.split())
    assert "hold_not_reached: hold H-1 does not reach L2" in told
    assert "reaches: L1, BN-1, SH-1" in told
    (still,) = listed(shell)
    assert (still["lifted"], still["open"]) == ([], True)

    assert shell("lift", "H-1", "L1", *words).status == 0
    again = shell("lift", "H-1", "L1", *words)
    assert again.status == 1
    assert "from which it was lifted before" in " ".join(again.err.split())


@pytest.mark.usefixtures("yard")
def test_open_holds_are_listed_and_all_on_demand(shell: Shell) -> None:
    """With what each reaches."""
    place(shell, "L1")
    place(shell, "L2", name="H-2")
    shell("lift", "H-2", "--all", "--reason", "aired", "--by", "EI")

    (open_,) = listed(shell)
    assert (open_["hold"], open_["reaches"], open_["pieces"]) == ("H-1", ["L1", "BN-1", "SH-1"], 35)
    assert open_["shipped"] == [{"receiver": "QUARRY LANE", "shipment": "SH-1",
                                 "pieces_at_least": 5, "pieces_at_most": 5}]  # fmt: skip
    assert [(one["hold"], one["open"]) for one in listed(shell, "--all")] == [
        ("H-1", True), ("H-2", False),
    ]  # fmt: skip
    page = shell("holds").out
    assert "H-1  OPEN" in page
    assert "H-2" not in page
    assert "H-2  holds nothing" in shell("holds", "--all").out


@pytest.mark.usefixtures("yard")
def test_the_answer_holds_what_is_documented(shell: Shell) -> None:
    """Name by name."""
    place(shell, "S1")
    shell("lift", "H-1", "L2", "--reason", "aired", "--by", "EI")

    assert read(shell("holds", "--json")) == documented()["holds"]


@pytest.mark.usefixtures("yard")
def test_where_there_is_no_hold_it_says_so(shell: Shell) -> None:
    """And lists nothing."""
    assert listed(shell) == []
    assert "0 open" in shell("holds").out


def test_a_hold_on_a_bundle_shows_where_all_are_assessed(shell: Shell) -> None:
    """In a section of its own, with an exit status that a script sees."""
    yard = good_yard("L1")
    yard.bundle("BN-1", "L1", 20)
    people.match("P1", [Person("EI", "P-13", "Edda Ivesworth")])
    assert shell("assess").status == 0
    place(shell, "BN-1")

    everything, lot, bundle = shell("assess"), shell("assess", "L1"), shell("assess", "BN-1")

    assert (everything.status, lot.status, bundle.status) == (1, 0, 1)
    assert "BUNDLES AND SHIPMENTS ON HOLD BESIDES: 1" in everything.out
    assert "BN-1 bundle of L1, 20 pieces in the plant: hold H-1" in " ".join(everything.out.split())
    assert "20 in the plant, in BN-1, ON HOLD" in lot.out
    assert "BN-1 (bundle, 20 pieces in the plant) is held" in " ".join(lot.out.split())
