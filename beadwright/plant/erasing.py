"""Erasing a person's name: only an engineer may, for nothing brings it back."""

from __future__ import annotations

from beadwright.errors import Fault, Refusal
from beadwright.ledger import people
from beadwright.plant.access import Role
from beadwright.plant.door import now_ms
from beadwright.plant.roles import roles

__all__ = ["erase_name"]


def erase_name(plant: str, person: str, by: str) -> bool:
    """Forget a person's name and initials for good; False where none are kept.

    Raises
    ------
    Refusal
        ``not_allowed``, where who says so is no engineer now.
    """
    body = roles(plant, ()).at("role", by, now_ms())
    role = None if body is None else str(body["role"])
    if role != Role.ENGINEER:
        what = f"{by} ({role or 'no role'}) may not erase a name"
        raise Refusal([Fault("not_allowed", what, "", "", "Ask an engineer.")])
    return bool(people.erase(plant, person))
