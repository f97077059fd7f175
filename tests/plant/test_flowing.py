"""A lot's flow stands in the order of the plant, and says what is known and what is estimated."""

import pytest

from beadwright.errors import Misuse
from beadwright.ledger.draft import Line, Material, NewLot
from beadwright.plant.flowing import Flowing, flowing
from beadwright.plant.opening import open_plant
from tests.plant.yard import Yard

pytestmark = pytest.mark.django_db

KG = 1_000_000


@pytest.fixture
def yard() -> Yard:
    """Two bags in a silo, a hopper fed by it, blocks of it, a bundle and a shipment."""
    yard = Yard.open()
    yard.set("place", "H1", kind="hopper", content=True)
    yard.bag("B-1")
    yard.bag("B-2")
    yard.carton("T-1")
    yard.expand("B-1", "S1", 300)
    yard.expand("B-2", "S1", 100, at=3)
    yard.transfer("S1", "H1", 120, at=15)
    yard.mould("L1", "H1")
    yard.bundle("BU-1", "L1", 20)
    yard.ship("SH-1", "BU-1", 20)
    return yard


def found(yard: Yard, code: str) -> Flowing:
    """The flow of a lot."""
    del yard
    return flowing(open_plant(), code)


def test_lots_stand_in_the_order_of_the_plant(yard: Yard) -> None:
    """From the beads to the shipments, each layer named after what stands in it."""
    told = found(yard, "L1")

    assert told.layers == ("beads", "silos", "hoppers, ties", "mould runs", "bundles", "shipments")
    by_layer = [sorted(x.lot.code for x in told.lots if x.layer == n) for n in range(6)]
    assert by_layer == [["B-1", "B-2"], ["S1"], ["H1", "T-1"], ["L1"], ["BU-1"], ["SH-1"]]


def test_what_goes_straight_in_or_out_is_no_estimate(yard: Yard) -> None:
    """The hopper's draw and the bundle are as they were keyed; a bag in a silo is estimated."""
    told = found(yard, "L1")
    guessed = {one.lot.code for one in told.lots if one.estimated}

    assert guessed == {"B-1", "B-2", "S1"}
    links = {(one.source, one.into): one.estimated for one in told.links}
    assert not links["before:H1", "asked:L1"]
    assert not links["asked:L1", "after:BU-1"]
    assert not links["after:BU-1", "after:SH-1"]
    assert links["before:B-1", "before:S1"]


def test_every_link_joins_lots_of_the_flow(yard: Yard) -> None:
    """And what comes into the lot, and what leaves it, is what its traces say."""
    told = found(yard, "L1")
    keys = {one.key for one in told.lots}

    assert all(one.source in keys and one.into in keys for one in told.links)
    into = sum(one.mg for one in told.links if one.into == "asked:L1")
    assert into == pytest.approx(told.mg)
    assert sum(one.mg for one in told.links if one.source == "asked:L1") == pytest.approx(
        told.mg / 2
    )


def test_what_lies_beyond_scrap_is_marked(yard: Yard) -> None:
    """Blocks of earlier scrap: the bin and the regrind are near, what was moulded before is not."""
    yard.bag("B-3")
    yard.expand("B-3", "S2", 100, at=21)
    new = NewLot("BIN-1", Material.SCRAP, "bin")
    yard.step("scrap", 30, [Line("L1", -1, 4 * KG, 1), Line("BIN-1", 1, 4 * KG)], new)
    grind = NewLot("RG-1", Material.REGRIND, "regrind bag", grades=("reclaim",))
    yard.step("grind", 31, [Line("BIN-1", -1, 4 * KG), Line("RG-1", 1, 4 * KG)], grind)
    yard.step("fill", 32, [Line("RG-1", -1, 4 * KG), Line("S2", 1, 4 * KG)])
    yard.mould("L2", "S2", "", at=50)

    marked = {one.lot.code: one.reclaimed for one in found(yard, "L2").lots}

    assert {code for code, far in marked.items() if not far} == {"L2", "S2", "B-3", "RG-1", "BIN-1"}
    assert {code for code, far in marked.items() if far} == {"L1", "H1", "S1", "B-1", "B-2", "T-1"}


def test_a_lot_that_is_not_there_is_misuse(yard: Yard) -> None:
    """Its code is said again."""
    with pytest.raises(Misuse, match="NOPE"):
        found(yard, "NOPE")
