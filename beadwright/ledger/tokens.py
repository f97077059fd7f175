"""What a machine or a program shows to be let in: a token by name, outside the chain.

Only a hash of it is kept: who reads the store cannot use it.
"""

from __future__ import annotations

from dataclasses import dataclass

from django.db import transaction

from beadwright.ledger import store

__all__ = ["Token", "by_secret", "close", "keep"]

_COLUMNS = "plant, name, secret, role, station, open"


@dataclass(frozen=True, slots=True)
class Token:
    """A token as it is kept."""

    name: str
    role: str
    station: str
    """Place that it may tell of; empty: it is not bound to one."""
    open: bool


def by_secret(plant: str, secret: str) -> Token | None:
    """Give the token of that hash, open or closed; None where there is none."""
    sql = "SELECT name, role, station, open FROM ledger_token WHERE plant=%s AND secret=%s"
    row = store.one(sql, [plant, secret])
    return None if row is None else Token(row[0], row[1], row[2], bool(row[3]))


def keep(plant: str, token: Token, secret: str) -> None:
    """Keep a token by its hash; one of the same name is replaced."""
    with transaction.atomic():
        store.run("DELETE FROM ledger_token WHERE plant=%s AND name=%s", [plant, token.name])
        row = (plant, token.name, secret, token.role, token.station, token.open)
        store.insert("token", _COLUMNS, [row])


def close(plant: str, name: str) -> bool:
    """Let a token in no more; tells whether it was open."""
    sql = "SELECT open FROM ledger_token WHERE plant=%s AND name=%s"
    before = store.one(sql, [plant, name])
    run = "UPDATE ledger_token SET open=%s WHERE plant=%s AND name=%s"
    store.run(run, [False, plant, name])
    return before is not None and bool(before[0])
