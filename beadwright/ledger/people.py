"""Names behind the ids of the record: kept outside the chain, confirmed by a person, erasable."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from beadwright.ledger.models import Person as _Row

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
    for one in people:
        row, new = _Row.objects.get_or_create(
            plant=plant,
            initials=one.initials,
            defaults={"person": one.person, "name": one.name, "confirmed": one.confirmed},
        )
        if not new and not row.confirmed and one.confirmed:
            row.person, row.name, row.confirmed = one.person, one.name, True
            row.save()


def names(plant: str) -> Mapping[str, Person]:
    """People by initials."""
    rows = _Row.objects.filter(plant=plant).order_by("initials")
    return {r.initials: Person(r.initials, r.person, r.name, r.confirmed) for r in rows}


def erase(plant: str, person: str) -> int:
    """Forget a person's name and initials; the record keeps the id alone."""
    count, _ = _Row.objects.filter(plant=plant, person=person).delete()
    return count
