"""A lift at the door names lots that its hold reaches, and no others."""

import pytest

from beadwright.errors import Refusal
from beadwright.ledger.draft import Hold, Lift
from tests.door.snapshot import everything
from tests.plant.asking import coded, good_yard, the_lot
from tests.plant.yard import Yard, ms

pytestmark = pytest.mark.django_db


def lift(*codes: str, hold: str = "H-1", key: str = "l", at: float = 78) -> Lift:
    """Lift a hold from lots."""
    return Lift(key, ms(at), hold, "looked into", codes, by="P-13")


@pytest.fixture
def yard() -> Yard:
    """Two lots; a hold on one, and none on the other."""
    yard = good_yard("L1", "L2")
    yard.hold("H-1", "L1")
    return yard


def test_a_lot_that_the_hold_does_not_reach_is_refused_at_the_door(yard: Yard) -> None:
    """Asked first and posted alike; nothing is written, and the lots it reaches are named."""
    before = everything()
    asked = yard.door.may(lift("L1", "L2"), yard.who)
    with pytest.raises(Refusal) as refusal:
        yard.post(lift("L1", "L2"))

    for (fault,) in (asked.faults, refusal.value.faults):
        assert (fault.code, fault.value) == ("hold_not_reached", "L2")
        assert "Name lots that it reaches: L1." in fault.remedy
    assert everything() == before


def test_what_comes_with_the_lift_counts_as_before_it(yard: Yard) -> None:
    """A hold of the same append is placed when its lift is looked at."""
    hold = Hold("h", ms(76), "H-2", "smell", ("L1",))

    with pytest.raises(Refusal) as refusal:
        yard.door.post_many([hold, lift("L2", hold="H-2")], yard.who)
    assert refusal.value.codes == ("hold_not_reached",)
    yard.door.post_many([hold, lift("L1", hold="H-2")], yard.who)


def test_the_same_lift_again_is_the_same(yard: Yard) -> None:
    """Sent twice it is entered once, though by then it reaches nothing."""
    yard.post(lift("L1"))

    assert yard.post(lift("L1")).repeated
    assert yard.door.may(lift("L1"), yard.who).may
    with pytest.raises(Refusal):
        yard.post(lift("L1", key="again"))


def test_a_late_entry_brings_the_hold_to_what_was_never_cleared(yard: Yard) -> None:
    """So a lift ahead of it would have freed what nobody had looked at."""
    yard.hold("H-9", "B-1", at=76)
    yard.lift("H-9", "L1", at=77)

    assert coded(the_lot(yard), "on_hold")[0].source == "hold H-1"
    assert coded(the_lot(yard, "L2"), "on_hold")[0].source == "hold H-9"
