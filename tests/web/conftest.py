"""Pages asked as a browser asks them, by somebody of each role, over a small plant."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from django.test import Client

from beadwright.ledger import people
from beadwright.ledger.people import Person
from beadwright.plant import accounts
from beadwright.plant.access import Role
from beadwright.plant.opening import open_plant
from tests.plant.yard import Yard

CODE = "brass kettle"
CAST = {role: f"P-{20 + number}" for number, role in enumerate(Role)}
"""A person of each role."""

SignIn = Callable[[Role | None], Client]


@pytest.fixture
def yard() -> Yard:
    """A plant with a block lot, and somebody of each role who can sign in."""
    yard = Yard.open()
    yard.block_lot("L1")
    for role, person in CAST.items():
        yard.set("role", person, role=str(role))
    people.match("P1", [Person(p[2:], p, f"Somebody {p[2:]}") for p in CAST.values()])
    plant = open_plant("P1")
    for person in CAST.values():
        accounts.give(plant, person, CODE)
    return yard


@pytest.fixture
def as_(yard: Yard) -> SignIn:  # noqa: ARG001 - the plant must be there
    """Give a browser in which somebody of a role is signed in, or nobody."""

    def signed_in(role: Role | None) -> Client:
        client = Client()
        if role is not None:
            answer = client.post("/in/", {"named": CAST[role], "code": CODE})
            assert answer.status_code == 302
        return client

    return signed_in
