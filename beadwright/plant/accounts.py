"""Signing in: a person's account, its code, and the role that the record gives the person.

Read :func:`sign_in`, then :func:`signed`, which every request asks: whoever's account was closed,
code changed or role taken away is out at once.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass

from django.contrib.auth.hashers import check_password, make_password

from beadwright.errors import Misuse
from beadwright.ledger import accounts, people, settings
from beadwright.plant.access import Role, Who, role_of
from beadwright.plant.door import now_ms
from beadwright.plant.opening import Plant

__all__ = [
    "SHORTEST",
    "SHOWN_CODE",
    "Signed",
    "close",
    "give",
    "open_demonstration",
    "sign_in",
    "signed",
    "those_who_may",
]

SHORTEST = 6
"""Characters of a code at the least."""

SHOWN_CODE = "invented"
"""Code of everybody in a demonstration, where there is nothing to keep from anybody."""


@dataclass(frozen=True, slots=True)
class Signed:
    """Who is signed in."""

    person: str
    initials: str
    name: str
    role: Role
    proof: str
    """Changes with the code: what was signed in with the old one is out."""

    @property
    def who(self) -> Who:
        """Who is at the door: the account is the person."""
        return Who(self.person, self.role)


def give(plant: Plant, person: str, code: str) -> None:
    """Open a person's account, or give it another code.

    Raises
    ------
    Misuse
        If the person has no role in the plant, or the code is too short.
    """
    if _role(plant, person) is None:
        message = (
            f"{person} has no role in {plant.code}: give one in plant.toml under [people], or as"
            f" [role.{person}], and import it"
        )
        raise Misuse(message)
    if len(code) < SHORTEST:
        message = f"a code has at least {SHORTEST} characters"
        raise Misuse(message)
    accounts.keep(plant.code, person, make_password(code))


def close(plant: Plant, person: str) -> bool:
    """Let nobody sign in as a person any more; tells whether anybody could."""
    return accounts.close(plant.code, person)


def sign_in(plant: Plant, named: str, code: str) -> Signed | None:
    """Give who has said these initials, or this id, and the right code; else None."""
    said = named.strip().casefold()
    known = people.names(plant.code).values()
    ids = [one.person for one in known if said in {one.initials.casefold(), one.person.casefold()}]
    account = accounts.look(plant.code, ids[0] if ids else named.strip())
    # The code is hashed even where there is no account, so that the time taken tells nothing.
    right = check_password(code, account.secret if account else make_password(None))
    if account is None or not account.open or not right:
        return None
    return signed(plant, account.person)


def signed(plant: Plant, person: str) -> Signed | None:
    """Give a person whose account is open and who has a role; else None."""
    account = accounts.look(plant.code, person)
    role = _role(plant, person)
    if account is None or not account.open or role is None:
        return None
    known = {one.person: one for one in people.names(plant.code).values()}
    one = known.get(person)
    proof = hashlib.sha256(account.secret.encode()).hexdigest()[:16]
    if one is None:
        return Signed(person, person, "", role, proof)
    return Signed(person, one.initials, one.name, role, proof)


def those_who_may(plant: Plant) -> tuple[Signed, ...]:
    """Give everybody who can sign in, by role and name."""
    found = [signed(plant, one.person) for one in accounts.of_plant(plant.code) if one.open]
    return tuple(sorted((one for one in found if one), key=lambda one: (one.role, one.name)))


def _role(plant: Plant, person: str) -> Role | None:
    return role_of(person, settings.load(plant.no), now_ms())


def open_demonstration(plant: Plant) -> None:
    """Let everybody of an invented plant sign in with one code, which its sign-in page shows.

    Raises
    ------
    Misuse
        If the plant is not invented.
    """
    if not plant.invented:
        message = f"{plant.code} is no demonstration: its people are given codes one by one"
        raise Misuse(message)
    secret = make_password(SHOWN_CODE)
    known = {one.person for one in accounts.of_plant(plant.code)}
    for one in people.names(plant.code).values():
        if one.person not in known and _role(plant, one.person) is not None:
            accounts.keep(plant.code, one.person, secret)
