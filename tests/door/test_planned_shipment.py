"""A planned shipment: refused unless a release stands, there and then, of every lot in it."""

from __future__ import annotations

import pytest

from beadwright.ledger import lots
from beadwright.ledger.draft import Evidence, Line, Material, NewLot, StepDraft
from tests.door.released import read_by, release, sound
from tests.plant.asking import GOOD
from tests.plant.yard import Yard

pytestmark = pytest.mark.django_db


def shipment(yard: Yard, *codes: str) -> StepDraft:
    """Twenty pieces of each."""
    block = lots.get(yard.no, codes[0])
    assert block is not None
    mg = 20 * block.unit_mg
    gone = [Line(code, -1, mg, 20, Evidence.COUNTED) for code in codes]
    come = Line("SH-1", 1, mg * len(codes), 20 * len(codes), Evidence.COUNTED,
                place="outside:QUARRY LANE")  # fmt: skip
    new = NewLot("SH-1", Material.BLOCK, "shipment", "FB6", unit_mg=block.unit_mg)
    return StepDraft("ship/x", "ship", None, (*gone, come), new_lots=(new,), planned=True)


def why(yard: Yard, *codes: str) -> list[tuple[str, str]]:
    """Codes and sentences of why it may not."""
    answer = yard.door.may(shipment(yard, *codes), yard.who)
    return [(fault.code, fault.what) for fault in answer.faults]


def bundled() -> Yard:
    """A lot that may ship and is released, in bundles of twenty."""
    yard = sound(Yard.open())
    yard.bundle("BN-1", "L1", 20)
    yard.post(release(yard))
    return yard


@pytest.mark.parametrize("code", ["L1", "BN-1"])
def test_what_is_released_ships(code: str) -> None:
    """The lot itself, or a bundle of it."""
    yard = bundled()

    assert why(yard, code) == []
    yard.post(shipment(yard, code))


def test_a_suspended_release_ships_nothing() -> None:
    """A reading that fails came after the release; what suspended it is said."""
    yard = bundled()
    yard.weigh("L1", "24h", [one - 0.3 for one in GOOD], at=82)

    ((code, what),) = why(yard, "BN-1")

    assert code == "not_released"
    assert what.startswith("the release of L1 is suspended: density")
    assert what.endswith("BN-1 holds pieces of it")


def test_a_hold_on_the_bundle_itself_stops_it() -> None:
    """Though the lot in it is released and may ship."""
    yard = bundled()
    yard.hold("H1", "BN-1", at=80)

    assert ("on_hold", "BN-1 is on hold: H1") in why(yard, "BN-1")
    assert {code for code, _ in why(yard, "BN-1")} == {"on_hold"}
    assert why(yard, "L1") == []


def test_what_holds_a_lot_is_said_in_words() -> None:
    """Beads of S2 were moulded an hour after they were filled: no code, but what it means."""
    yard = sound(Yard.open())
    yard.expand("B-1", "S2", 100, at=30)
    yard.mould("L9", "S2", good=30, at=31)

    assert ("on_hold", "L9 is on hold: beads too fresh, S2") in why(yard, "L9")


def test_what_could_not_be_released_is_said_so() -> None:
    """The first of what is missing, and of what is worse than missing."""
    yard = sound(Yard.open())
    yard.block_lot("L2", at=22)
    ((_, missing),) = why(yard, "L2")
    yard.weigh("L2", "24h", [one - 0.3 for one in GOOD])
    ((_, worse),) = why(yard, "L2")

    assert missing.startswith("L2 is not released, for want of evidence: ")
    assert worse.startswith("L2 may not ship: density")


def test_one_of_two_is_no_release() -> None:
    """The first of two persons lets nothing out."""
    yard = sound(Yard.open())
    yard.set("release", "rule", {"persons": 2})
    yard.post(release(yard))

    assert ("not_released", "L1 is approved by one of two, and not released") in why(yard, "L1")


def test_one_of_two_over_evidence_that_has_changed_is_none_of_two() -> None:
    """Two must approve what there is now; the refusal does not say that one is enough."""
    yard = sound(Yard.open())
    yard.set("release", "rule", {"persons": 2})
    yard.post(release(yard))
    yard.weigh("L1", "24h", GOOD[:1], at=65)

    assert ("not_released", "L1 is not released") in why(yard, "L1")


@pytest.mark.parametrize("ruled", [False, True])
def test_a_bundle_of_two_lots_needs_both(*, ruled: bool) -> None:
    """Whether or not the plant has set who releases; the one that is missing is named."""
    yard = bundled()
    if ruled:
        yard.set("release", "rule", {"persons": 1})
    yard.block_lot("L2", at=22)
    yard.weigh("L2", "24h", GOOD)
    yard.bundle("BN-2", "L1", 10)
    yard.bundle("BN-2", "L2", 10)

    found = why(yard, "BN-2")

    assert {code for code, _ in found} == {"not_released"}
    assert all("L2" in what for _, what in found)
    yard.post(release(yard, lot="L2"))
    assert why(yard, "BN-2", "BN-1") == []


def test_once_it_has_happened_it_is_recorded() -> None:
    """A lorry that has left is not kept out of the record by a suspended release."""
    yard = bundled()
    read_by(yard, "P-2")
    yard.hold("H1", "L1", at=80)

    assert yard.ship("SH-2", "BN-1", 20, at=90).seq
