"""Names behind the ids of the record: kept outside the chain, confirmed by a person, erasable.

Whoever was erased stays so: a row without a name keeps the id, which the record holds anyway, and
no file brings the name back. What was erased is wiped from the store's own files too; copies made
of them earlier are the plant's to deal with.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass

from django.db import connection, transaction

from beadwright.ledger import accounts, store

__all__ = ["Person", "erase", "erased", "match", "names"]


@dataclass(frozen=True, slots=True)
class Person:
    """A person as the plant's files write them, and the id the record holds."""

    initials: str
    person: str
    name: str
    confirmed: bool = False


def match(plant: str, people: Iterable[Person]) -> None:
    """Keep which initials stand for which id; what an engineer confirmed or erased stays so."""
    with transaction.atomic():
        known, gone = names(plant), erased(plant)
        for one in people:
            if one.person in gone:
                continue
            before = known.get(one.initials)
            if before is None:
                row = (plant, one.initials, one.person, one.name, one.confirmed)
                store.insert("person", "plant, initials, person, name, confirmed", [row])
            elif one.confirmed and not before.confirmed:
                store.run(
                    "UPDATE ledger_person SET person=%s, name=%s, confirmed=%s"
                    " WHERE plant=%s AND initials=%s",
                    [one.person, one.name, True, plant, one.initials],
                )


def names(plant: str) -> Mapping[str, Person]:
    """People by initials."""
    sql = (
        "SELECT initials, person, name, confirmed FROM ledger_person"
        " WHERE plant=%s AND name <> '' ORDER BY initials"
    )
    rows = store.select(sql, [plant])
    return {row[0]: Person(row[0], row[1], row[2], bool(row[3])) for row in rows}


def erased(plant: str) -> frozenset[str]:
    """Ids of the people whose names were erased."""
    sql = "SELECT person FROM ledger_person WHERE plant=%s AND name=''"
    return frozenset(row[0] for row in store.select(sql, [plant]))


def erase(plant: str, person: str) -> int:
    """Forget a person's name and initials for good; the record keeps the id alone."""
    with transaction.atomic():
        count = sum(one.person == person for one in names(plant).values())
        if count:
            with _for_good():
                accounts.drop(plant, person)
                _wipe(plant, person)
            transaction.on_commit(_forget)
    return count


def _wipe(plant: str, person: str) -> None:
    """Write the table anew without the person: what SQLite deletes it otherwise leaves in place."""
    if connection.vendor != "sqlite":
        store.run("DELETE FROM ledger_person WHERE plant=%s AND person=%s", [plant, person])
        _keep([(plant, _nobody(person), person, "", False)])
        return
    rows = store.select("SELECT plant, initials, person, name, confirmed FROM ledger_person")
    store.run("DELETE FROM ledger_person")
    others = [row for row in rows if (row[0], row[2]) != (plant, person)]
    _keep([*others, (plant, _nobody(person), person, "", False)])


@contextmanager
def _for_good() -> Iterator[None]:
    """Let SQLite overwrite what is deleted meanwhile; otherwise it lies there until reused."""
    if connection.vendor != "sqlite":
        yield
        return
    (before,) = store.one("PRAGMA secure_delete") or (0,)
    store.run("PRAGMA secure_delete=1")
    try:
        yield
    finally:
        store.run(f"PRAGMA secure_delete={int(before)}")


def _keep(rows: Sequence[store.Row]) -> None:
    store.insert("person", "plant, initials, person, name, confirmed", rows)


def _nobody(person: str) -> str:
    """Initials that nobody has: a plant's must differ from each other, those of the erased too."""
    return f"/{hashlib.sha256(person.encode()).hexdigest()[:16]}"


def _forget() -> None:
    """Empty the log and what else of the store's files still holds old pages or rows."""
    if connection.vendor == "sqlite":
        store.select("PRAGMA wal_checkpoint(TRUNCATE)")
    elif not connection.in_atomic_block:
        store.run("VACUUM ledger_person")
