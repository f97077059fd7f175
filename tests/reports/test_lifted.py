"""A certificate tells of holds that were lifted from what the lot rests on."""

import json

import pytest

from beadwright.reports.issued import issued
from tests.reports.issuing import Office

pytestmark = pytest.mark.django_db


def lifted(office: Office) -> list[str]:
    """What a certificate issued now says of holds that were lifted."""
    office.released()
    told: list[str] = json.loads(issued(office.plant.no)[-1].text)["lifted"]
    return told


def test_no_hold_no_word() -> None:
    """Of a lot that nothing was ever wrong with."""
    assert lifted(Office()) == []


def test_a_hold_lifted_for_the_lot_is_told_with_who_and_why() -> None:
    """Placed on a bag, lifted for this lot alone: both people, both days, both reasons."""
    office = Office()
    office.yard.hold("H-1", "B-1", reason="smell of solvent", at=65)
    office.yard.lift("H-1", "L1", at=70)

    (told,) = lifted(office)
    assert told.startswith(
        "hold H-1 on B-1, placed 2026-09-03 17:00 by P-13 (smell of solvent), was"
    )
    assert "was lifted from L1 2026-09-03 22:00 by install: looked into " in told
    assert "(entry " in told


def test_a_lift_before_the_beads_were_used_is_told_one_after_is_not() -> None:
    """What cleared the bag before it was drawn bears on the lot; what came later clears nothing."""
    office = Office()
    office.yard.hold("H-1", "B-1", at=1)
    office.yard.lift("H-1", "B-1", at=1.5)
    office.yard.hold("H-2", "B-1", at=66)
    office.yard.lift("H-2", "B-1", at=67)
    office.yard.lift("H-2", "L1", at=68)

    told = lifted(office)
    assert [one.partition(" was lifted from ")[2].split()[0] for one in told] == ["B-1", "L1"]
    assert [one.split()[1] for one in told] == ["H-1", "H-2"]


def test_what_the_lot_does_not_rest_on_is_not_told() -> None:
    """A hold on another lot, or on a shipment of this one."""
    office = Office()
    office.yard.block_lot("L2")
    office.yard.hold("H-1", "L2")
    office.yard.lift("H-1", "L2")
    assert lifted(office) == []
    office.yard.ship("SH-1", "L1", 20)
    office.yard.hold("H-2", "SH-1", at=90)
    office.yard.lift("H-2", "SH-1", at=91)
    office.issue()

    assert json.loads(issued(office.plant.no)[-1].text)["lifted"] == []
