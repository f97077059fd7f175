"""A scan that a program sends: taken for the one lot it fits, or a problem that names the lots."""

from __future__ import annotations

import pytest

from beadwright.ledger.draft import Label, Line, Material, NewLot
from beadwright.ledger.people import Person, match
from beadwright.plant.access import Role
from tests.api.conftest import program
from tests.plant.yard import Yard, ms

pytestmark = [pytest.mark.django_db, pytest.mark.store]

SCRAP = {"what": "scrap", "mass": "5", "bin": "BIN-1", "by": "KR"}


def test_a_label_on_several_lots_is_a_problem_that_names_them(yard: Yard) -> None:
    """With what each is; the program sends the code of the one that is meant."""
    match("P1", [Person("KR", "P-20", "Somebody 20")])
    for code in ("B-7", "B-8"):
        new = NewLot(code, Material.BEAD, "bag", grades=("F1",),
                     labels=(Label("Pellmere", "88-A", ms(0)),))  # fmt: skip
        yard.step("receipt", 1, [Line(code, 1, 400_000_000)], new)
    caller, units = program(Role.OPERATOR), {"mass": "kg"}
    asked = caller.tell("/forms/silo_moves", {**SCRAP, "from": "88-A"}, units=units)

    assert asked.status == 422
    assert asked.codes == ["which_lot"]
    assert asked.body["by_field"] == {"from": ["which_lot"]}
    (which,) = asked.body["which"]
    assert {one["code"] for one in which["matches"]} == {"B-7", "B-8"}
    told = caller.tell("/forms/silo_moves", {**SCRAP, "from": "B-8"}, units=units)
    assert told.status == 200, told.body
