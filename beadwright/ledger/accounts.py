"""Who may sign in at a page: an account per person, outside the chain, gone when the name is.

The account's name is the person's id; its role is a dated setting of the record.
"""

from __future__ import annotations

from dataclasses import dataclass

from django.db import transaction

from beadwright.ledger import store

__all__ = ["Account", "close", "drop", "keep", "look", "of_plant"]

_COLUMNS = "plant, person, secret, open"


@dataclass(frozen=True, slots=True)
class Account:
    """A person's account, and what its code is checked against."""

    person: str
    secret: str
    """Salted hash of the code, as Django's hashers write it."""
    open: bool


def look(plant: str, person: str) -> Account | None:
    """Give a person's account, open or closed; None where there is none."""
    sql = "SELECT person, secret, open FROM ledger_account WHERE plant=%s AND person=%s"
    row = store.one(sql, [plant, person])
    return None if row is None else Account(row[0], row[1], bool(row[2]))


def of_plant(plant: str) -> tuple[Account, ...]:
    """Give every account of a plant, by person."""
    sql = "SELECT person, secret, open FROM ledger_account WHERE plant=%s ORDER BY person"
    return tuple(Account(row[0], row[1], bool(row[2])) for row in store.select(sql, [plant]))


def keep(plant: str, person: str, secret: str) -> None:
    """Open a person's account, or give it another code."""
    with transaction.atomic():
        drop(plant, person)
        store.insert("account", _COLUMNS, [(plant, person, secret, True)])


def close(plant: str, person: str) -> bool:
    """Let nobody sign in as a person any more; tells whether anybody could."""
    before = look(plant, person)
    store.run(
        "UPDATE ledger_account SET open=%s WHERE plant=%s AND person=%s", [False, plant, person]
    )
    return before is not None and before.open


def drop(plant: str, person: str) -> None:
    """Take a person's account away."""
    store.run("DELETE FROM ledger_account WHERE plant=%s AND person=%s", [plant, person])
