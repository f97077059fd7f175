"""Ids of people with the names behind them, where the plant keeps one.

Read :class:`Named`.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from beadwright.ledger import people
from beadwright.plant.opening import Plant

__all__ = ["Named"]

_BY = re.compile(r"\bby ([A-Z0-9-]{1,20})(?![\w-]| \()")
"""Where a sentence says who; one that says the name already is left."""


@dataclass(frozen=True, slots=True)
class Named:
    """Says an id with the name behind it, where the plant keeps one: ``P-13 (Edda Ivesworth)``."""

    names: Mapping[str, str]

    @classmethod
    def of(cls, plant: Plant) -> Named:
        """Read the names that a plant keeps."""
        known = people.names(plant.code).values()
        return cls({one.person: one.name for one in known if one.name})

    def __call__(self, person: str) -> str:
        """Give the id and the name; an id without a name as it is."""
        name = self.names.get(person)
        return f"{person} ({name})" if name else person

    def within(self, text: str) -> str:
        """Give a sentence with the names behind the ids in it: ``by P-13`` says who that is."""
        return _BY.sub(lambda found: f"by {self(found[1])}", text)

    def name(self, person: str) -> str:
        """Give the name alone; empty where none is kept."""
        return self.names.get(person, "")
