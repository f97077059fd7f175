"""Names behind the ids of the record: kept outside the chain, confirmed by a person, erasable."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from django.db import transaction

from beadwright.ledger import store

__all__ = ["Person", "erase", "match", "names"]


@dataclass(frozen=True, slots=True)
class Person:
    """A person as the plant's files write them, and the id the record holds."""

    initials: str
    person: str
    name: str
    confirmed: bool = False


def match(plant: str, people: Iterable[Person]) -> None:
    """Keep which initials stand for which id; a match that an engineer confirmed is not undone."""
    with transaction.atomic():
        known = names(plant)
        for one in people:
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
        " WHERE plant=%s ORDER BY initials"
    )
    rows = store.select(sql, [plant])
    return {row[0]: Person(row[0], row[1], row[2], bool(row[3])) for row in rows}


def erase(plant: str, person: str) -> int:
    """Forget a person's name and initials; the record keeps the id alone."""
    with transaction.atomic():
        count = sum(one.person == person for one in names(plant).values())
        store.run("DELETE FROM ledger_person WHERE plant=%s AND person=%s", [plant, person])
    return count
