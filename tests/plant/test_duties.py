"""Who may do what at night, and whom the rest waits for: by role and by person."""

from __future__ import annotations

from typing import Any

import pytest

from beadwright.ledger import people
from beadwright.ledger.people import Person
from beadwright.plant.access import Role, may_post
from beadwright.plant.duties import ACTS, Duties, duties
from beadwright.plant.opening import open_plant
from tests.plant.yard import Yard, ms

pytestmark = pytest.mark.django_db


def of(role: Role, **rule: Any) -> Duties:
    """What a role may in a plant with an engineer, a lead and a technician."""
    yard = Yard.open()
    yard.set("role", "P-08", role="shift_lead")
    yard.set("role", "P-10", role="technician")
    if rule:
        yard.set("first_piece", "rule", after=["start"], **rule)
    people.match("P1", [Person("EI", "P-13", "Edda Ivesworth"), Person("NF", "P-08", "Nils")])
    return duties(open_plant("P1"), role, ms(10))


def test_a_shift_lead_is_told_who_gives_a_concession() -> None:
    """The engineers, with the names that are kept."""
    found = of(Role.SHIFT_LEAD)
    assert "sign a first piece" in found.may
    assert "put a lot on hold" in found.may
    assert found.whom("concession") == "engineer: EI Edda Ivesworth, P-01, P-09, P-14"
    assert found.whom("first_piece") == ""


def test_an_operator_waits_for_whoever_may_sign_a_first_piece() -> None:
    """Lead, technician or engineer; where the plant says engineer, only them."""
    found = of(Role.OPERATOR)
    assert found.whom("first_piece").startswith("shift lead or technician or engineer: ")
    assert "NF Nils" in found.whom("first_piece")
    only = of(Role.SHIFT_LEAD, signed_by=["engineer"])
    assert only.whom("first_piece").startswith("engineer: EI Edda Ivesworth")
    assert "sign a first piece" not in only.may


@pytest.mark.parametrize("role", [one for one in Role if one is not Role.MACHINE])
def test_what_is_said_is_what_the_door_lets_through(role: Role) -> None:
    """Each act, of each role."""
    found = of(role)
    assert {*found.may} == {what for kind, what in ACTS.items() if may_post(role, kind)}
    assert len(found.may) + len(found.waits) == len(ACTS)
